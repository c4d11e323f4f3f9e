//! The museum of broken books: each kind of finding in a sound book spoiled in one place, told exactly as its exhibit says,
//! and beside it only the kinds that it names; catches a check that looks at the wrong cell, a kind nobody has seen, and a finding too many.

use super::support::Sheets;
use lineward::base::{Findings, Moment};
use lineward::report::listed;
use lineward::report::misses::{FACTS, HEADINGS};
use lineward::{book, check, every_order, line, owed, plan};
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

fn museum() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/museum")
}

/// The sound book, of which each exhibit breaks something.
pub fn sound() -> Sheets {
    Sheets::read(&museum().join("sound"))
}

/// The kinds that are told of orders nobody has placed yet.
const OF_EVERY_ORDER: [&str; 8] = [
    "content-can-break",
    "line-never-used",
    "must-never-true",
    "nobody-can-order",
    "not-proved",
    "offer-never-ordered",
    "part-twice",
    "rule-never-applies",
];

/// All findings of reading and planning a book, and of proving it.
fn proved(path: &Path) -> Findings {
    let mut findings = findings(path);
    assert!(!findings.any_error(), "{findings:?}");
    let (plant, _) = check::plant(&book::open(path).expect("a book"), None, Moment::default());
    findings.extend(every_order::prove(&plant, &line::pace(&plant), |_, _| ()).findings);
    findings.sort();
    findings
}

/// All findings of reading and planning a book.
fn findings(path: &Path) -> Findings {
    let book = book::open(path).expect("a book");
    let (plant, mut findings) = check::plant(&book, None, Moment::default());
    if !findings.any_error() {
        findings.extend(plan::plan(&plant, &plan::Request::default()).1);
    }
    findings.sort();
    findings
}

/// The kinds that are told of a filled-in list of misses.
const OF_MISSES: [&str; 3] = ["more-than-taken", "no-such-stop", "other-list"];

/// All findings of reading a list of misses: `Misses.csv` beside the tables holds what was filled in below the headings, and before that
/// what the list says otherwise than the plan does. The facts stand in rows 1 to 5, the headings in row 6.
fn missed(path: &Path) -> Findings {
    let entered = std::fs::read_to_string(path.join("Misses.csv")).expect("misses");
    std::fs::remove_file(path.join("Misses.csv")).expect("misses");
    let book = book::open(path).expect("a book");
    let (plant, _) = check::plant(&book, None, Moment::default());
    let (plan, findings) = plan::plan(&plant, &plan::Request::default());
    let plan = plan.unwrap_or_else(|| panic!("{findings:?}"));
    let mark = misses_mark(&plan);
    let facts = [&*plant.book, &plant.as_of.to_string(), &plan.day.to_string(), "no", &mark];
    let mut rows = book::Rows::default();
    for (number, (label, value)) in (1..).zip(FACTS.into_iter().zip(facts)) {
        let other = entered.lines().find_map(|line| line.strip_prefix(label)?.strip_prefix(','));
        rows.push(number, [label, other.unwrap_or(value)]);
    }
    rows.push(6, HEADINGS);
    let lines = entered.lines().filter(|line| !FACTS.iter().any(|label| line.starts_with(&format!("{label},"))));
    lines.zip(7..).for_each(|(line, number)| rows.push(number, line.split(',')));
    let read = owed::read("pull-list.xlsx", &rows).and_then(|misses| owed::owed(&plan, &book, &misses));
    let mut findings = read.err().unwrap_or_default();
    findings.sort();
    findings
}

fn misses_mark(plan: &plan::Plan<'_>) -> String {
    listed::mark(plan, &listed::listed(plan))
}

