//! What if, and what else: catches an edit on the wrong row, a trial that is no whole plan, a wrong ranking, a file written.

use super::random_books::{Size, random_book};
use super::support::{Outcome, Sheets, Tables, rounds, table_text};
use lineward::base::{Moment, Total};
use lineward::compare::{self, Codes, CompareTerms, PlanRows};
use lineward::trial::{self, Act, Edit, Instead, Wish};
use lineward::{check, plan, report::table::TABLES};
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::process::Command;

fn example(name: &str) -> Sheets {
    Sheets::read(&Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/examples").join(name).join("book"))
}

fn edit(act: Act, text: &str) -> Edit {
    trial::parse(act, text).expect("an edit")
}

/// The tables of a book with edits tried.
fn tried(sheets: &Sheets, edits: &[Edit]) -> Outcome {
    let (book, changed) = trial::apply(&sheets.book(), edits).expect("rows that are there");
    let (plant, mut findings) = check::plant(&book, None, Moment::default());
    if findings.any_error() {
        trial::note(&changed, &mut findings);
        return Err(findings);
    }
    let (plan, more) = plan::plan(&plant, &plan::Request { set_aside: true, ..Default::default() });
    findings.extend(more);
    let plan = plan.ok_or(findings)?;
    Ok(TABLES.iter().map(|table| (table.name, table_text(table, &plan))).collect())
}

fn one(name: &str, act: Act, text: &str) -> Tables {
    Tables(tried(&example(name), &[edit(act, text)]).expect("a plan"))
}

fn consequences(tables: &Tables, unit: &str) -> Vec<String> {
    let rows = tables.rows("consequences", &format!("unit={unit}"), "part to word stop_minutes");
    rows.iter().map(|row| row.join(" ")).collect()
}

#[test]
fn what_cannot_be_understood_is_said_with_what_was_probably_meant() {
    let set = |text: &str| trial::parse(Act::Set, text).expect_err(text);
    let wrong = [
        ("Receits 8001 due=x", "a book has no table 'Receits' (did you mean Receipts?)"),
        ("Receipts 8001 duu=x", "Receipts has no column 'duu' (did you mean due?)"),
        ("Receipts 8001 qty=1, duu=x", "Receipts has no column 'duu' (did you mean due?)"),
        ("Receipts 8001", "expected a column and its value"),
        ("Receipts due=x", "which row? A row of Receipts is named by purchase order, then part, then due"),
        ("Receipts 8001 due=x, due=y", "due is given twice"),
        ("Sequence U4 U5 hold=x", "'U5' is one word too many"),
        ("Receipts row one due=x", "'one' is no number of a row"),
        ("Receipts '8001 due=x", "a quote (') is not closed"),
        ("", "expected a table"),
    ];
    for (text, why) in wrong {
        assert!(set(text).contains(why), "{text}: {}", set(text));
    }
    let add = trial::parse(Act::Add, "Calendar MAIN day=Sat").expect_err("codes");
    assert!(add.contains("a new row says each value by its column"), "{add}");
    let drop = trial::parse(Act::Drop, "Receipts 8001 qty=3").expect_err("a value");
    assert!(drop.contains("by its codes alone"), "{drop}");
    let file = trial::from_file("# people\nSequence U4 hold=x\n\nadd Waves wave=w, tme=06:00\n").expect_err("a column");
    assert!(file.starts_with("line 4: ") && file.contains("did you mean time?"), "{file}");
}

#[test]
fn values_may_hold_commas_equals_and_quotes() {
    let cells = |text: &str| edit(Act::Set, text).cells.into_iter().map(|(_, value)| value).collect::<Vec<_>>();
    assert_eq!(cells("Sequence U4 options=AC, AWN, start=2027-09-14"), ["AC, AWN", "2027-09-14"]);
    assert_eq!(cells("Parts P description='a, qty=b', lead days=4"), ["a, qty=b", "4"]);
    assert_eq!(cells("Bills T P when=AC and not \"DUNLIN 15\", qty=2"), ["AC and not \"DUNLIN 15\"", "2"]);
    assert_eq!(cells("Parts P description=board 36\", cost=1"), ["board 36\"", "1"]);
    assert_eq!(cells("Sequence U4 hold="), [""]);
    let row = edit(Act::Set, "Bills 'DUNLIN 15' AX-35 qty=2");
    assert_eq!(row.rows, trial::WhichRows::One(vec!["DUNLIN 15".to_owned(), "AX-35".to_owned()]));
}

#[test]
fn rows_are_named_by_enough_codes_or_all_are_meant() {
    let mut sheets = example("planner");
    sheets.add("Receipts", "7001,AX-35,2,2027-09-17");
    let apply = |text: &str| trial::apply(&sheets.book(), &[edit(Act::Set, text)]).map(|(_, changed)| changed);
    let told = |text: &str| apply(text).expect("rows").iter().map(ToString::to_string).collect::<Vec<_>>();
    let several = apply("Receipts 7001 AX-35 qty=1").expect_err("two rows");
    // Rows 2 and 5 of the file, the headings being row 1.
    assert!(
        several.contains("row 2: purchase order=7001") && several.contains("row 5: purchase order=7001"),
        "{several}"
    );
    assert_eq!(told("Receipts 7001 ax-35 2027-09-17 qty=1"), ["Receipts.csv row 5 column qty: 1 (was 2)"]);
    assert_eq!(told("Receipts row 2 qty=1"), ["Receipts.csv row 2 column qty: 1 (was 10)"]);
    assert_eq!(told("Receipts all 7001 qty=1").len(), 2);
    assert_eq!(told("Parts all safety stock=1").len(), 7);
    let unknown = apply("Receipts 7005 qty=1").expect_err("no such order");
    assert!(unknown.contains("no such row of Receipts has purchase order '7005' (did you mean 700"), "{unknown}");
}

#[test]
fn what_is_wrong_with_a_tried_value_says_that_it_was_tried() {
    let text = |act, words| tried(&example("planner"), &[edit(act, words)]).expect_err("an error");
    let told = |findings: lineward::base::Findings| findings.iter().map(ToString::to_string).collect::<String>();
    let set = told(text(Act::Set, "Receipts 7001 due=soon"));
    assert!(
        set.contains("Receipts.csv row 2 column due: 'soon'") && set.ends_with("(changed for this trial)"),
        "{set}"
    );
    let added = told(text(Act::Add, "Stock part=AX-35, qty=two"));
    // The stock has nine rows below its headings.
    assert!(
        added.contains("Stock.csv row 11 column qty: 'two'") && added.ends_with("(a row added for this trial)"),
        "{added}"
    );
}

/// U4 wants a microwave as well: it needs one at W 120, Tue 08:00, after U3 (W 60), which has the one in the stores. The
/// receipt is there at 10:00, handed over at 10:10, in the break: line minute 240. U4 is at CB at W 180: 60 minutes.
#[test]
fn a_dealers_late_option_change() {
    let tables = one("planner", Act::Set, "Sequence U4 options=AC MIC");
    assert_eq!(consequences(&tables, "U4"), ["MW-07 CB stops the line 60"]);
}

/// Ten windows are ordered for Tue 21; three days before is Sat 18.
#[test]
fn a_new_lead_time() {
    let tables = one("buyer", Act::Set, "Parts WN-20 lead days=3");
    assert_eq!(
        tables.rows("balances", "part=WN-20 date=2027-09-21", "planned_receipt planned_release"),
        [["10", "2027-09-18"]]
    );
}

/// Three axles are there: U4 takes two, U5 one. Nothing says when U6's two come.
#[test]
fn a_lost_truck() {
    let tables = one("planner", Act::Drop, "Receipts 7001");
    assert_eq!(consequences(&tables, "U6")[0], "AX-35 CH stops the line ");
}

/// U5's set must be built twice: one job of 2 x 45 minutes from W 90, when U4's set is done (20 + 70), to W 180, due W 165. It
/// is 15 minutes late. U6's set, 45 or 70 minutes by its floorplan T: 70, ends at W 250, due W 225: 25 minutes late.
#[test]
fn a_broken_cabinet() {
    let words = "Extras part=CABS-D, qty=1, to=CB, unit=U5, reason=broken";
    let tables = one("shops", Act::Add, words);
    let late = |unit: &str| tables.column("jobs", &format!("shop=CAB unit={unit}"), "late_minutes");
    assert_eq!([late("U4"), late("U5"), late("U6")].concat(), ["0", "15", "25"]);
}

/// One unit a day of 480 minutes: Saturday takes V5, Monday V6. Without it V5 enters on Monday and V6 on Tuesday.
#[test]
fn overtime_on_saturday() {
    let tables = one("buyer", Act::Add, "Calendar calendar=MAIN, day=2027-09-18, start=06:00, end=14:00");
    let enters =
        tables.rows("units", "line=L1", "unit enters").into_iter().map(|row| row.join(" ")).collect::<Vec<_>>();
    assert!(enters[4].starts_with("V5 2027-09-18") && enters[5].starts_with("V6 2027-09-20"), "{enters:?}");
}

/// What can be run instead, as the command asks for it.
fn instead(sheets: &Sheets, fixed: usize, picked_through: Option<&str>) -> Option<Instead> {
    let (plant, findings) = check::plant(&sheets.book(), None, Moment::default());
    assert!(!findings.any_error());
    let request = plan::Request { set_aside: true, ..Default::default() };
    let plan = plan::plan(&plant, &request).0?;
    let rows = PlanRows::of_plan(&plan, &mut Codes::default()).expect("rows");
    let picked_through = picked_through.map(|text| Moment::parse(text).expect("a moment").0);
    let asked = CompareTerms { jobs_moved: 1800, picked_through, as_of: Some(plant.as_of) };
    Some(trial::instead(&plan, &rows, &Wish { request, asked, fixed, most: 1000 }))
}

/// Now the line waits 40 minutes for U6 and stands for U5 until Thu 09:40: by days 60, 480 and 220, and 760 if nothing is made up, as
/// it does for U5 alone, 760 after Tue 13:30. With U4 and U5 fixed, U6 is the last: it can be held, which leaves one stop. A place
/// left empty before it, with which it enters at W 240, Tue 10:30, after its axles (09:40), loses 60 line minutes more for nothing.
#[test]
fn a_place_left_empty_before_u6_is_no_better() {
    let found = instead(&example("planner"), 2, None).expect("a plan");
    let told: Vec<_> = found.best.iter().map(|best| (best.what.as_str(), best.then.rank())).collect();
    let none = Total::ZERO;
    assert_eq!(told, [("hold U6", (0, 760, 760, 1, 0, none))]);
    assert_eq!((found.tried, found.now.rank()), (2, (0, 760, 760, 2, 0, none)));
    let tables = one("planner", Act::Set, "Sequence U6 gap=1");
    assert!(consequences(&tables, "U6").iter().all(|row| !row.contains("stops")), "{:?}", consequences(&tables, "U6"));
}

/// The 06:00 run holds U4's two axles and its sink. Held, it frees them: the axles go to U6, which has none; the sink to U5.
#[test]
fn holding_u4_frees_two_axles_and_a_sink() {
    let out = lineward(&["try", PLANNER, "--set", "Sequence U4 hold=later", "--picked-through", "2027-09-14 06:00"]);
    let text = String::from_utf8(out.stdout).expect("UTF-8");
    assert!(text.contains("move 2 ea AX-35 Axle with brakes from U4 at CH to U6 at CH"), "{text}");
    assert!(text.contains("move 1 ea SNK-02 Sink from U4 at CB to U5 at CB"), "{text}");
    assert!(text.contains("3 picked to move or bring back"), "{text}");
    assert!(
        text.contains(&format!("the line: no unit stops; 1 special run\n     was: 2 units stop; {PLANNERS}")),
        "{text}"
    );
}

/// What the planner's line loses.
const PLANNERS: &str =
    "the line loses Tue 60, Wed 480, Thu 220 min, each day begun on its times; 760 if nothing is made up";

const PLANNER: &str = "tests/examples/planner/book";

fn lineward(words: &[&str]) -> std::process::Output {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    Command::new(env!("CARGO_BIN_EXE_lineward")).current_dir(root).args(words).output().expect("it runs")
}

/// Five orders of the planner's morning could be tried.
#[test]
fn that_no_order_may_be_tried_is_no_fault_of_the_units() {
    let told = lineward(&["try", PLANNER, "--trials", "0"]).stdout;
    let told = String::from_utf8(told).expect("UTF-8");
    assert!(told.contains("what can be run instead: nothing was tried (5 not tried: --trials)"), "{told}");
}

/// The book is planned for Mon 13 Sep 14:30; an edit of that compares two moments.
#[test]
fn two_moments_are_both_told() {
    let out = lineward(&["try", PLANNER, "--set", "Settings \"as of\" value=2027-09-14", "--trials", "0"]);
    let told = String::from_utf8(out.stdout).expect("UTF-8");
    // As the system parts folders.
    let book = Path::new(PLANNER).components().collect::<PathBuf>().display().to_string();
    let expected = "{book}, as of Mon 13 Sep 14:30\n\
                    against book with 1 change tried, as of Tue 14 Sep 00:00\n\
                    tried: Settings.csv row 3 column value: 2027-09-14 (was 2027-09-13 14:30)\n";
    assert!(told.starts_with(&expected.replace("{book}", &book)), "{told}");
    let other = lineward(&["try", PLANNER, "--set", "Sequence U6 gap=1", "--trials", "0"]);
    assert!(!String::from_utf8(other.stdout).expect("UTF-8").contains("against"));
    let words = [
        "try",
        PLANNER,
        "--as-of",
        "2027-09-13 14:30",
        "--set",
        "Settings \"as of\" value=2027-09-14",
        "--trials",
        "0",
    ];
    let refused = lineward(&words);
    assert_eq!(refused.status.code(), Some(2));
    let why = "lineward: an edit changes the book's 'as of', and --as-of counts before it: leave one of the two out\n";
    assert_eq!(String::from_utf8(refused.stderr).expect("UTF-8"), why);
}

#[test]
fn nothing_is_written_but_to_out() {
    let folder = tempfile::tempdir().expect("a folder");
    let book = Path::new(env!("CARGO_MANIFEST_DIR")).join(PLANNER);
    let book = book.to_str().expect("a path");
    let run = |words: &[&str]| {
        let all = [&["try", book], words].concat();
        let done = Command::new(env!("CARGO_BIN_EXE_lineward")).current_dir(folder.path()).args(all).output();
        done.expect("it runs").status.code()
    };
    let there = || {
        let entries = walk(folder.path());
        entries.iter().map(|path| path.display().to_string().replace('\\', "/")).collect::<Vec<_>>()
    };
    let hold = ["--set", "Sequence U4 hold=later"];
    assert_eq!((run(&[]), run(&hold), run(&["--json"])), (Some(0), Some(0), Some(0)));
    assert_eq!(run(&["--set", "Sequence U9 hold=later"]), Some(2));
    assert_eq!(run(&["--set", "Sequence U4 options=XYZ"]), Some(1));
    assert!(there().is_empty(), "{:?}", there());
    assert_eq!(run(&["--out", "alone"]), Some(0));
    assert_eq!(there(), ["alone/contents.json", "alone/shortages.xlsx"]);
    assert_eq!(run(&[&hold[..], &["--out", "what-if"]].concat()), Some(0));
    let names = ["change-notice", "pull-list", "shop-orders", "shortages"].map(|name| format!("what-if/{name}.xlsx"));
    assert_eq!(
        there()[2..],
        [&["what-if/change-notice.xlsx".to_owned(), "what-if/contents.json".to_owned()][..], &names[1..]].concat()
    );
}

/// An unknown option of U4, or a unit of measure that no one knows, stops the plan; with it mended the plan is as in the example,
/// in which two units stop. There is no plan before, and so no notice.
#[test]
fn an_edit_may_mend_a_book_that_cannot_be_planned() {
    let folder = tempfile::tempdir().expect("a folder");
    let spoil = |table: &str, from: &str, to: &str| {
        for entry in walk(&Path::new(env!("CARGO_MANIFEST_DIR")).join(PLANNER)) {
            let text = std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(PLANNER).join(&entry));
            let text = text.expect("text");
            let is = entry.file_stem().is_some_and(|stem| stem == table);
            assert!(!is || text.contains(from), "{text}");
            let text = if is { text.replacen(from, to, 1) } else { text };
            std::fs::write(folder.path().join(entry), text).expect("written");
        }
        folder.path().to_str().expect("a path")
    };
    for (table, from, to, edit) in [
        ("Sequence", "U4,T,AC,", "U4,T,XYZ,", "Sequence U4 options=AC"),
        ("Stock", "AX-35,3", "AX-35,three", "Stock AX-35 qty=3"),
    ] {
        let book = spoil(table, from, to);
        let refused = lineward(&["try", book]);
        assert_eq!(refused.status.code(), Some(1), "{table}");
        let out = folder.path().join("out");
        let done = lineward(&["try", book, "--set", edit, "--out", out.to_str().expect("a path")]);
        let text = String::from_utf8(done.stdout).expect("text");
        assert_eq!(done.status.code(), Some(0), "{}", String::from_utf8_lossy(&done.stderr));
        assert!(text.contains("as it is it can't be planned: 1 error ('lineward check' tells them)"), "{text}");
        assert!(text.contains(&format!("the line: 2 units stop; {PLANNERS}")), "{text}");
        assert!(!text.contains("was: ") && !text.contains("what changes"), "{text}");
        let files: Vec<String> = walk(&out).iter().map(|path| path.display().to_string()).collect();
        assert_eq!(files, ["contents.json", "pull-list.xlsx", "shop-orders.xlsx", "shortages.xlsx"]);
        std::fs::remove_dir_all(&out).expect("removed");
        let json = lineward(&["try", book, "--set", edit, "--json"]).stdout;
        let json: serde_json::Value = serde_json::from_slice(&json).expect("JSON");
        assert_eq!(json["as_it_is"]["cannot_be_planned"], "1 error");
        assert!(json["what_if"]["notice"].is_null());
        // A change that mends nothing is told with what is wrong.
        assert_eq!(lineward(&["try", book, "--set", "Parts AX-35 weight=60"]).status.code(), Some(1));
    }
}

