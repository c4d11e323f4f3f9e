//! What the materials planner and the pickers must be able to read off `pull-list.xlsx`, found by heading and content in the
//! written file: bins that are counted wrong, pieces that go to the wrong kit, kits broken over pages without their name.
//!
//! Expected values are the facts worked out by hand for the example `planner`: takt 60 min, material wanted 60 min ahead,
//! runs at 06:00, 08:30 and 11:00, each picked in the 60 minutes before; or they are worked out in a comment.

use calamine::{Data, Reader, Xlsx};
use lineward::base::Moment;
use lineward::plan::Request;
use lineward::report::sheet::Workbook;
use std::collections::BTreeMap;
use std::io::Cursor;
use std::path::{Path, PathBuf};

/// A row of a table: heading to the cell's text; times as `Wed 15 Sep 06:00`.
type Row = BTreeMap<String, String>;

/// The cells of each sheet as text, and the rows before which a page ends.
struct Written {
    sheets: BTreeMap<String, Vec<Vec<String>>>,
    names: Vec<String>,
    breaks: BTreeMap<String, Vec<u32>>,
}

fn example() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/examples/planner/book")
}

/// The example with lines added to some of its files.
fn example_with(added: &[(&str, &str)]) -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    for file in std::fs::read_dir(example()).expect("the example") {
        let path = file.expect("a file").path();
        let name = path.file_name().and_then(|name| name.to_str()).expect("a name").to_owned();
        let mut text = std::fs::read_to_string(&path).expect("a table");
        added.iter().filter(|(file, _)| *file == name).for_each(|(_, lines)| text.push_str(lines));
        std::fs::write(folder.path().join(name), text).expect("a table");
    }
    for (name, lines) in added.iter().filter(|(name, _)| !example().join(name).exists()) {
        std::fs::write(folder.path().join(name), lines).expect("a table");
    }
    folder
}

fn written(folder: &Path, as_of: Option<&str>) -> Written {
    let book = lineward::book::open(folder).expect("the book");
    let as_of = as_of.map(|text| Moment::parse(text).expect("a moment").0);
    let (plant, findings) = lineward::check::plant(&book, as_of, Moment::from_seconds(0));
    assert!(!findings.any_error(), "{findings:?}");
    let day = Moment::parse("2027-09-14").map(|(day, _)| day.date());
    let (plan, findings) = lineward::plan::plan(&plant, &Request { day, set_aside: true, ..Default::default() });
    let plan = plan.unwrap_or_else(|| panic!("a plan: {findings:?}"));
    let workbooks = lineward::report::workbooks(&plan);
    let workbook = workbooks.iter().find(|workbook| workbook.file == "pull-list.xlsx").expect("the planner's workbook");
    read_back(workbook)
}

fn read_back(workbook: &Workbook<'_>) -> Written {
    let bytes = lineward::report::to_xlsx(workbook).expect("its bytes");
    assert_eq!(bytes, lineward::report::to_xlsx(workbook).expect("its bytes"), "the same plan gives the same file");
    let mut xlsx: Xlsx<_> = calamine::open_workbook_from_rs(Cursor::new(bytes)).expect("a workbook");
    let cells = |(name, range): (String, calamine::Range<Data>)| {
        (name, range.rows().map(|row| row.iter().map(text).collect()).collect())
    };
    let names = workbook.sheets.iter().map(|sheet| sheet.name.clone()).collect();
    let breaks = workbook.sheets.iter().map(|sheet| (sheet.name.clone(), sheet.breaks.clone())).collect();
    Written { sheets: xlsx.worksheets().into_iter().map(cells).collect(), names, breaks }
}

fn text(cell: &Data) -> String {
    match cell {
        Data::DateTime(time) => {
            let (year, month, day, hour, minute, second, _) = time.to_ymd_hms_milli();
            let text = format!("{year}-{month:02}-{day:02} {hour:02}:{minute:02}:{second:02}");
            Moment::parse(&text).expect("a time").0.short()
        }
        other => other.to_string(),
    }
}

impl Written {
    /// The rows of the tables of a sheet whose heading row holds all the columns named.
    fn rows(&self, sheet: &str, columns: &[&str]) -> Vec<Row> {
        let cells = &self.sheets[sheet];
        let is_head = |row: &&Vec<String>| columns.iter().all(|column| row.iter().any(|cell| cell == column));
        assert!(cells.iter().any(|row| is_head(&row)), "no table with {columns:?} on '{sheet}': {cells:#?}");
        let mut rows = Vec::new();
        let mut head: Option<&Vec<String>> = None;
        for row in cells {
            if is_head(&row) {
                head = Some(row);
            } else if row.iter().skip(1).all(String::is_empty) {
                head = None;
            } else if let Some(head) = head {
                rows.push(head.iter().cloned().zip(row.iter().cloned()).collect());
            }
        }
        rows
    }