/// Writes the sound book to a folder and changes it as an exhibit says: `- ` takes a line out of the file named above, `+ `
/// puts one in its place, or at the end; `without FILE` leaves a file out, `cut FILE` its last line end, `hide sheet NAME` makes it a workbook; `beside KIND` says what else is told then; `\xE9` is one byte. Gives the book's path.
fn spoil(folder: &Path, change: &str) -> PathBuf {
    let mut files = std::collections::BTreeMap::new();
    for (table, text) in &sound().0 {
        files.insert(format!("{table}.csv"), text.lines().map(str::to_owned).collect::<Vec<_>>());
    }
    let (mut file, mut at) = (String::new(), usize::MAX);
    for line in change.lines() {
        if let Some(gone) = line.strip_prefix("without ") {
            files.remove(gone).expect("a file of the sound book");
        } else if ["hide sheet ", "cut ", "beside "].iter().any(|word| line.starts_with(word)) {
        } else if let Some(old) = line.strip_prefix("- ") {
            let lines = files.get_mut(&file).expect("a file of the sound book");
            at = lines.iter().position(|line| line == old).unwrap_or_else(|| panic!("{file} has no line {old}"));
            lines.remove(at);
        } else if let Some(new) = line.strip_prefix("+ ").or(line.strip_prefix('+')) {
            let lines = files.entry(file.clone()).or_default();
            at = at.min(lines.len());
            lines.insert(at, new.to_owned());
            at += 1;
        } else {
            (file, at) = (line.to_owned(), usize::MAX);
        }
    }
    let book = folder.join("book");
    std::fs::create_dir(&book).expect("a folder");
    for (file, lines) in &files {
        let mut bytes = Vec::new();
        let end = if change.lines().any(|line| line == format!("cut {file}")) { "" } else { "\n" };
        for (i, part) in (lines.join("\n") + end).split("\\xE9").enumerate() {
            bytes.extend((i > 0).then_some(0xE9));
            bytes.extend(part.as_bytes());
        }
        std::fs::write(book.join(file), bytes).expect("a file");
    }
    if let Some(hidden) = change.lines().find_map(|line| line.strip_prefix("hide sheet ")) {
        return as_workbook(folder, &files, hidden);
    }
    if files.contains_key("lineward.toml") { book.join("lineward.toml") } else { book }
}

/// The book as a workbook, one sheet of which is hidden.
fn as_workbook(folder: &Path, files: &std::collections::BTreeMap<String, Vec<String>>, hidden: &str) -> PathBuf {
    let mut workbook = rust_xlsxwriter::Workbook::new();
    for (file, lines) in files {
        let name = file.trim_end_matches(".csv");
        let sheet = workbook.add_worksheet();
        sheet.set_name(name).expect("a name").set_hidden(name == hidden);
        for (row, line) in lines.iter().enumerate() {
            for (column, cell) in line.split(',').enumerate() {
                sheet.write_string(row as u32, column as u16, cell).expect("a cell");
            }
        }
    }
    let path = folder.join("book.xlsx");
    workbook.save(&path).expect("a workbook");
    path
}