/// All files below a folder, in order.
fn walk(folder: &Path) -> Vec<std::path::PathBuf> {
    let (mut open, mut found) = (vec![folder.to_path_buf()], Vec::new());
    while let Some(next) = open.pop() {
        for entry in std::fs::read_dir(next).expect("a folder") {
            let path = entry.expect("an entry").path();
            if path.is_dir() {
                open.push(path)
            } else {
                found.push(path.strip_prefix(folder).expect("below").to_path_buf())
            }
        }
    }
    found.sort();
    found
}

/// A table's cells, its headings first.
fn grid(text: &str) -> Vec<Vec<String>> {
    let mut reader = csv::ReaderBuilder::new().has_headers(false).flexible(true).from_reader(text.as_bytes());
    reader.records().map(|row| row.expect("a row").iter().map(str::to_owned).collect()).collect()
}

fn ungrid(rows: &[Vec<String>]) -> String {
    let mut writer = csv::WriterBuilder::new().flexible(true).from_writer(Vec::new());
    rows.iter().for_each(|row| writer.write_record(row).expect("memory"));
    String::from_utf8(writer.into_inner().expect("memory")).expect("UTF-8")
}

/// A value in the quotes that it does not hold itself.
fn quoted(value: &str) -> String {
    if value.contains('"') { format!("'{value}'") } else { format!("\"{value}\"") }
}