    /// The values of some columns of a table, row by row.
    fn table(&self, sheet: &str, columns: &[&str]) -> Vec<Vec<String>> {
        let rows = self.rows(sheet, columns);
        rows.iter().map(|row| columns.iter().map(|column| row[*column].clone()).collect()).collect()
    }

    /// The values of some columns of a table that stands in two columns on a page: down the left one, then down the right one.
    fn two_up(&self, sheet: &str, columns: &[&str]) -> Vec<Vec<String>> {
        let cells = &self.sheets[sheet];
        let is_head = |row: &&Vec<String>| columns.iter().all(|column| row.iter().any(|cell| cell == column));
        let at = cells
            .iter()
            .position(|row| is_head(&row))
            .unwrap_or_else(|| panic!("{columns:?} on '{sheet}': {cells:#?}"));
        let of = |from: usize| -> Option<Vec<usize>> {
            columns
                .iter()
                .map(|column| Some(from + cells[at][from..].iter().position(|cell| cell == column)?))
                .collect()
        };
        let left = of(0).expect("the columns");
        let right = of(left.iter().max().expect("a column") + 1);
        let under = || cells[at + 1..].iter().take_while(|row| row.iter().skip(1).any(|cell| !cell.is_empty()));
        let values = |at: &[usize]| -> Vec<Vec<String>> {
            under().map(|row| at.iter().map(|at| row[*at].clone()).collect()).collect()
        };
        let mut rows = values(&left);
        rows.extend(right.map(|right| values(&right)).unwrap_or_default());
        rows.retain(|row: &Vec<String>| row.iter().any(|cell| !cell.is_empty()));
        rows
    }

    /// The lines of the label of a kit on a sheet of labels: what stands below its unit and its station.
    fn label(&self, sheet: &str, unit: &str, station: &str) -> Vec<String> {
        let cells = &self.sheets[sheet];
        let found = cells.iter().enumerate().find_map(|(at, row)| {
            let columns = row.iter().zip(row.iter().skip(1)).position(|(a, b)| a == unit && b == station)?;
            Some((at, columns))
        });
        let (at, column) = found.unwrap_or_else(|| panic!("no label {unit} {station}: {cells:#?}"));
        cells[at + 1..at + 6].iter().map(|row| row[column].clone()).collect()
    }

    /// The only row of a table that holds a value in a column.
    fn row(&self, sheet: &str, columns: &[&str], column: &str, value: &str) -> Vec<String> {
        let at = columns.iter().position(|name| *name == column).expect("one of the columns");
        let mut rows = self.table(sheet, columns);
        rows.retain(|row| row[at] == value);
        assert_eq!(rows.len(), 1, "{column} {value} on '{sheet}': {rows:#?}");
        rows.remove(0)
    }

    /// All text of a sheet, a line for each row.
    fn text(&self, sheet: &str) -> String {
        self.sheets[sheet].iter().map(|row| row.join(" ")).collect::<Vec<_>>().join("\n")
    }

    /// The lines of a kit's card: from its large line to the next empty one.
    fn card(&self, sheet: &str, name: &str) -> Vec<String> {
        let lines: Vec<String> = self.text(sheet).lines().map(|line| line.trim().to_owned()).collect();
        let at = lines.iter().position(|line| line.starts_with(name)).unwrap_or_else(|| panic!("{name}: {lines:#?}"));
        lines[at - 1..].iter().take_while(|line| !line.is_empty()).cloned().collect()
    }
}

const WALK: [&str; 7] = ["location", "part", "bin before", "take", "left", "what to know", "goes to"];