#[test]
fn every_exhibit_is_told_as_it_says() {
    let mut wrong = Vec::new();
    for kind in check::all_kinds() {
        let (change, told) = kind.example.split_once("told:\n").unwrap_or_else(|| panic!("{}: no 'told:'", kind.name));
        let folder = tempfile::tempdir().expect("a folder");
        let book = spoil(folder.path(), change);
        let of_orders = OF_EVERY_ORDER.contains(&kind.name);
        let findings = match OF_MISSES.contains(&kind.name) {
            true => missed(&book),
            false if of_orders => proved(&book),
            false => findings(&book),
        };
        let of_kind = findings.iter().filter(|finding| finding.kind.name == kind.name);
        let printed: String = of_kind.map(|finding| format!("{finding}\n")).collect();
        assert!(!told.is_empty(), "{}", kind.name);
        assert_eq!(printed, told, "{}", kind.name);
        let beside: BTreeSet<&str> = change.lines().filter_map(|line| line.strip_prefix("beside ")).collect();
        let others = findings.iter().filter(|finding| finding.kind.name != kind.name);
        let others: BTreeSet<&str> = others.map(|finding| finding.kind.name).collect();
        if others != beside {
            wrong.push(format!("{}: beside it {others:?}, the exhibit says {beside:?}", kind.name));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// A finding as it is told: its file, row, column and the value found, as far as it names them.
fn place_of(told: &str) -> Option<(&str, usize, Option<&str>, Option<&str>)> {
    let mut words = told.splitn(4, ": ");
    let (place, rest) = (words.nth(2)?, words.next()?);
    let (file, place) = place.split_once(" row ")?;
    let (row, column) = place.split_once(" column ").map_or((place, None), |(row, column)| (row, Some(column)));
    let value = rest.strip_prefix('\'').and_then(|rest| Some(rest.split_once("': ")?.0));
    Some((file, row.parse().ok()?, column, value))
}

/// The place that an exhibit's text names is looked up in the spoiled file itself, line by line: the value stands in that row, in the column of
/// that heading or, where the finding is about the whole row, in another. Catches a text that was taken over from what the program told.
#[test]
fn every_exhibit_points_at_a_cell_that_says_so() {
    let (mut values, mut rows, mut elsewhere, mut nowhere) = (0, 0, BTreeSet::new(), BTreeSet::new());
    for kind in check::all_kinds() {
        let (change, told) = kind.example.split_once("told:\n").expect("what is told");
        let folder = tempfile::tempdir().expect("a folder");
        let path = spoil(folder.path(), change);
        let book = if path.is_dir() { path } else { path.parent().expect("a folder").to_owned() };
        for line in told.lines() {
            let Some((file, row, column, value)) = place_of(line) else { continue };
            let Ok(bytes) = std::fs::read(book.join(file)) else { continue };
            let text = String::from_utf8_lossy(&bytes);
            let lines: Vec<&str> = text.lines().collect();
            assert!(row >= 1 && row <= lines.len(), "{line}");
            rows += 1;
            if file.ends_with(".toml") {
                continue;
            }
            let cells = |row: usize| -> Vec<String> {
                let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(lines[row - 1].as_bytes());
                let row = reader.records().next().and_then(Result::ok).unwrap_or_default();
                row.iter().map(|cell| cell.trim().to_owned()).collect()
            };
            let at = column.map(|column| cells(1).iter().position(|heading| heading == column));
            assert_ne!(at, Some(None), "{line}: no such heading");
            let Some(value) = value else { continue };
            // Of an order the options are named that matter.
            let words = |text: &str| -> BTreeSet<String> {
                text.split([' ', ',', ';']).map(|word| word.trim_start_matches('-').to_owned()).collect()
            };
            let begins = |cell: &String| value.strip_suffix('…').is_some_and(|begin| cell.starts_with(begin));
            let said = |cell: &String| cell == value || begins(cell) || words(value).is_subset(&words(cell));
            let own = cells(row);
            values += 1;
            if !own.iter().any(said) {
                nowhere.insert(kind.name);
                continue;
            }
            if !at.flatten().and_then(|at| own.get(at)).is_some_and(said) {
                elsewhere.insert(kind.name);
            }
        }
    }
    assert!(values >= 80 && rows >= 120, "{values} {rows}");
    // These name the unit, the run or the part that the row is about, or stand under no heading.
    let named =
        ["beyond-headings", "cells-beyond-headings", "headings-again", "other-line", "out-of-place", "wave-outside"];
    assert_eq!(elsewhere.into_iter().collect::<Vec<_>>(), named);
    // This one names the kind of part that an order has too many of.
    assert_eq!(nowhere.into_iter().collect::<Vec<_>>(), ["content-broken"]);
}

#[test]
fn every_kind_has_an_exhibit_and_every_exhibit_a_kind() {
    let kinds: Vec<&str> = check::all_kinds().iter().map(|kind| kind.name).collect();
    assert!(kinds.is_sorted_by(|a, b| a < b), "by name, none twice");
    let entries = std::fs::read_dir(museum()).expect("a folder").map(|entry| entry.expect("an entry").path());
    let exhibits: BTreeSet<String> = entries
        .filter(|path| path.is_file())
        .map(|path| path.file_stem().expect("a name").to_string_lossy().into_owned())
        .collect();
    assert_eq!(exhibits, kinds.iter().map(|kind| (*kind).to_owned()).collect());
}

#[test]
fn the_sound_book_has_no_findings() {
    assert!(proved(&museum().join("sound")).is_empty());
}

fn check(words: &[&str]) -> (Option<i32>, String, String) {
    let run = Command::new(env!("CARGO_BIN_EXE_lineward")).arg("check").args(words).output();
    let Output { status, stdout, stderr } = run.expect("the command runs");
    (status.code(), String::from_utf8(stdout).expect("UTF-8"), String::from_utf8(stderr).expect("UTF-8"))
}

#[test]
fn each_kind_has_a_page_and_a_mistyped_one_is_suggested() {
    for kind in check::all_kinds().iter().step_by(9) {
        let (status, page, _) = check(&["--explain", kind.name]);
        assert_eq!(status, Some(0));
        for text in [kind.name, kind.what, kind.why, kind.remedy] {
            assert!(page.contains(text), "{page}");
        }
    }
    let (status, _, why) = check(&["--explain", "unknown-prat"]);
    assert_eq!((status, why.contains("did you mean unknown-part?")), (Some(2), true), "{why}");
    assert_eq!(check(&[]).0, Some(2));
}

/// Fourteen mistyped stations and one unknown setting: two groups, the one that stops the plan first and cut.
#[test]
fn findings_are_printed_by_kind_and_long_groups_are_cut() {
    let folder = tempfile::tempdir().expect("a folder");
    let rows: String = (1..15).map(|i| format!("+ TEAL,SINK,1,Q{i},,,,\n")).collect();
    let path = spoil(folder.path(), &format!("Bills.csv\n{rows}Settings.csv\n+ colour,green\n"));
    let book = path.to_str().expect("a path");
    let (status, text, _) = check(&[book]);
    let lines: Vec<&str> = text.lines().collect();
    assert_eq!(status, Some(1));
    let place = |start: &str| lines.iter().position(|line| line.starts_with(start)).expect(start);
    assert!(place("14 unknown-station: ") < place("1 unknown-setting: "), "{text}");
    assert_eq!(lines[place("14 unknown-station: ") + 11], "... and 4 more (--all tells them)");
    assert!(lines[lines.len() - 1].ends_with("; 'lineward check --explain KIND' tells more"), "{text}");
    let (_, all, _) = check(&[book, "--all"]);
    assert!(all.lines().filter(|line| line.starts_with("error: unknown-station: ")).count() == 14, "{all}");
}

#[test]
fn findings_can_be_written_as_a_workbook_once() {
    use calamine::{Data, Reader, open_workbook_auto};
    let folder = tempfile::tempdir().expect("a folder");
    let path = spoil(folder.path(), "Bills.csv\n- TEAL,SINK,1,X,,,,\n+ TEAL,SNIK,1,X,,,,\n");
    let out = ["one.xlsx", "two.xlsx"].map(|name| folder.path().join(name).to_str().expect("a path").to_owned());
    for out in &out {
        assert_eq!(check(&[path.to_str().expect("a path"), "--out", out]).0, Some(1));
    }
    assert!(std::fs::read(&out[0]).expect("a file") == std::fs::read(&out[1]).expect("a file"));
    let (status, _, why) = check(&[path.to_str().expect("a path"), "--out", &out[0]]);
    assert_eq!((status, why.contains("exists already")), (Some(3), true), "{why}");
    let mut workbook = open_workbook_auto(&out[0]).expect("a workbook");
    let mut rows = |sheet: &str| -> Vec<Vec<String>> {
        let range = workbook.worksheet_range(sheet).expect("a sheet");
        range.rows().map(|row| row.iter().map(Data::to_string).collect()).collect()
    };
    let told = ["error", "unknown-part", "Bills.csv", "", "2", "part", "B2", "SNIK", "no such part", "SINK"];
    let all = rows("Findings");
    assert_eq!(all.len(), 2);
    assert_eq!(all[1], told);
    assert!(rows("By kind").iter().any(|row| row[..3] == ["error", "unknown-part", "1"]));
}

/// What stands in a workbook's zip under a name.
fn part_of(workbook: &Path, name: &str) -> String {
    let mut archive = zip::ZipArchive::new(std::fs::File::open(workbook).expect("a file")).expect("a zip");
    std::io::read_to_string(archive.by_name(name).expect(name)).expect("text")
}

#[test]
fn findings_in_a_workbook_lead_to_their_cells() {
    // A sheet can be opened at its cell; of a text file only the file.
    for (change, target, cell) in [
        ("Bills.csv\n- TEAL,SINK,1,X,,,,\n+ TEAL,SNIK,1,X,,,,\n", "../../book/Bills.csv", ""),
        (
            "hide sheet Stock\nBills.csv\n- TEAL,SINK,1,X,,,,\n+ TEAL,SNIK,1,X,,,,\n",
            "../../book.xlsx",
            "location=\"'Bills'!B2\"",
        ),
    ] {
        let folder = tempfile::tempdir().expect("a folder");
        let path = spoil(folder.path(), change);
        let written = folder.path().join("for/me/mend.xlsx");
        std::fs::create_dir_all(written.parent().expect("a folder")).expect("a folder");
        check(&[path.to_str().expect("a path"), "--out", written.to_str().expect("a path")]);
        let links = part_of(&written, "xl/worksheets/_rels/sheet2.xml.rels");
        assert!(links.contains(&format!("Target=\"{target}\"")), "{links}");
        assert!(part_of(&written, "xl/worksheets/sheet2.xml").contains(cell));
    }
}