/// Each of a few random edits made in the file and tried: a cell gets what another row has there, a row goes, a row comes
/// twice. Either both books are refused, or all tables of both plans are the same.
#[test]
fn what_is_tried_is_what_the_changed_file_would_give() {
    let (mut planned, mut refused) = (0, 0);
    for seed in 0..rounds(60) {
        let mut dice = fastrand::Rng::with_seed(seed);
        // One cell a row: a row of the spreadsheet is a line of the text.
        let sheets = Sheets(
            random_book(700_000 + seed, Size::Small).iter().map(|(t, text)| (t.clone(), ungrid(&grid(text)))).collect(),
        );
        for _ in 0..6 {
            let names: Vec<&String> = sheets.0.keys().collect();
            let table = names[dice.usize(0..names.len())];
            let mut rows = grid(&sheets.0[table]);
            if rows.len() < 2 || sheets.0[table].contains("\"\n") {
                continue;
            }
            let (row, other) = (dice.usize(1..rows.len()), dice.usize(1..rows.len()));
            let column = dice.usize(0..rows[0].len());
            let heading = rows[0][column].clone();
            let edit = match dice.usize(0..4) {
                0 => {
                    rows.remove(row);
                    trial::parse(Act::Drop, &format!("{table} row {}", row + 1))
                }
                1 => {
                    let again = rows[row].clone();
                    let cells = rows[0].iter().zip(&again).map(|(heading, cell)| format!("{heading}={}", quoted(cell)));
                    let words = format!("{table} {}", cells.collect::<Vec<_>>().join(", "));
                    rows.push(again);
                    trial::parse(Act::Add, &words)
                }
                _ => {
                    let value = rows[other][column].clone();
                    rows[row][column].clone_from(&value);
                    trial::parse(Act::Set, &format!("{table} row {} {heading}={}", row + 1, quoted(&value)))
                }
            };
            // Columns that no table knows can't be edited.
            let Ok(edit) = edit else { continue };
            let mut changed = sheets.clone();
            changed.set(table, ungrid(&rows).trim_end());
            match (changed.plan_as(None, true), tried(&sheets, std::slice::from_ref(&edit))) {
                (Ok(file), Ok(trial)) => {
                    planned += 1;
                    assert_eq!(file, trial, "seed {seed}: {edit:?}\n{}", sheets.shown());
                }
                (Err(_), Err(_)) => refused += 1,
                (file, trial) => {
                    panic!("seed {seed}: {edit:?}: {:?} {:?}\n{}", file.err(), trial.err(), sheets.shown())
                }
            }
        }
    }
    assert!(planned > 60 && refused > 10, "{planned} planned, {refused} refused");
}

