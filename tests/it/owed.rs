//! What is owed from misses: catches a miss that is owed to somebody else, a count that is called wrong by too much, and a list that is taken
//! for another's.
//!
//! Rule `misses`.

use super::support::Sheets;
use lineward::base::Moment;
use lineward::book::{Book, Rows};
use lineward::check;
use lineward::owed::{self, Owed, rows_as_csv, text};
use lineward::plan::{Plan, Request, plan};
use lineward::report::line_words;
use lineward::report::listed::{listed, mark};
use lineward::report::misses::{FACTS, HEADINGS};
use lineward::trial;
use std::path::Path;
use std::process::{Command, Output};

/// A unit an hour from 06:00, eight a day. P, one each at A, of which 12 lie at S-1 and 20 come on Tue 09:30; the only run of the day leaves at
/// 06:00 with the material of that day: for U1 to U8 eight are taken and four are left.
fn by_hand() -> Sheets {
    let mut sheets = Sheets::plant(&["A", "B"]);
    sheets.set("Parts", "part,uom,location,issue,pack quantity\nP,ea,S-1,,\nSCR,ea,S-2,bulk,10");
    sheets.set("Bills", "parent,part,qty,station\nTEAL,P,1,A\nTEAL,SCR,2,B");
    (1..=30).for_each(|unit| _ = sheets.add("Sequence", &format!("L1,{unit},U{unit},TEAL")));
    sheets.set("Stock", "part,qty,location,unit,uom\nP,12,S-1,,\nSCR,100,S-2,,");
    sheets.set("Receipts", "purchase order,part,qty,due\n1,P,20,2027-09-14 09:30");
    sheets
}

/// The sheet of misses of a plan, with these rows filled in.
fn filled(plan: &Plan<'_>, entries: &[&str]) -> Rows {
    let walks = mark(plan, &listed(plan));
    let facts = [&*plan.plant.book, &plan.plant.as_of.to_string(), &plan.day.to_string(), "no", &walks];
    let mut rows = Rows::default();
    rows.push(1, ["For the screen: what was not there"]);
    for (number, (label, value)) in (2..).zip(FACTS.into_iter().zip(facts)) {
        rows.push(number, [label, "", value]);
    }
    rows.push(8, HEADINGS);
    entries.iter().zip(9..).for_each(|(entry, number)| rows.push(number, entry.split(',')));
    rows
}