/// U5 needs RA-13 on Tue 12:30, the receipt comes Thu 09:30: 45 hours, 2,700 min. U6 needs its axles at 08:00, they come at
/// 09:30: 90 min. MW-07 for U6 is needed at 10:30 with the 08:30 run, picked from 07:30, and comes at 10:00. U6 comes to CH at 09:00 and stands
/// until its axles are handed over, 09:40; U5 comes to FN at 13:30 and stands for the last 60 minutes of the day, 40 of which are lost already.
#[test]
fn the_front_says_whether_the_day_works() {
    let written = written(&example(), None);
    assert_eq!(written.names[0], "front");
    let columns = ["what is wrong", "unit", "part", "qty", "needed", "comes", "minutes late", "why"];
    let expected = [
        ["late", "U6", "AX-35", "2", "Tue 14 Sep 08:00", "Tue 14 Sep 09:30", "90", "waits for order 7001 (day only)"],
        ["late", "U5", "RA-13", "1", "Tue 14 Sep 12:30", "Thu 16 Sep 09:30", "2700", "waits for order 7003 (day only)"],
        [
            "special run",
            "U6",
            "MW-07",
            "1",
            "Tue 14 Sep 10:30",
            "Tue 14 Sep 10:00",
            "",
            "waits for order 7002, there after picking",
        ],
    ];
    assert_eq!(written.table("front", &columns), expected);
    let text = written.text("front");
    for fact in [
        "Worked example",
        "Tuesday 14 September 2027",
        "Monday 13 September 2027, 14:30",
        "6 units: 4 clear to build, 2 late",
        "the last unit, U6, enters Tue 14 Sep 09:00 and leaves Wed 15 Sep 07:00",
        "does not work as it stands: 2 units stop; first 09:00, U6 at CH; the line loses 60 min on it; 1 special run.",
    ] {
        assert!(text.contains(fact), "{fact}: {text}");
    }
}

/// Tuesday has 18 pulls: 9, 5 and 4. One of each run is not whole: the axles for U6, MW-07 for U6, RA-13 for U5.
#[test]
fn the_front_counts_the_runs() {
    let columns = ["run", "pulls", "zones walked", "not whole when picked"];
    let expected = [
        ["the 06:00 run", "9", "A, B, C, D", "1"],
        ["the 08:30 run", "5", "C, D", "1"],
        ["the 11:00 run", "4", "D", "1"],
        ["all", "18", "", "3"],
    ];
    assert_eq!(written(&example(), None).table("front", &columns), expected);
}

/// In location order, C-4 before C-10. Bins at the as-of moment: AX-35 3, SCR-40 400, SNK-02 5, MW-07 1, RA-13 3.
#[test]
fn a_walk_meets_each_bin_once_and_in_order() {
    let expected = [
        ["A-1", "AX-35", "3", "3", "0", "bin empty after", "CH in line order: U4 2, U5 1"],
        ["B-2", "SCR-40", "400", "400", "0", "bin empty after; part pack: 400 of 500 in the stores", "FL in bulk: 400"],
        ["C-4", "SNK-02", "5", "3", "2", "", "CB: U2 1, U3 1, U4 1"],
        ["C-10", "MW-07", "1", "1", "0", "bin empty after", "CB: U3 1"],
        ["D-1", "RA-13", "3", "1", "2", "", "FN: U1 1"],
    ];
    assert_eq!(written(&example(), None).table("stops 06.00", &WALK), expected);
}

/// The 08:30 run finds the bins as the 06:00 run leaves them: SNK-02 2, RA-13 2, AW-14 6; MW-07 is not there yet. The 11:00
/// run finds RA-13 1 (the fourth of three for U5 is not there), AW-12 2, AW-14 5.
#[test]
fn later_walks_find_what_earlier_ones_leave() {
    let written = written(&example(), None);
    let short = ["location", "part", "bin before", "take", "left", "goes to"];
    let expected = [
        ["C-4", "SNK-02", "2", "2", "0", "CB: U5 1, U6 1"],
        ["D-1", "RA-13", "2", "1", "1", "FN: U2 1"],
        ["D-2", "AW-14", "6", "1", "5", "FN: U2 1"],
    ];
    assert_eq!(written.table("stops 08.30", &short), expected);
    let expected = [
        ["D-1", "RA-13", "1", "1", "0", "FN: U4 1"],
        ["D-2", "AW-12", "2", "1", "1", "FN: U5 1"],
        ["D-2", "AW-14", "5", "1", "4", "FN: U6 1"],
    ];
    assert_eq!(written.table("stops 11.00", &short), expected);
}

/// Two kits take 1.5 m of rope each, counted in whole metres; 3 m lie there: each kit gets what it needs, and rounding up to 2 takes nothing
/// from the second. Of 4 m each gets 2.
#[test]
fn what_rounding_up_adds_is_taken_from_nobody() {
    for (stock, taken) in [("3", ["1.5", "1.5"]), ("4", ["2", "2"]), ("3.4", ["1.9", "1.5"])] {
        let parts = "part,uom,location\nROPE,m,A-1\n";
        let mut sheets = crate::support::Sheets::plant(&["S1"]);
        sheets.set("Parts", parts).set("Uoms", "uom,decimals\nm,0").add("Bills", "TEAL,ROPE,1.5,S1");
        sheets.set("Stock", &format!("part,qty\nROPE,{stock}")).set("Waves", "wave,time\nA,06:00\nB,07:00");
        sheets.set("Settings", "key,value\nas of,2027-09-12 12:00").add("Sequence", "L1,1,U1,TEAL\nL1,2,U2,TEAL");
        let stops = sheets.look(None, false, |plan| {
            let workbooks = lineward::report::workbooks(plan);
            let written = read_back(&workbooks[0]);
            ["stops 06.00", "stops 07.00"].map(|sheet| written.table(sheet, &["take", "what to know"]))
        });
        let stops = stops.unwrap_or_else(|findings| panic!("{findings:?}"));
        for ((rows, taken), unit) in stops.iter().zip(taken).zip(["U1", "U2"]) {
            let partly = taken != "2";
            assert_eq!((rows.len(), &*rows[0][0]), (1, taken), "{stock}: {rows:?}");
            assert_eq!(rows[0][1].contains(&format!("{taken} of 2 there for {unit}")), partly, "{stock}: {rows:?}");
        }
    }
}