/// A unit's row of the sequence, by the headings of the file.
fn cell(rows: &[Vec<String>], row: usize, heading: &str) -> String {
    let at = rows[0].iter().position(|known| known.eq_ignore_ascii_case(heading));
    at.and_then(|at| rows[row].get(at)).map(|cell| cell.trim().to_owned()).unwrap_or_default()
}

fn put(rows: &mut [Vec<String>], row: usize, heading: &str, value: &str) {
    let at = rows[0].iter().position(|known| known.eq_ignore_ascii_case(heading)).unwrap_or_else(|| {
        rows[0].push(heading.to_owned());
        rows[0].len() - 1
    });
    let width = rows[0].len();
    rows[row].resize(width, String::new());
    rows[row][at] = value.to_owned();
}

/// What an order is ranked by: stops without a known end, minutes by days and if nothing is made up, units that stop, late jobs.
type Judgement = (usize, i64, i64, usize, usize);

/// The same from a plan's tables; what the lines lose from the second implementation, which watches them by the second.
fn stops(sheets: &Sheets, tables: &Tables, stations: &BTreeSet<String>) -> Judgement {
    let mut units: BTreeMap<String, bool> = BTreeMap::new();
    for row in tables.rows("consequences", "", "unit to word stop_minutes") {
        if row[2] == "stops the line" && stations.contains(&row[1].to_lowercase()) {
            *units.entry(row[0].clone()).or_default() |= row[3].is_empty();
        }
    }
    let loss = super::oracle::plan(&sheets.0, None, true).expect("a plan").loss;
    let minutes = |by_days: bool| {
        let seconds = loss.iter().filter(|(_, day, _)| day.is_some() == by_days).map(|lost| lost.2).sum::<i64>();
        (seconds + 59) / 60
    };
    (units.values().filter(|unknown| **unknown).count(), minutes(true), minutes(false), units.len(), late_jobs(tables))
}