/// Plans a book, and looks at what comes of misses; or what is wrong with them.
fn owed_of<T>(
    sheets: &Sheets,
    entries: &[&str],
    look: impl FnOnce(&Plan<'_>, &Book, &Owed) -> T,
) -> Result<T, Vec<String>> {
    let book = sheets.book();
    let (plant, findings) = check::plant(&book, None, Moment::default());
    assert!(!findings.any_error(), "{findings:?}");
    let (plan, findings) = plan(&plant, &Request::default());
    let plan = plan.unwrap_or_else(|| panic!("{findings:?}"));
    let misses = owed::read("pull-list.xlsx", &filled(&plan, entries));
    let owed = misses.and_then(|misses| owed::owed(&plan, &book, &misses));
    let told = |found: lineward::base::Findings| {
        let told = |f: &lineward::base::Finding| format!("{} row {} {}", f.kind.name, f.place.row, f.place.column);
        found.iter().map(told).collect()
    };
    owed.map(|owed| look(&plan, &book, &owed)).map_err(told)
}

/// What the line loses with the counts, and what is changed for it.
fn with_counts(book: &Book, owed: &Owed) -> (String, Vec<String>) {
    let (book, changed) = trial::apply(book, &owed.edits).expect("rows of the book");
    let (plant, _) = check::plant(&book, None, Moment::default());
    let (plan, _) = plan(&plant, &Request::default());
    (line_words::line(&plan.expect("a plan")), changed.iter().map(ToString::to_string).collect())
}

/// Two of eight were not there, and nothing is left: those who need it last go short, U7 at 12:00 and U8 at 13:00. The bin should have held
/// 4 more behind it, so that the book has 6 too many of 12. With 6 as of Monday 06:00 the line stands for U7 from 12:00 until Tue 09:40, ten
/// minutes after 20 come: 120 minutes of Monday, 220 of Tuesday.
#[test]
fn a_miss_is_owed_to_those_who_need_it_last_and_the_count_is_wrong_by_what_should_be_left() {
    let look = |plan: &Plan<'_>, book: &Book, owed: &Owed| {
        let expected = "part,qty,uom,to,needed,unit,reason\n\
                        P,1,ea,A,2027-09-13T12:00:00,U7,\"not there: 06:00 run, walk 1, stop 1, Bo\"\n\
                        P,1,ea,A,2027-09-13T13:00:00,U8,\"not there: 06:00 run, walk 1, stop 1, Bo\"\n";
        assert_eq!(rows_as_csv(plan, &owed.rows), expected);
        let (line, changed) = with_counts(book, owed);
        assert_eq!(changed, ["Stock.csv row 2 column qty: 6 (was 12)"]);
        assert!(line.contains("Mon 120, Tue 220 min"), "{line}");
        let without = line_words::line(plan);
        assert!(!without.contains("the line loses"), "{without}");
        let told = text(plan, owed, [&line, &without]);
        assert!(told.contains("P at S-1: 12 ea by the book, 6 ea less there"), "{told}");
        assert!(told.contains("Nothing was changed"), "{told}");
        rows_as_csv(plan, &owed.rows)
    };
    let rows = owed_of(&by_hand(), &["06:00,1,1,2,0,Bo"], look).expect("a sound list");
    // The rows are such as the book takes.
    let mut next = by_hand();
    next.set("Extras", rows.trim_end());
    assert!(next.findings().is_empty(), "{:?}", next.findings());
    // The run may be left out where there is one, and a time may come as a spreadsheet writes it.
    let same = |_: &Plan<'_>, _: &Book, owed: &Owed| owed.rows.len();
    assert_eq!(owed_of(&by_hand(), &[",1,1,2,,"], same), Ok(2));
    assert_eq!(owed_of(&by_hand(), &["06:00:00,1.0,1,2,,"], same), Ok(2));
}

/// Nobody counted: the bin is taken to be empty. Three left and one short: 4 and 1 less 3 are 2 too many. Five left and none short: one more
/// than the book has. What agrees is no wrong count.
#[test]
fn what_was_counted_says_by_how_much_the_book_is_wrong() {
    let cases = [
        ("06:00,1,1,1,,", "P at S-1: 12 ea by the book, 5 ea less there; nobody counted", "7 (was 12)"),
        ("06:00,1,1,1,3,", "P at S-1: 12 ea by the book, 2 ea less there", "10 (was 12)"),
        ("06:00,1,1,,5,", "P at S-1: 12 ea by the book, 1 ea more there", "13 (was 12)"),
    ];
    for (entry, expected, edit) in cases {
        let look = |plan: &Plan<'_>, book: &Book, owed: &Owed| {
            let told = text(plan, owed, ["", ""]).split_whitespace().collect::<Vec<_>>().join(" ");
            assert!(told.contains(expected), "{told}");
            assert!(with_counts(book, owed).1[0].ends_with(edit), "{entry}");
        };
        owed_of(&by_hand(), &[entry], look).expect("a sound list");
    }
    let agrees = |_: &Plan<'_>, _: &Book, owed: &Owed| (owed.rows.len(), owed.counts.len(), owed.edits.len());
    assert_eq!(owed_of(&by_hand(), &["06:00,1,1,,4,"], agrees), Ok((0, 0, 0)));
}