/// FL has 300 screws; U3 takes 120, U4 160, and U5 finds 20 of its 120: a pack of 500 goes out, needed at 08:00, for U5 and U6.
#[test]
fn a_pack_of_screws_follows_and_says_that_it_is_not_full() {
    let columns = ["run", "to", "first unit", "needed", "part", "packs", "qty", "mind"];
    let expected = [["06:00", "FL", "U5", "08:00", "SCR-40", "1", "500 ea", "400 of 500 in the stores"]];
    assert_eq!(written(&example(), None).two_up("bulk", &columns), expected);
}

/// CB needs 40 screws for each T as well: U2 at 06:00, U4 at 08:00, U6 at 10:30, together 120; FL needs 100 + 160 = 260 beyond
/// its 300. Of the 400 a pack for CB leaves FL's 260 alone: 140 and 260.
#[test]
fn a_part_pack_leaves_what_other_stations_need() {
    let folder = example_with(&[("Bills.csv", "T,SCR-40,40,CB,\n")]);
    let written = written(folder.path(), None);
    let row = written.row("stops 06.00", &WALK, "part", "SCR-40");
    assert_eq!(row[6], "FL in bulk: 260; CB in bulk: 140");
    assert_eq!((row[2].as_str(), row[3].as_str(), row[4].as_str()), ("400", "400", "0"));
}

#[test]
fn what_cant_be_pulled_names_the_receipt_and_the_stock_on_hold() {
    let columns = ["run", "part", "qty", "unit", "how it stands", "minutes late", "what would help"];
    let written = written(&example(), None);
    let expected = [
        ["the 06:00 run", "AX-35", "2", "U6", "late", "90", "order 7001: 2 by Tue 14 Sep 05:00"],
        ["the 11:00 run", "RA-13", "1", "U5", "late", "2700", "order 7003: 1 by Tue 14 Sep 10:00"],
        ["the 08:30 run", "MW-07", "1", "U6", "special run", "", "order 7002: 1 by Tue 14 Sep 07:30"],
    ];
    assert_eq!(written.table("not pulled", &columns), expected);
    let row = written.row("not pulled", &["part", "on hold (quality decides)"], "part", "RA-13");
    assert_eq!(row[1], "1 at Q-1: cracked shroud");
}

/// Soonest need first: U6's axles at 08:00, then its microwave at 10:30. The roof air unit comes on Thursday only. Axles weigh 58 kg,
/// a microwave 14; they stop nothing until 10 minutes before U6 arrives, 60 working minutes after the need.
#[test]
fn receipts_that_something_waits_for_go_straight_to_the_station() {
    let columns =
        ["needed", "comes", "promised", "purchase order", "part", "straight to", "at the last", "to the stores", "kg"];
    let expected = [
        [
            "Tue 14 Sep 08:00",
            "Tue 14 Sep 09:30",
            "day only",
            "7001",
            "AX-35",
            "2 ea: U6 at CH 08:00",
            "Tue 14 Sep 08:50",
            "",
            "116",
        ],
        [
            "Tue 14 Sep 10:30",
            "Tue 14 Sep 10:00",
            "",
            "7002",
            "MW-07",
            "1 ea: U6 at CB 10:30",
            "Tue 14 Sep 11:20",
            "",
            "14",
        ],
    ];
    assert_eq!(written(&example(), None).table("the dock", &columns), expected);
}