/// Jobs whose work is there after its need, which stands with the pegs; or of which nobody knows when.
fn late_jobs(tables: &Tables) -> usize {
    let pegs = tables.rows("pegs", "cover=job", "source need");
    let needs: BTreeMap<&str, &str> = pegs.iter().map(|row| (row[0].as_str(), row[1].as_str())).collect();
    let jobs = tables.rows("jobs", "", "job there_at");
    jobs.iter().filter(|row| row[1].is_empty() || row[1].as_str() > needs[row[0].as_str()]).count()
}

/// Every order written into the text of the sequence, planned from there, and judged by the tables of its plan.
#[test]
fn the_best_three_are_the_best_of_all_tried_in_the_file() {
    let (mut compared, mut others) = (0, 0);
    for seed in 0..rounds(40) {
        let sheets = Sheets(random_book(800_000 + seed, Size::Small));
        let Some(found) = instead(&sheets, 0, None) else { continue };
        let Ok(now) = sheets.plan_as(None, true) else { continue };
        let now = Tables(now);
        let places = grid(&sheets.0["Stations"]);
        let stations: BTreeSet<String> =
            (1..places.len()).map(|row| cell(&places, row, "station").to_lowercase()).collect();
        let base = stops(&sheets, &now, &stations);
        let Some(slow) = slow(&sheets, &now, &stations) else { continue };
        assert_eq!(found.tried, slow.len(), "seed {seed}: {:?}", slow.iter().map(|trial| &trial.0).collect::<Vec<_>>());
        let mut better: Vec<_> = slow.into_iter().filter_map(|(what, then)| Some((what, then?))).collect();
        better.retain(|(_, then)| *then < base);
        better.sort_by_key(|(_, then)| *then);
        let ranks = found.best.iter().map(|best| {
            let (unknown, by_days, in_all, units, late, _) = best.then.rank();
            (best.what.clone(), (unknown, by_days, in_all, units, late))
        });
        // The best three, and the best other than a hold where those are holds.
        let holds = |what: &str| what.starts_with("hold ");
        let all_hold = better.iter().take(3).all(|(what, _)| holds(what));
        let other = better.iter().skip(3).find(|(what, _)| !holds(what)).filter(|_| all_hold).cloned();
        others += usize::from(other.is_some());
        let expected: Vec<_> = better.into_iter().take(3).chain(other).collect();
        assert_eq!(ranks.collect::<Vec<_>>(), expected, "seed {seed}");
        compared += usize::from(!found.best.is_empty());
    }
    assert!(compared >= 5 && others > 0, "{compared}, {others}");
}