/// Bulk is nobody's: U1 to U7 reach B on Monday and take 14 of two packs, 20, of which all are owed; the bin, of which 80 should be left, is
/// empty by its count: 100 too many. Reserved stock goes behind what is there for anyone.
#[test]
fn bulk_is_owed_to_the_station_and_reserved_stock_is_wrong_last() {
    let look = |plan: &Plan<'_>, book: &Book, owed: &Owed| {
        let rows = rows_as_csv(plan, &owed.rows);
        assert!(rows.contains("SCR,20,ea,B,2027-09-13T07:00:00,,"), "{rows}");
        assert!(with_counts(book, owed).1[0].ends_with("0 (was 100)"));
    };
    owed_of(&by_hand(), &["06:00,1,2,20,0,"], look).expect("a sound list");
    let mut sheets = by_hand();
    // Of twelve seven are for anyone and five for U3, who takes one of them: four of these and none of the others are left behind the stop.
    sheets.set("Stock", "part,qty,location,unit,uom\nP,5,S-1,U3,ea\nP,7,S-1,,\nSCR,100,S-2,,");
    let look = |_: &Plan<'_>, book: &Book, owed: &Owed| {
        assert_eq!(owed.counts[0].less.to_string(), "8");
        let changed = with_counts(book, owed).1;
        assert_eq!(changed[0], "Stock.csv row 3 column qty: 0 (was 7)");
        assert_eq!(changed[1], "Stock.csv row 2 column qty: 4 (was 5)");
    };
    owed_of(&sheets, &["06:00,1,1,4,0,"], look).expect("a sound list");
}

#[test]
fn what_can_not_be_right_is_told_at_its_cell() {
    let cases = [
        ("11:00,1,1,1,,", "no-such-stop row 9 run"),
        ("06:00,3,1,1,,", "no-such-stop row 9 walk"),
        ("06:00,1,17,1,,", "no-such-stop row 9 stop"),
        ("06:00,one,1,1,,", "not-a-number row 9 walk"),
        ("06:00,1,1.5,1,,", "not-a-number row 9 stop"),
        ("06:00,1,0,1,,", "not-a-number row 9 stop"),
        ("06:00,,1,1,,", "missing-value row 9 walk"),
        ("06:00,1,1,two,,", "not-a-number row 9 short"),
        ("06:00,1,1,1,none,", "not-a-number row 9 counted"),
        ("06:00,1,1,-1,,", "out-of-range row 9 short"),
        ("06:00,1,1,,,Bo", "missing-value row 9 short"),
        ("06:00,1,1,9,,", "more-than-taken row 9 short"),
        ("06:00,1,1,0.5,,", "out-of-range row 9 short"),
    ];
    for (entry, expected) in cases {
        assert_eq!(owed_of(&by_hand(), &[entry], |_, _, _| ()), Err(vec![expected.to_owned()]), "{entry}");
    }
    let twice = owed_of(&by_hand(), &["06:00,1,1,1,,", ",1,1,1,,"], |_, _, _| ());
    assert_eq!(twice, Err(vec!["code-twice row 10 stop".to_owned()]));
    assert_eq!(owed_of(&by_hand(), &[], |_, _, owed| owed.misses), Ok(0));
}

fn lineward(words: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_lineward")).args(words).output().expect("the program")
}

/// The sheet `misses` of a written pull list, with rows filled in below its headings, as a workbook of its own.
fn filled_in(list: &Path, to: &Path, entries: &[[&str; 6]]) {
    use calamine::{Reader, Xlsx};
    let mut workbook: Xlsx<_> = calamine::open_workbook(list).expect("the pull list");
    let range = workbook.worksheet_range("misses").expect("its sheet of misses");
    let mut written = rust_xlsxwriter::Workbook::new();
    let sheet = written.add_worksheet().set_name("misses").expect("a name");
    let mut heading = 0;
    for (row, column, cell) in range.cells() {
        let text = cell.to_string();
        heading = if text == "run" { row as u32 } else { heading };
        sheet.write_string(row as u32, column as u16, text).expect("a cell");
    }
    for (entry, row) in entries.iter().zip(heading + 1..) {
        for (value, column) in entry.iter().zip(0..) {
            match value.parse::<f64>() {
                Ok(number) => sheet.write_number(row, column, number).expect("a cell"),
                Err(_) => sheet.write_string(row, column, *value).expect("a cell"),
            };
        }
    }
    written.save(to).expect("a workbook");
}