/// Two rows of one order, part and moment are one delivery: nobody has promised it where one of them is not confirmed.
#[test]
fn a_delivery_of_two_rows_is_promised_where_both_are() {
    let told = |first: &str, second: &str| {
        let rows = [first, second].map(|confirmed| format!("7001,AX-35,5,2027-09-14 05:00,{confirmed}\n")).concat();
        let folder = example_with(&[]);
        let receipts = format!("purchase order,part,qty,due,confirmed\n{rows}");
        std::fs::write(folder.path().join("Receipts.csv"), receipts).expect("a table");
        written(folder.path(), None).table("the dock", &["purchase order", "promised"])
    };
    assert_eq!(told("yes", "yes"), [["7001", "confirmed"]]);
    assert_eq!(told("yes", ""), [["7001", ""]]);
    assert_eq!(told("", "no"), [["7001", "not confirmed"]]);
    assert_eq!(told("no", ""), [["7001", "not confirmed"]]);
}

/// With order 7001 at 05:00 both: 3 axles lie in the stores, so the 2 for U6 go with the 06:00 run, which is picked from 05:00.
#[test]
fn what_comes_before_its_run_is_picked_goes_to_the_stores() {
    let receipts = "purchase order,part,qty,due\n7001,AX-35,10,2027-09-14 05:00\n";
    let folder = example_with(&[]);
    std::fs::write(folder.path().join("Receipts.csv"), receipts).expect("a table");
    let columns = ["purchase order", "part", "straight to", "to the stores", "picked from"];
    let expected = [["7001", "AX-35", "", "2 ea for the 06:00 run", "Tue 14 Sep 05:00"]];
    assert_eq!(written(folder.path(), None).table("the dock", &columns), expected);
}

/// Axles for U6 come at 09:30 and take 10 minutes: 40 after it arrives at CH. The roof air unit for U5 comes two days after it
/// arrives at FN, at 13:30, the microwave for U6 before it arrives at CB, at 11:30.
#[test]
fn the_lines_page_is_in_the_order_of_the_line() {
    let columns = ["position", "at", "unit", "unit arrives", "what it does", "comes", "at the last", "who brings it"];
    let driver = "the driver, from the dock";
    let expected = [
        ["1", "CH", "U6", "Tue 14 Sep 09:00", "stops the line", "Tue 14 Sep 09:30", "Tue 14 Sep 08:50", driver],
        ["3", "CB", "U6", "Tue 14 Sep 11:30", "special run", "Tue 14 Sep 10:00", "Tue 14 Sep 11:20", driver],
        ["6", "FN", "U5", "Tue 14 Sep 13:30", "stops the line", "Thu 16 Sep 09:30", "Tue 14 Sep 13:20", driver],
    ];
    assert_eq!(written(&example(), None).table("the line", &columns), expected);
}

/// 900 seconds a stop are 4 stops in the 60 minutes in which a run is picked: the first run's 5 are walked on two carts, 3 and 2, of 45
/// and 30 minutes, by two pickers. 7 kits: axles for U4, U5 and U6, sinks for U2, U3 and U4, and U1's roof air unit.
#[test]
fn pickers_are_worked_out_from_the_stops() {
    let folder = example_with(&[("Settings.csv", "seconds a stop,900\n")]);
    let written = written(folder.path(), None);
    let columns = ["run", "stops", "walks", "kits", "pickers", "begin by"];
    let row = written.row("the day's work", &columns, "run", "the 06:00 run");
    assert_eq!(row, ["the 06:00 run", "5", "2", "7", "2", "Tue 14 Sep 05:15"]);
    // Without it none are told.
    let row = self::written(&example(), None).row("the day's work", &columns, "run", "the 06:00 run");
    assert_eq!(row, ["the 06:00 run", "5", "1", "7", "", ""]);
}

/// The day takes 3 of 3 axles, all screws, 3 and 2 of 5 sinks, the only microwave and 3 of 3 roof air units.
#[test]
fn bins_that_the_day_empties_name_what_comes_next() {
    let columns = ["part", "location", "empty after", "next comes", "how much", "purchase order"];
    let expected = [
        ["SCR-40", "B-2", "the 06:00 run", "nothing comes", "", ""],
        ["SNK-02", "C-4", "the 08:30 run", "nothing comes", "", ""],
        ["RA-13", "D-1", "the 11:00 run", "Thu 16 Sep 09:30", "10 ea", "7003"],
        ["MW-07", "C-10", "the 06:00 run", "Tue 14 Sep 10:00", "4 ea", "7002"],
        ["AX-35", "A-1", "the 06:00 run", "Tue 14 Sep 09:30", "10 ea", "7001"],
    ];
    assert_eq!(written(&example(), None).table("the day's work", &columns), expected);
}