type Judged = (String, Option<Judgement>);

fn slow(sheets: &Sheets, now: &Tables, stations: &BTreeSet<String>) -> Option<Vec<Judged>> {
    let rows = grid(&sheets.0["Sequence"]);
    let no = |text: String| matches!(text.to_lowercase().as_str(), "" | "no" | "n" | "false" | "0");
    let code = |row: usize| cell(&rows, row, "unit");
    let same = |row: usize, unit: &str| code(row).eq_ignore_ascii_case(unit);
    let seq = |row: usize| cell(&rows, row, "seq").parse::<f64>().expect("a number");
    let free = |row: &usize| {
        cell(&rows, *row, "at").is_empty() && no(cell(&rows, *row, "hold")) && no(cell(&rows, *row, "done"))
    };
    let clear: BTreeSet<String> =
        now.column("units", "status=clear", "unit").into_iter().map(|u| u.to_lowercase()).collect();
    let stopped = |unit: &str| {
        let of_unit = now.rows("consequences", "", "unit to word");
        of_unit
            .iter()
            .any(|row| row[0] == unit && row[2] == "stops the line" && stations.contains(&row[1].to_lowercase()))
    };
    let mut judged = Vec::new();
    // The table of units stands in order of rank, held ones last.
    for unit in now.column("units", "", "unit") {
        let own = (1..rows.len()).find(|row| same(*row, &unit))?;
        if !stopped(&unit) || !free(&own) {
            continue;
        }
        let line = cell(&rows, own, "line").to_lowercase();
        let mut behind: Vec<usize> = (1..rows.len())
            .filter(|row| cell(&rows, *row, "line").to_lowercase() == line && free(row) && seq(*row) > seq(own))
            .collect();
        behind.sort_by(|a, b| seq(*a).total_cmp(&seq(*b)));
        let is_clear = |row: usize| clear.contains(&code(row).to_lowercase());
        let clear_ones: Vec<usize> = behind.iter().copied().filter(|row| is_clear(*row)).take(10).collect();
        let mut trials: Vec<(String, Vec<Vec<String>>)> = Vec::new();
        for other in &clear_ones {
            trials.push((format!("exchange {unit} with {}", shown(now, &code(*other))), placed(&rows, &[own, *other])));
        }
        for places in 1..=behind.len().min(10) {
            if places == 1 && is_clear(behind[0]) {
                continue;
            }
            // The others close up, the unit comes last: each gets the place of the one before it.
            let mut ring = vec![own];
            ring.extend(behind[..places].iter().copied());
            let words = if places == 1 { "place" } else { "places" };
            let last = shown(now, &code(behind[places - 1]));
            trials.push((format!("drop {unit} behind {places} {words}, to come after {last}"), placed(&rows, &ring)));
        }
        let mut gap = rows.clone();
        let empty: u32 = cell(&rows, own, "gap").parse().unwrap_or(0);
        put(&mut gap, own, "gap", &(empty + 1).to_string());
        trials.push((format!("leave one place empty before {unit}"), gap));
        let mut hold = rows.clone();
        put(&mut hold, own, "hold", "tried");
        trials.push((format!("hold {unit}"), hold));
        for (what, rows) in trials {
            let mut changed = sheets.clone();
            changed.set("Sequence", ungrid(&rows).trim_end());
            let plan = match changed.plan_as(None, true) {
                Ok(tables) => Some(Tables(tables)),
                // What is owed to a held unit needs a moment of its own: such a hold is no trial at all.
                Err(_) if what.starts_with("hold") => continue,
                Err(_) => None,
            };
            let then = plan.map(|tables| {
                let (unknown, by_days, in_all, units, late) = stops(&changed, &tables, stations);
                let empty = lost(&changed, now, &tables);
                (unknown, by_days + empty, in_all + empty, units, late)
            });
            judged.push((what, then));
        }
    }
    Some(judged)
}