/// Of the demo: written, filled in, read; refused with another book, with the book changed, or where a number is on no walk.
#[test]
fn a_filled_in_pull_list_of_the_demo_is_read_and_another_is_refused() {
    let folder = tempfile::tempdir().expect("a folder");
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("data/alder-fen");
    let path = |name: &str| folder.path().join(name).to_string_lossy().into_owned();
    let demo = demo.to_string_lossy();
    let out = path("plan");
    assert!(lineward(&["plan", &demo, "--tables", "none", "--out", &out]).status.success());
    let (list, good) = (folder.path().join("plan/pull-list.xlsx"), path("good.xlsx"));
    filled_in(&list, Path::new(&good), &[["05:30", "1", "3", "1", "0", "Bo"]]);
    let told = lineward(&["owed", &demo, &good, "--out", &path("owed.xlsx")]);
    let text = String::from_utf8_lossy(&told.stdout).into_owned();
    assert!(told.status.success(), "{told:?}");
    assert!(text.contains("1 miss on the pull list of alder-fen") && text.contains("part,qty,uom,to"), "{text}");
    assert!(Path::new(&path("owed.xlsx")).is_file());
    // The same for programs; with its counts made in the book the line loses what it says.
    let told = lineward(&["owed", &demo, &good, "--json"]);
    let facts: serde_json::Value = serde_json::from_slice(&told.stdout).expect("JSON");
    assert_eq!((&facts["misses"], &facts["book"]), (&1.into(), &"alder-fen".into()));
    let owed = facts["owed"].as_array().expect("rows");
    assert!(!owed.is_empty());
    for row in owed {
        let cell = |name: &str| row[name].as_str().unwrap_or_else(|| panic!("{name}: {row}")).to_owned();
        let begin = ["part", "qty", "uom", "to", "needed", "unit"].map(cell).join(",");
        assert!(text.lines().any(|line| line.starts_with(&begin)), "{begin}: {text}");
    }
    let edits = facts["edits"].as_array().expect("edits").iter().map(|edit| edit.as_str().expect("words"));
    let edits: Vec<&str> = edits.collect();
    let [edit] = edits.as_slice() else { panic!("one bin, one row of stock: {edits:?}") };
    let as_of = facts["as_of"].as_str().expect("a moment");
    let tried = lineward(&["try", &demo, "--as-of", as_of, "--trials", "0", "--set", edit]);
    let tried = String::from_utf8_lossy(&tried.stdout).into_owned();
    let line = |begin: &str| tried.lines().find_map(|line| line.strip_prefix(begin)).unwrap_or_default().to_owned();
    assert_eq!(facts["line_with_counts"], line("the line: "), "{edit}");
    assert_eq!(facts["line_by_the_book"], line("     was: "), "{edit}");
    let bad = path("bad.xlsx");
    filled_in(&list, Path::new(&bad), &[["05:30", "1", "9999", "1", "0", "Bo"]]);
    let refused = |words: &[&str], expected: &str| {
        let told = lineward(words);
        let text = String::from_utf8_lossy(&told.stderr).into_owned();
        assert_eq!(told.status.code(), Some(1), "{text}");
        assert!(text.contains(expected), "{expected}: {text}");
    };
    refused(&["owed", &demo, &bad], "no-such-stop");
    let other = format!("{demo}.xlsx");
    refused(&["owed", &other, &good], "this list is of another book than alder-fen.xlsx");
    // The same book, of which a bin on the list was counted anew since.
    let changed = folder.path().join("alder-fen");
    std::fs::create_dir(&changed).expect("a folder");
    for entry in std::fs::read_dir(&*demo).expect("the demo") {
        let from = entry.expect("a file").path();
        std::fs::copy(&from, changed.join(from.file_name().expect("a name"))).expect("a copy");
    }
    let mut sequence = std::fs::read_to_string(changed.join("Sequence.csv")).expect("a table");
    sequence = sequence.replacen("AF3432,DUNLIN 15,", "AF3432,DUNLIN 15,MIC ", 1);
    std::fs::write(changed.join("Sequence.csv"), sequence).expect("a table");
    refused(&["owed", &changed.to_string_lossy(), &good], "the walks of the plan");
    // A workbook without such a sheet can't be read.
    let none = lineward(&["owed", &demo, &other]);
    assert_eq!(none.status.code(), Some(3), "{none:?}");
}