/// Heaviest first: two of the three axles go to one unit, each of 58 kg; a roof air unit weighs 36, an awning of 3.6 m 28. Three roof air
/// units are there, for U1, U2 and U4, with all runs; awnings of 3.6 m go to U2 and U6.
#[test]
fn what_two_must_lift_is_listed() {
    let folder = example_with(&[("Settings.csv", "one person lifts,25\n")]);
    let columns = ["part", "location", "kg each", "today", "to", "with the runs"];
    let expected = [
        ["AX-35", "A-1", "58", "3 ea", "CH", "06:00"],
        ["RA-13", "D-1", "36", "3 ea", "FN", "06:00, 08:30, 11:00"],
        ["AW-14", "D-2", "28", "2 ea", "FN", "08:30, 11:00"],
    ];
    assert_eq!(written(folder.path(), None).table("the day's work", &columns), expected);
}

/// The 06:00 run: axles for U4 at 06:00 and U5 at 07:00, 174 kg in all; sinks of 4 kg and a microwave of 14; then, at 08:00, 400
/// screws of 4 g and a roof air unit.
#[test]
fn the_driver_has_the_stations_by_first_need() {
    let written = written(&example(), None);
    let columns = ["needed", "station", "unit arrives", "kits", "labels", "lines in line order", "lines of bulk", "kg"];
    let expected = [
        ["Tue 14 Sep 06:00", "CH", "Tue 14 Sep 07:00", "2", "2", "2", "", "174"],
        ["Tue 14 Sep 06:00", "CB", "Tue 14 Sep 07:00", "3", "3", "", "", "26"],
        ["Tue 14 Sep 08:00", "FL", "", "", "", "", "1", "1.6"],
        ["Tue 14 Sep 08:00", "FN", "Tue 14 Sep 09:00", "1", "1", "", "", "36"],
    ];
    assert_eq!(written.table("driver 06.00", &columns), expected);
}

/// The axles stop nothing until 08:50 and come at 09:30, between the second run and the third; the microwave is wanted by 11:20, after
/// the third.
#[test]
fn the_driver_has_special_runs_by_their_latest_moment() {
    let written = written(&example(), None);
    let columns = ["at the last", "from", "there", "what, for whom and where to", "needed", "note"];
    let dock = "special run from the dock";
    let axles = "2 ea AX-35 Axle with brakes of order 7001 (day only) for U6 at CH";
    let expected = [["Tue 14 Sep 08:50", dock, "Tue 14 Sep 09:30", axles, "08:00", "late"]];
    assert_eq!(written.table("driver 08.30", &columns), expected);
    let microwave = "1 ea MW-07 Microwave of order 7002 for U6 at CB";
    let expected = [["Tue 14 Sep 11:20", dock, "Tue 14 Sep 10:00", microwave, "10:30", ""]];
    assert_eq!(written.table("driver 11.00", &columns), expected);
}

/// Axles of 58 kg: three can be picked, two of them for U4 (116 kg); one RA-13 of 36 kg.
#[test]
fn weights_stand_with_pieces_and_kits() {
    let folder = example_with(&[("Settings.csv", "kit cards,all\n")]);
    let written = written(folder.path(), None);
    let columns = ["part", "take", "kg each", "kg"];
    assert_eq!(written.row("stops 06.00", &columns, "part", "AX-35"), ["AX-35", "3", "58", "174"]);
    assert_eq!(written.row("stops 06.00", &columns, "part", "RA-13"), ["RA-13", "1", "36", "36"]);
    let kits = written.table("kits", &["run", "station", "unit", "lines", "kg", "what is not in it"]);
    assert!(kits.contains(&["the 06:00 run", "CH", "U4", "1", "116", ""].map(str::to_owned).to_vec()), "{kits:?}");
    let card = written.card("cards 06.00", "kit U4 at CH");
    assert!(card[0].starts_with("U4") && card[0].contains("CH") && card[0].contains("the 06:00 run"), "{card:?}");
    assert!(card[1].contains("1 line ") && card[1].contains("116 kg"), "{card:?}");
    let order = written.two_up("in line order", &["station", "place", "unit", "part", "qty"]);
    let expected =
        [["CH", "1", "U4", "AX-35", "2 ea"], ["CH", "2", "U5", "AX-35", "1 ea"], ["CH", "3", "U6", "AX-35", "2 ea"]];
    assert_eq!(order, expected);
}