/// What the walk between two plans' tables moves or brings back.
fn walked(old: &PlanRows, new: &PlanRows, through: Moment, as_of: Option<Moment>) -> Total {
    let tasks = compare::walk(old, new, through, as_of).tasks;
    tasks
        .iter()
        .filter(|task| [compare::Act::Move, compare::Act::BringBack].contains(&task.act))
        .map(|task| task.qty)
        .sum()
}

/// Whatever order is tried, however many runs are picked: what a trial has moved, added up by numbers, is what the walk between
/// the tables of two whole plans moves. Counted are orders with which something is moved, and those with which something is
/// on the carts that is not asked for, but stays.
#[test]
fn what_a_trial_moves_is_what_the_walk_between_the_tables_moves() {
    let (mut moved, mut stays, mut tried) = (0, 0, 0);
    for seed in 0..rounds(60) {
        let size = if seed % 10 == 0 { Size::Large } else { Size::Small };
        let sheets = Sheets(random_book(850_000 + seed, size));
        let (plant, findings) = check::plant(&sheets.book(), None, Moment::default());
        if findings.any_error() {
            continue;
        }
        let request = plan::Request { set_aside: true, ..Default::default() };
        let Some(plan) = plan::plan(&plant, &request).0 else { continue };
        let rows = PlanRows::of_plan(&plan, &mut Codes::default()).expect("rows");
        let runs = plan.runs.all();
        let mut dice = fastrand::Rng::with_seed(seed);
        let mut orders = orders_of(&plan, &mut dice);
        dice.shuffle(&mut orders);
        for order in orders.into_iter().take(12) {
            let mut changed = plant.clone();
            order(&mut changed.units);
            let Some(then) = plan::plan(&changed, &request).0 else { continue };
            let then_rows = PlanRows::of_plan(&then, &mut Codes::default()).expect("rows");
            for _ in 0..3 {
                let through = runs[dice.usize(0..runs.len())].leaves;
                let late = Moment::from_seconds(through.seconds() + dice.i64(-2..3) * 43_200);
                let as_of = [None, Some(plant.as_of), Some(late)][dice.usize(0..3)];
                let expected = walked(&rows, &then_rows, through, as_of);
                let found = trial::Carts::of(&plan, through, as_of).to_move(&then);
                assert_eq!(found, expected, "seed {seed}, through {through}, as of {as_of:?}\n{}", sheets.shown());
                tried += 1;
                moved += usize::from(found > Total::ZERO);
                stays += usize::from(!compare::walk(&rows, &then_rows, through, as_of).settled.is_empty());
            }
        }
    }
    assert!(tried > 300 && moved > 100 && stays > 100, "{tried} tried, {moved} moved, {stays} with some that stay");
}

type Order = Box<dyn Fn(&mut [check::Unit])>;

/// What would be tried, and besides it any change of the order: it may free units to move up that nothing stops.
fn orders_of(plan: &plan::Plan<'_>, dice: &mut fastrand::Rng) -> Vec<Order> {
    let tried = trial::moves(plan, 0).into_iter();
    let mut orders: Vec<Order> =
        tried.map(|order| Box::new(move |units: &mut [check::Unit]| order.make(units)) as Order).collect();
    let count = plan.plant.units.len();
    let free = |unit: &lineward::base::UnitId| {
        // What is owed to a unit may keep it from being held.
        let owed = plan.plant.extras.iter().any(|extra| extra.owner == check::ExtraFor::Unit(*unit));
        let unit = &plan.plant.units[unit.at()];
        unit.at.is_none() && unit.on_plan() && !owed
    };
    let units = (0..count).map(lineward::base::UnitId::of).filter(free);
    for unit in units.filter(|_| dice.bool()).collect::<Vec<_>>() {
        let kind = [trial::Kind::Hold, trial::Kind::Gap, trial::Kind::DropBehind(dice.usize(1..4))][dice.usize(0..3)];
        let order = trial::Move { unit, kind };
        orders.push(Box::new(move |units: &mut [check::Unit]| order.make(units)));
    }
    orders
}

/// A unit's code as the plan prints it.
fn shown(now: &Tables, code: &str) -> String {
    let units = now.column("units", "", "unit");
    units.into_iter().find(|unit| unit.eq_ignore_ascii_case(code)).expect("a unit")
}

/// The units of a list trade places: each gets the place of the one before it in the list, the first that of the last.
fn placed(rows: &[Vec<String>], ring: &[usize]) -> Vec<Vec<String>> {
    let mut placed = rows.to_vec();
    for (i, row) in ring.iter().enumerate() {
        let place = ring[(i + ring.len() - 1) % ring.len()];
        for heading in ["seq", "gap"] {
            if rows[0].iter().any(|known| known.eq_ignore_ascii_case(heading)) {
                put(&mut placed, *row, heading, &cell(rows, place, heading));
            }
        }
    }
    placed
}

/// The line's working minutes by which the last unit of each line enters later.
fn lost(sheets: &Sheets, now: &Tables, then: &Tables) -> i64 {
    let plant = check::plant(&sheets.book(), None, Moment::default()).0;
    let last = |tables: &Tables, line: &str| {
        let enters =
            tables.rows("units", "", "line enters").into_iter().filter(|row| row[0] == line && !row[1].is_empty());
        enters.map(|row| Moment::parse(&row[1]).expect("a moment").0).max()
    };
    let of_line = |line: &check::Line| {
        let (old, new) = (last(now, &line.code)?, last(then, &line.code)?);
        let calendar = plant.calendar(line.calendar);
        Some((calendar.worked(new) - calendar.worked(old)).max(0))
    };
    (plant.lines.iter().filter_map(of_line).sum::<i64>() + 59).div_euclid(60)
}