/// The first run has 5 bins in zones A to D, fewer than a page of stops: one walk, whose cart has CH before CB before FN, at each its
/// units in line order. SNK-02 is low with 2 left of 5 after 3 are taken; the axles for U6 come at 09:30 and are needed at 08:00.
#[test]
fn a_walk_says_what_goes_where_and_what_is_not_there() {
    let written = written(&example(), None);
    let columns = ["stop", "location", "take", "part", "for", "mind"];
    let expected = [
        ["1", "A-1", "3 ea", "AX-35", "2 to 1; 1 to 2", "empty after"],
        ["2", "B-2", "400 ea", "SCR-40", "FL 400", "empty after; part pack: 400 of 500 in the stores"],
        ["3", "C-4", "3 ea", "SNK-02", "1 each to 3, 4, 5", "low: 5 there"],
        ["4", "C-10", "1 ea", "MW-07", "4 CB U3", "empty after"],
        ["5", "D-1", "1 ea", "RA-13", "6 FN U1", ""],
        ["", "not there", "2 ea", "AX-35", "CH U6", "late: comes 09:30"],
    ];
    assert_eq!(written.two_up("walks 06.00", &columns), expected);
    let text = written.text("walks 06.00");
    for place in ["1 CH U4", "2 CH U5", "3 CB U2", "4 CB U3", "5 CB U4", "6 FN U1", "What was not there: tell the line"]
    {
        assert!(text.contains(place), "{place}: {text}");
    }
    assert!(text.contains("first needed Tue 14 Sep 06:00, first unit arrives Tue 14 Sep 07:00"), "{text}");
}

/// Two axles of 58 kg for U4, wanted 60 minutes before it arrives. U6's are not there.
#[test]
fn a_label_says_what_is_in_the_kit_and_what_is_not() {
    let written = written(&example(), None);
    let label = written.label("labels 06.00", "U4", "CH");
    assert_eq!(
        label[..4],
        [
            "the 06:00 run, walk 1, place 1: A, B, C, D",
            "needed Tue 14 Sep 06:00, unit arrives 07:00",
            "1 line, 2 pc; 116 kg",
            "the whole kit",
        ]
    );
    assert!(label[4].starts_with("planned whole"), "{label:?}");
    let expected = [
        "the 06:00 run",
        "needed Tue 14 Sep 08:00, unit arrives 09:00",
        "",
        "nothing of it is there",
        "not in it: AX-35, comes Tue 14 Sep 09:30",
    ];
    assert_eq!(written.label("labels 06.00", "U6", "CH"), expected);
}

#[test]
fn a_card_says_what_is_not_in_the_kit_and_when_it_comes() {
    let card = written(&example(), None).card("cards 08.30", "kit U6 at CB").join("\n");
    assert!(
        card.contains("not in it: 1 ea MW-07 Microwave: special run, comes Tue 14 Sep 10:00, order 7002"),
        "{card}"
    );
    assert!(card.contains("SNK-02"), "{card}");
}

/// With a limit of 25 kg an axle (58) and a roof air unit (36) are marked, a microwave (14) is not; a part without a weight is
/// never 0.
#[test]
fn heavy_pieces_and_unknown_weights_are_marked_in_words() {
    let parts = "HOSE,Hose,ea,buy,kit,,E-1,\n";
    let folder = example_with(&[
        ("Settings.csv", "one person lifts,25\nkit cards,all\n"),
        ("Parts.csv", parts),
        ("Bills.csv", "T,HOSE,1,CB,\n"),
        ("Stock.csv", "HOSE,9,E-1,,\n"),
    ]);
    let written = written(folder.path(), None);
    let note = |part: &str| written.row("stops 06.00", &["part", "what to know"], "part", part)[1].clone();
    assert_eq!(note("AX-35"), "bin empty after; each above one person's 25 kg");
    assert_eq!(note("RA-13"), "above one person's 25 kg");
    assert_eq!(note("MW-07"), "bin empty after");
    assert_eq!(note("HOSE"), "weight not known");
    assert_eq!(written.row("stops 06.00", &["part", "kg"], "part", "HOSE"), ["HOSE", "not known"]);
    let card = written.card("cards 06.00", "kit U4 at CB").join("\n");
    assert!(card.contains("4 kg and 1 line with weight not known"), "{card}");
}

/// 150 more parts for each T at CB: no page holds U4's card, so it is named again on each of its pages, and every page of the
/// sheet ends before a card or before such a name.
#[test]
fn a_long_kit_is_named_on_each_of_its_pages() {
    let all = |line: fn(usize) -> String| (0..150).map(line).collect::<String>();
    let folder = example_with(&[
        ("Settings.csv", "kit cards,all\n"),
        ("Parts.csv", &all(|i| format!("P{i:03},Small part {i},ea,buy,kit,,F-{i},0.1\n"))),
        ("Bills.csv", &all(|i| format!("T,P{i:03},1,CB,\n"))),
        ("Stock.csv", &all(|i| format!("P{i:03},9,F-{i},,\n"))),
    ]);
    let written = written(folder.path(), None);
    let cards = written.text("cards 06.00");
    let lines: Vec<&str> = cards.lines().map(str::trim).collect();
    let pages = lines.iter().filter(|line| line.starts_with("kit U4 at CB, page ")).count();
    assert!(pages > 1, "{cards}");
    for page in 1..=pages {
        assert!(cards.contains(&format!("kit U4 at CB, page {page} of {pages}")), "page {page} of {pages}: {cards}");
    }
    for row in &written.breaks["cards 06.00"] {
        let line = lines[*row as usize];
        let starts = line.starts_with("kit U") && line.contains(", page ") || line.ends_with("the 06:00 run");
        assert!(starts, "a page begins with '{line}'");
    }
}

/// At 07:00 on Tuesday, with U2 at FL, its sink for CB is needed at 08:00 - 60 = 07:00 with the 06:00 run, which has left.
#[test]
fn what_is_overdue_stands_first() {
    let written = written(&example(), Some("2027-09-14 07:00"));
    let rows = written.table("overdue and owed", &["run that has left", "part", "unit", "to", "needed"]);
    let sink = ["Tue 14 Sep 06:00", "SNK-02", "U2", "CB", "Tue 14 Sep 07:00"].map(str::to_owned).to_vec();
    assert!(rows.contains(&sink), "{rows:#?}");
    let walks: Vec<&String> = written.names.iter().filter(|name| name.starts_with("walk")).collect();
    assert_eq!(walks, ["walks overdue", "walks 08.30", "walks 11.00"]);
    assert!(written.text("front").contains("overdue: see 'overdue and owed'"));
    assert!(
        written
            .text("front")
            .contains("The rest of the day, from the 08:30 run. This replaces what was printed of it before 07:00.")
    );
}

/// A sink owed to U1, which has passed CB: it stands with its reason, and goes with the last run before 09:00.
#[test]
fn what_is_owed_says_why_and_with_which_run() {
    let extras = "part,qty,to,needed,unit,reason\nSNK-02,1,CB,2027-09-14 09:00,U1,=owed: cracked\n";
    let folder = example_with(&[("Extras.csv", extras)]);
    let written = written(folder.path(), None);
    let columns = ["goes with", "part", "unit", "to", "how it stands", "where it comes from", "why it is owed"];
    let expected = [["the 08:30 run", "SNK-02", "U1", "CB", "in time", "stock", "=owed: cracked"]];
    assert_eq!(written.table("overdue and owed", &columns), expected);
    let note = written.row("stops 08.30", &["part", "what to know"], "part", "SNK-02")[1].clone();
    assert!(note.contains("=owed: cracked"), "{note}");
}

/// U4's order asks for an option that no floorplan offers.
#[test]
fn a_unit_set_aside_stands_on_the_front_with_the_reason() {
    let folder = example_with(&[("Options.csv", "SOL,Solar panel,\n"), ("Sequence.csv", "L1,70,U7,D,SOL,\n")]);
    let written = written(folder.path(), None);
    let row = written.row("front", &["what is wrong", "unit", "why"], "what is wrong", "set aside");
    assert_eq!(row[1], "U7");
    assert!(row[2].contains("SOL") && row[2].contains("not offer"), "{row:?}");
    assert!(written.text("front").contains("1 unit is set aside for a wrong order"));
}

/// Stock that lies elsewhere than the part's own location is met where it lies; what is reserved says for whom.
#[test]
fn a_walk_goes_where_the_stock_lies() {
    let folder = example_with(&[("Stock.csv", "AW-12,2,A-10-1,,\n")]);
    std::fs::write(
        folder.path().join("Stock.csv"),
        "part,qty,location,station,unit,hold\nAX-35,9,A-1,,,\nSNK-02,2,C-4,,,\nSNK-02,3,A-10-1,,,\nSNK-02,1,A-2-1,,U3,\n\
         SNK-02,1,C-4,,,cracked\n",
    )
    .expect("a table");
    let written = written(folder.path(), None);
    // Run 06:00: U3's own from A-2-1, those of U2 and U4 from the part's own bin C-4.
    let rows: Vec<_> = written.table("stops 06.00", &WALK).into_iter().filter(|row| row[1] == "SNK-02").collect();
    let expected = [
        ["A-2-1", "SNK-02", "1", "1", "0", "bin empty after; reserved for U3", "CB: U3 1"],
        ["C-4", "SNK-02", "2", "2", "0", "bin empty after; leave 1 more, on hold: cracked", "CB: U2 1, U4 1"],
    ];
    assert_eq!(rows, expected);
    let rows: Vec<_> = written.table("stops 08.30", &WALK).into_iter().filter(|row| row[1] == "SNK-02").collect();
    assert_eq!(rows, [["A-10-1", "SNK-02", "3", "2", "1", "", "CB: U5 1, U6 1"]]);
}
