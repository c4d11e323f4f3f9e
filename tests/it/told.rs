//! What a person meant otherwise than it is read, and what is told of it: words for yes and no, mistyped codes, copies, long
//! standstills; catches a warning that comes where all is well, or stays away one step further.

use super::museum::sound;
use super::support::{Sheets, Tables};
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::time::{Duration, Instant};

/// The findings of a kind, each as `file:row column: value: message (nearest)`.
fn of_kind(sheets: &Sheets, kind: &str) -> Vec<String> {
    let findings = sheets.findings();
    let found = findings.iter().filter(|finding| finding.kind.name == kind);
    found
        .map(|f| {
            let near = f.nearest.as_ref().map(|near| format!(" ({near})")).unwrap_or_default();
            format!("{}:{} {}: {}: {}{near}", f.place.file, f.place.row, f.place.column, f.value, f.message)
        })
        .collect()
}

/// How many findings of a kind there are.
fn count(sheets: &Sheets, kind: &str) -> usize {
    of_kind(sheets, kind).len()
}

/// A plant of two stations whose units need one part.
fn plant(units: u32) -> Sheets {
    let mut sheets = Sheets::plant(&["X", "Y"]);
    sheets.add("Parts", "SINK,ea").add("Bills", "TEAL,SINK,1,X\nTEAL,SINK,1,Y");
    (1..=units).for_each(|unit| _ = sheets.add("Sequence", &format!("L1,{unit},U{unit},TEAL")));
    sheets
}

fn written(sheets: &Sheets, folder: &Path) -> PathBuf {
    let book = folder.join("book");
    std::fs::create_dir_all(&book).expect("a folder");
    for (table, text) in &sheets.0 {
        std::fs::write(book.join(format!("{table}.csv")), format!("{text}\n")).expect("a file");
    }
    book
}

fn run(words: &[&str]) -> (Option<i32>, String, String) {
    let Output { status, stdout, stderr } =
        Command::new(env!("CARGO_BIN_EXE_lineward")).args(words).output().expect("the command runs");
    (status.code(), String::from_utf8(stdout).expect("UTF-8"), String::from_utf8(stderr).expect("UTF-8"))
}

fn path(path: &Path) -> &str {
    path.to_str().expect("a path")
}

/// Contract, section 1: which words say yes, which say no, and that what is neither is an error.
#[test]
fn done_takes_words_for_yes_and_no_and_days() {
    let with = |done: &str| {
        let mut sheets = plant(0);
        sheets.set("Sequence", &format!("line,seq,unit,floorplan,done\nL1,1,U1,TEAL,{done}\nL1,2,U2,TEAL,"));
        sheets
    };
    let planned = |done: &str| with(done).plan().column("units", "", "unit");
    for yes in ["yes", "Y", "TRUE", "1", "x", "done", "2027-09-10", "2027-09-10 13:30"] {
        assert_eq!(planned(yes), ["U2"], "{yes}");
    }
    for no in ["", "-", "no", "N", "false", "0"] {
        assert_eq!(planned(no), ["U1", "U2"], "{no}");
    }
    for neither in ["nein", "?", "gone", "10.09.2027", "2"] {
        let told = of_kind(&with(neither), "not-in-list");
        let expected = format!("Sequence.csv:2 done: {neither}: expected yes, no, or the day on which it was done");
        assert!(told.len() == 1 && told[0].starts_with(&expected), "{told:?}");
    }
    // A day is done when it has come: that of the as-of moment has.
    assert_eq!(count(&with("2027-09-13"), "done-ahead"), 0);
    assert_eq!(count(&with("2027-09-14"), "done-ahead"), 1);
}

#[test]
fn open_takes_words_for_yes_and_no_alone() {
    let with = |open: &str| {
        let mut sheets = plant(1);
        let hours = format!("calendar,day,start,end,open\nDAY,Mon-Fri,06:00,14:00,\nDAY,Mon-Fri,06:00,07:00,{open}");
        sheets.set("Calendar", &hours);
        sheets
    };
    let enters = |open: &str| with(open).plan().column("units", "", "enters");
    for open in ["yes", "y", "True", "1", "X", "", "-"] {
        assert_eq!(enters(open), ["2027-09-13T06:00:00"], "{open}");
    }
    // The first hour is taken out.
    for closed in ["no", "N", "false", "0"] {
        assert_eq!(enters(closed), ["2027-09-13T07:00:00"], "{closed}");
    }
    for neither in ["maybe", "closed", "done", "2027-09-13"] {
        let told = of_kind(&with(neither), "not-in-list");
        assert_eq!(told.len(), 1, "{neither}");
        assert!(told[0].starts_with(&format!("Calendar.csv:3 open: {neither}: expected yes or no")), "{told:?}");
    }
}

#[test]
fn any_other_text_holds() {
    let with = |hold: &str| {
        let mut sheets = plant(1);
        sheets.set("Stock", &format!("part,qty,hold\nSINK,2,{hold}"));
        sheets.plan().column("pegs", "", "cover")
    };
    for free in ["", "-", "no", "N", "FALSE", "0"] {
        assert_eq!(with(free), ["stock", "stock"], "{free}");
    }
    for held in ["glass scratched", "nein", "--", "yes", "x", "1"] {
        assert_eq!(with(held), ["none", "none"], "{held}");
    }
}

/// Two reasons on three rows of stock and one in the sequence; capitals make no other reason.
#[test]
fn the_reasons_to_hold_are_listed() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut sheets = plant(0);
    sheets
        .set("Sequence", "line,seq,unit,floorplan,hold\nL1,1,U1,TEAL,\nL1,2,U2,TEAL,nein")
        .set("Stock", "part,qty,hold\nSINK,1,no\nSINK,1,wet\nSINK,1,scratched\nSINK,1,Scratched\nNOBODY,1,-");
    let book = written(&sheets, folder.path());
    let (_, told, _) = run(&["check", path(&book)]);
    let from = told.find("on hold").expect("a list");
    let list: Vec<&str> = told[from..].lines().take(4).collect();
    let expected = [
        "on hold (any text holds but no, n, false, 0 and -):",
        "  Sequence: 'nein': 1 row 3",
        "  Stock: 'scratched': 2 rows, the first 4",
        "  Stock: 'wet': 1 row 3",
    ];
    assert_eq!(list, expected, "{told}");
    let (_, json, _) = run(&["check", path(&book), "--json"]);
    let json: serde_json::Value = serde_json::from_str(&json).expect("JSON");
    assert_eq!(json["held"][1]["reason"], "scratched");
    assert_eq!(json["held"][1]["rows"], 2);
    let out = folder.path().join("found.xlsx");
    run(&["check", path(&book), "--out", path(&out)]);
    let mut workbook = calamine::open_workbook_auto(&out).expect("a workbook");
    let sheet = calamine::Reader::worksheet_range(&mut workbook, "By kind").expect("a sheet");
    let rows: Vec<String> = sheet.rows().map(|row| row.iter().map(ToString::to_string).collect()).collect();
    assert!(rows.iter().any(|row| row == "Stockhold2scratched4"), "{rows:?}");
    // A hundred reasons are a list of ten.
    (0..100).for_each(|i| _ = sheets.add("Stock", &format!("SINK,1,reason {i}")));
    let (_, told, _) = run(&["check", path(&written(&sheets, folder.path()))]);
    assert!(told.contains("... and 93 more reasons (--all tells them)"), "{told}");
}

/// Each garbled cell is told as what it is: none is full and told to be blank, or to be missing.
#[test]
fn no_full_cell_is_blamed_for_being_blank() {
    let sound = sound();
    let mut cells = 0;
    for (table, text) in &sound.0 {
        let rows: Vec<Vec<&str>> = text.lines().map(|line| line.split(',').collect()).collect();
        for (i, row) in rows.iter().enumerate().skip(1) {
            for (j, heading) in rows[0].iter().enumerate().filter(|(j, _)| *j < row.len()) {
                let mut garbled = rows.clone();
                garbled[i][j] = "#?";
                let mut sheets = sound.clone();
                let lines: Vec<String> = garbled.iter().map(|row| row.join(",")).collect();
                sheets.set(table, &lines.join("\n"));
                let findings = sheets.findings();
                let here = findings.iter().filter(|finding| {
                    let place = &finding.place;
                    place.table == *table && place.row == i as u32 + 1 && *place.column == **heading
                });
                for finding in here {
                    let kind = finding.kind.name;
                    let blames = ["missing-value", "no-station", "no-shop", "half-hours"].contains(&kind)
                        || ["blank", "needs", "no date"].iter().any(|word| finding.message.contains(word));
                    assert!(!blames, "{table} row {} {heading}: {finding}", i + 1);
                }
                cells += 1;
            }
        }
    }
    assert!(cells > 150, "{cells}");
}

#[test]
fn a_code_is_near_where_one_would_bet_on_it() {
    let with = |code: &str| {
        let mut sheets = Sheets::plant(&["X"]);
        sheets
            .add("Parts", "KAM-01,ea\nKAM-03,ea")
            .add("Bills", "TEAL,KAM-01,1,X")
            .set("Sequence", "line,seq,unit,floorplan\nL1,1,U1,TEAL")
            .set("Stock", &format!("part,qty\nKAM-03,1\n{code},4"));
        sheets
    };
    for code in ["KAM01", "kam 1", "KAM-O1", "KMA-01", "KM-01", "KAN-01", "KAMM-01", "KAM--001"] {
        let expected = format!("Stock.csv:3 part: {code}: no such part; the row is left out (KAM-01)");
        assert_eq!(of_kind(&with(code), "mistyped-code"), [expected]);
        assert_eq!(count(&with(code), "stock-of-unknown-parts"), 0, "{code}");
    }
    for code in ["KAM-02", "KAM-10", "KAM-011", "KAM-01L", "CAB-01", "OLD-7731", "1", "KAM"] {
        assert_eq!(count(&with(code), "mistyped-code"), 0, "{code}");
        assert_eq!(count(&with(code), "stock-of-unknown-parts"), 1, "{code}");
    }
}

/// A hundred thousand unknown codes, half of them with a letter too many: all are told, and it takes about as long as they
/// have letters. (A comparison of each with each would take minutes.)
#[test]
fn many_unknown_codes_are_told_at_once() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut sheets = plant(1);
    let word = |mut number: usize| -> String {
        (0..5)
            .map(|_| {
                let letter = char::from(b'A' + (number % 26) as u8);
                number /= 26;
                letter
            })
            .collect()
    };
    let known: Vec<String> = (0..5_000).map(|i| format!("{}-77,ea", word(i))).collect();
    let near = (0..50_000).map(|i| format!("{}{}-77,1", word(i / 10), char::from(b'K' + (i % 10) as u8)));
    let far = (0..50_000).map(|i| format!("90{i:05},1"));
    let rows: Vec<String> = near.chain(far).collect();
    sheets.add("Parts", &known.join("\n")).set("Stock", &format!("part,qty\n{}", rows.join("\n")));
    let book = written(&sheets, folder.path());
    let begun = Instant::now();
    let (status, told, _) = run(&["check", path(&book)]);
    assert!(begun.elapsed() < Duration::from_secs(20), "{:?}", begun.elapsed());
    assert_eq!(status, Some(0), "{told}");
    assert!(told.contains("50000 mistyped-code: ") && told.contains("... and 49990 more (--all tells them)"), "{told}");
    assert!(told.contains("rows of stock of unknown parts left out: 50000"), "{told}");
    assert!(told.lines().count() < 30, "{told}");
}

#[test]
fn a_bill_line_twice_is_one_that_nothing_tells_apart() {
    let with = |rows: &str| {
        let mut sheets = sound();
        let text = sheets.0["Bills"].lines().map(|line| format!("{line},")).collect::<Vec<_>>().join("\n");
        sheets.set("Bills", &text.replacen("uom,", "uom,note", 1)).add("Bills", rows);
        of_kind(&sheets, "bill-line-twice")
    };
    // The same condition in other letters; the part's own unit of measure written out; a third one.
    let told = with("TEAL,TAPS,1,X,( ac ),,,,\nTEAL,SINK,1,X,,,,ea,\nTEAL,SINK,3,x,,,,,");
    let same = |row: u32, part: &str, first: u32, qty: u32| {
        format!("Bills.csv:{row} part: {part}: row {first} is the same line: both count, 1 there and {qty} here")
    };
    assert_eq!(told, [same(10, "TAPS", 5, 1), same(11, "SINK", 2, 1), same(12, "SINK", 2, 3)]);
    for other in [
        "TEAL,SINK,1,Y,,,,,",
        "TEAL,SINK,1,X,AC,,,,",
        "TEAL,SINK,1,X,,,C1,,",
        "TEAL,SINK,1,X,,,,,for the shower",
        "TAPS,SINK,1,X,not MIC,,,,",
        "CABS,SKIN,12,,,5%,,sqin,",
    ] {
        assert_eq!(with(other), [""; 0], "{other}");
    }
}

#[test]
fn a_receipt_twice_is_the_same_in_all() {
    let with = |row: &str| {
        let mut sheets = sound();
        sheets.add("Parts", "BOLT,ea,,,").add("Receipts", row);
        count(&sheets, "receipt-twice")
    };
    assert_eq!(with("4711,sink,5.0,2027-09-14"), 1);
    for other in [
        "4712,SINK,5,2027-09-14",
        "4711,BOLT,5,2027-09-14",
        "4711,SINK,4,2027-09-14",
        "4711,SINK,5,2027-09-15",
        "4711,SINK,5,2027-09-14 06:00",
    ] {
        assert_eq!(with(other), 0, "{other}");
    }
    // Nothing is open any more, twice.
    assert_eq!(with("4711,SINK,0,2027-09-14\n4711,SINK,0,2027-09-14"), 0);
}

/// To the day: 2026-09-13 lies a year before the as-of date, and one day earlier more than that.
#[test]
fn a_receipt_is_long_overdue_after_a_year() {
    let with = |due: &str| {
        let mut sheets = sound();
        sheets.set("Receipts", &format!("purchase order,part,qty,due\n4711,SINK,5,{due}"));
        count(&sheets, "long-overdue")
    };
    assert_eq!(["2027-09-01", "2026-09-13", "2026-09-12 23:59", "2016-09-14"].map(with), [0, 0, 1, 1]);
}

/// A fifth and more as a number; a percent sign says what is meant.
#[test]
fn a_high_scrap_says_what_was_read() {
    let with = |scrap: &str| {
        let mut sheets = sound();
        let text = sheets.0["Bills"].replace(",0.05,", &format!(",{scrap},"));
        of_kind(sheets.set("Bills", &text), "high-scrap")
    };
    for (scrap, percent) in [("0.2", "20"), ("0.5", "50"), (".999", "99.9")] {
        assert_eq!(with(scrap), [format!("Bills.csv:8 scrap: {scrap}: read as {percent} % ({scrap}%)")]);
    }
    for fine in ["0.199", "0.05", "20%", "50 %", "0"] {
        assert_eq!(with(fine), [""; 0], "{fine}");
    }
}

#[test]
fn a_made_part_lacks_minutes_where_others_have_some() {
    let with = |cabs: &str, wall: &str| {
        let mut sheets = sound();
        sheets.set(
            "Parts",
            &format!(
                "part,uom,source,shop,issue,minutes\nSINK,ea,,,,\nSKIN,sqft,,,bulk,\nCABS,ea,make,CAB,,{cabs}\n\
                 WALL,ea,make,WAL,,{wall}\nOFFCUT,ea,by-product,,,\nTAPS,ea,phantom,,,"
            ),
        );
        of_kind(&sheets, "made-without-minutes")
    };
    let told = |row: u32, part: &str| {
        [format!("Parts.csv:{row} minutes: : {part} is made, but in no time: its minutes are blank")]
    };
    assert_eq!(with("30", ""), told(5, "WALL"));
    assert_eq!(with("", "0"), told(4, "CABS"));
    assert_eq!(with("30", "0"), [""; 0]);
    assert_eq!(with("", ""), [""; 0], "a plant that plans without minutes");
}

#[test]
fn stock_in_fractions_of_a_piece() {
    let with = |parts: &str, row: &str| {
        let mut sheets = plant(1);
        sheets.set("Parts", "part,uom,issue\nSINK,ea,").add("Parts", parts);
        sheets.set("Conversions", "part,from,to,factor\n,box,ea,12\nNAIL,kg,ea,100.5");
        sheets.set("Stock", &format!("part,qty,uom\n{row}"));
        count(&sheets, "fraction-of-a-piece")
    };
    assert_eq!(with("NAIL,ea,bulk", "SINK,1.5,"), 1);
    assert_eq!(with("NAIL,ea,bulk", "NAIL,1.5,"), 1, "in bulk, but counted");
    assert_eq!(with("NAIL,ea,bulk", "SINK,0.1,box"), 1, "1.2 of them");
    assert_eq!(with("NAIL,ea,bulk", "SINK,1.50,box"), 0, "18 of them");
    assert_eq!(with("NAIL,ea,bulk", "NAIL,1,kg"), 0, "100.5 of what is weighed");
    assert_eq!(with("NAIL,kg,", "NAIL,1.5,"), 0);
}

/// Fifty units, eight a day: the last are built on Monday 20 and Tuesday 21 September. A closing of two weeks from Monday to
/// Sunday is common practice; one more Monday is more than that. From Friday 17 September 14:00 to Tuesday 5 October 06:00
/// it is 17 days and 16 hours.
#[test]
fn a_line_stands_still_for_more_than_two_weeks() {
    let with = |closing: &str| {
        let mut sheets = plant(50);
        of_kind(sheets.add("Calendar", closing), "stands-still")
    };
    assert_eq!(with("DAY,2027-09-20 to 2027-10-03,,"), [""; 0]);
    let told = with("DAY,2027-09-20 to 2027-10-04,,");
    let message =
        "line L1, the stores without work from 2027-09-17 14:00 to 2027-10-05 06:00, 17 days: row 3 closes it";
    assert_eq!(told, [format!("Calendar.csv:3 day: 2027-09-20 to 2027-10-04: {message}")]);
    // Three rows that together close it: told at the longest.
    let told = with("DAY,2027-09-20,,\nDAY,2027-09-21 to 2027-10-01,,\nDAY,2027-10-04 to 2027-10-08,,");
    assert_eq!(told.len(), 1);
    assert!(told[0].starts_with("Calendar.csv:4 day: 2027-09-21 to 2027-10-01: "), "{told:?}");
    assert!(told[0].ends_with("2027-10-11 06:00, 23 days: rows 3, 4, 5 close it"), "{told:?}");
    // Behind the last unit, before the as-of moment.
    assert_eq!(with("DAY,2027-09-27 to 2028-12-31,,"), [""; 0]);
    assert_eq!(with("DAY,2026-12-01 to 2027-01-31,,"), [""; 0]);
}

#[test]
fn a_shop_stands_still_alone() {
    let mut sheets = plant(50);
    sheets.add("Calendar", "CABS,Mon-Sun,06:00,14:00\nCABS,2027-09-15 to 2028-09-30,,");
    sheets.set("Shops", "shop,calendar\nCAB,CABS");
    let told = of_kind(&sheets, "stands-still");
    assert_eq!(told.len(), 1);
    assert!(
        told[0].contains(": shop CAB without work from 2027-09-14 14:00 to 2028-10-01 06:00, 382 days"),
        "{told:?}"
    );
}

/// A calendar that lists each day it works on: there is nothing between two of them but what it leaves out.
#[test]
fn days_that_a_calendar_leaves_out_are_told() {
    let mut sheets = plant(9);
    let mut days = "calendar,day,start,end\nDAY,2027-09-13,06:00,14:00".to_owned();
    (1..9).for_each(|day| days += &format!("\nDAY,2028-09-{day:02},06:00,14:00"));
    let told = of_kind(sheets.set("Calendar", &days), "stands-still");
    assert_eq!(told.len(), 1);
    assert!(told[0].starts_with("Calendar.csv:0"), "{told:?}");
    assert!(told[0].ends_with("from 2027-09-13 14:00 to 2028-09-01 06:00, 353 days: no row gives hours in between"));
}

/// Two weeks have 80 hours of work: 79 places left empty are 80 hours from the unit before, 80 are 81.
#[test]
fn a_unit_that_enters_long_after_the_one_before_is_told() {
    let with = |gap: u32| {
        let mut sheets = plant(0);
        let units = format!("L1,1,U1,TEAL,\nL1,2,U2,TEAL,{gap}\nL1,3,U3,TEAL,");
        of_kind(sheets.set("Sequence", &format!("line,seq,unit,floorplan,gap\n{units}")), "long-wait")
    };
    assert_eq!(with(79), [""; 0]);
    // Move 81 is the second of the eleventh working day: ten days of eight moves, from Monday 13 to Monday 27 September.
    let message = "U2 enters its line on 2027-09-27, 14 days after U1 (row 2); 1 unit behind it waits, too";
    assert_eq!(with(80), [format!("Sequence.csv:3 gap: 80: {message}")]);
    // The first unit, by its date: nothing stands before it.
    let mut sheets = plant(0);
    sheets.set("Sequence", "line,seq,unit,floorplan,start\nL1,1,U1,TEAL,2028-09-13\nL1,2,U2,TEAL,");
    let message = "U1 enters its line on 2028-09-13, 366 days after the as-of moment; 1 unit behind it waits, too";
    assert_eq!(of_kind(&sheets, "long-wait"), [format!("Sequence.csv:2 start: 2028-09-13: {message}")]);
    // A closing is told as such, not at each unit.
    let mut sheets = plant(50);
    assert_eq!(count(sheets.add("Calendar", "DAY,2027-09-14 to 2028-09-13,,"), "long-wait"), 0);
}

/// 4,800 minutes are two weeks of 40 hours.
#[test]
fn a_takt_of_more_than_two_weeks_is_told() {
    let with = |minutes: &str| {
        let mut sheets = plant(1);
        of_kind(sheets.set("Takt", &format!("line,from,minutes\nL1,2027-01-01,{minutes}")), "long-wait")
    };
    assert_eq!(with("4800"), [""; 0]);
    let told = with("4801");
    assert_eq!(told, ["Takt.csv:2 minutes: 4801: units of L1 stand longer than two weeks at each position"]);
}

#[test]
fn a_condition_says_which_name_lacks_its_marks() {
    let mut sheets = plant(1);
    sheets.set("Floorplans", "floorplan\nTEAL\nDUNLIN 15").set("Options", "option\nAC");
    sheets.set("Bills", "parent,part,qty,station,when\nTEAL,SINK,1,X,AC and not dunlin 15");
    let message = "quote the name \"dunlin 15\", since it holds a space: at letter 12";
    assert_eq!(of_kind(&sheets, "bad-expression"), [format!("Bills.csv:2 when: AC and not dunlin 15: {message}")]);
    assert_eq!(count(&sheets, "unknown-name"), 0);
}

/// Twelve mistyped stations: `plan` tells ten and how many more, and what is wrong above them.
#[test]
fn a_plan_that_is_refused_groups_its_errors() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut sheets = plant(1);
    (1..=12).for_each(|i| _ = sheets.add("Bills", &format!("TEAL,SINK,1,Q{i}")));
    let out = folder.path().join("out");
    let (status, _, told) = run(&["plan", path(&written(&sheets, folder.path())), "--out", path(&out)]);
    assert_eq!(status, Some(1));
    let lines: Vec<&str> = told.lines().collect();
    assert!(lines[0].starts_with("12 unknown-station: "), "{told}");
    assert!(lines[1..11].iter().all(|line| line.starts_with("error: unknown-station: Bills.csv row ")), "{told}");
    assert_eq!(lines[11], "... and 2 more ('lineward check --all' tells them)");
    assert!(lines[lines.len() - 1].ends_with("nothing was written"), "{told}");
    assert!(!out.exists());
}

/// Ten units, a move an hour, eight a day: the last one needs its sink at Y at move 10, Tuesday 14 September 08:00.
#[test]
fn a_day_outside_the_plan_is_refused() {
    let folder = tempfile::tempdir().expect("a folder");
    let book = written(&plant(10), folder.path());
    let plan = |day: &str| {
        let out = folder.path().join(format!("out {day}"));
        let (status, _, told) = run(&["plan", path(&book), "--day", day, "--tables", "none", "--out", path(&out)]);
        (status, told, out.exists())
    };
    for day in ["2028-09-14", "2027-09-15", "2027-09-12", "2026-09-14"] {
        let (status, told, exists) = plan(day);
        assert_eq!((status, exists), (Some(2), false), "{day}: {told}");
        assert!(told.contains("its delivery runs leave from 2027-09-13 to 2027-09-14"), "{told}");
    }
    for day in ["2027-09-13", "2027-09-14"] {
        assert_eq!(plan(day).0, Some(0), "{day}");
    }
}

/// A plant's own forms in a manifest; the clean book has none of them, and is as sound.
#[test]
fn a_book_in_clean_form_says_what_its_files_say() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut sheets = sound();
    sheets
        .set("Settings", "key,value\nas of,13.09.2027 06:00\nreceipts at,06:00\nhand over minutes,7:5")
        .add("Calendar", "DAY,24.12.2027 to 31.12.2027,,\nDAY,06.01.2028,,")
        .set("Sequence", "line,seq,unit,floorplan,done\nL1,1,U1,TEAL,10.09.2027\nL1,2,U2,TEAL,x\nL1,3,U3,TEAL,");
    let text = sheets.0["Bills"].replace("5%", "2:5%").replace("0.05", "0:05");
    sheets.set("Bills", &text);
    for (table, column) in [("Changes", "C1,2027-09-14,"), ("Receipts", "4711,SINK,5,2027-09-14")] {
        let text = sheets.0[table].replace(column, &column.replace("2027-09-14", "14.09.2027"));
        sheets.set(table, &text);
    }
    let book = written(&sheets, folder.path());
    let mut manifest = "decimal = \",\"\ndates = \"dd.mm.yyyy\"\nseparator = \";\"\n".to_owned();
    for (table, text) in &sheets.0 {
        // The decimal comma is written as a colon above, but for the hours, so that the comma separates cells there.
        let text = text.replace(',', ";").replace("7:5", "7,5").replace("2:5%", "2,5%").replace("0:05", "0,05");
        std::fs::write(book.join(format!("{table}.csv")), text + "\n").expect("a file");
        manifest += &format!("[{table}]\nfile = \"{table}.csv\"\n");
    }
    std::fs::write(book.join("lineward.toml"), manifest).expect("a file");
    let (status, told, _) = run(&["check", path(&book)]);
    assert_eq!(status, Some(0), "{told}");
    for name in ["clean", "clean.xlsx"] {
        let clean = folder.path().join(name);
        let (status, said, wrong) = run(&["new", path(&clean), "--from", path(&book)]);
        assert_eq!((status, said.ends_with(&format!("written: {}\n", clean.display()))), (Some(0), true), "{wrong}");
        let (status, told, _) = run(&["check", path(&clean)]);
        assert_eq!((status, told.as_str()), (Some(0), &*format!("{name}: nothing to report\n")));
    }
    let read =
        |table: &str| std::fs::read_to_string(folder.path().join(format!("clean/{table}.csv"))).expect("a table");
    assert!(read("Bills").contains(",2.5%,") && read("Bills").contains(",0.05,"), "{}", read("Bills"));
    assert!(read("Calendar").contains("DAY,2027-12-24 to 2027-12-31,"), "{}", read("Calendar"));
    assert!(read("Calendar").contains("DAY,2028-01-06,"), "{}", read("Calendar"));
    assert!(read("Settings").contains("hand over minutes,7.5"), "{}", read("Settings"));
    assert!(read("Sequence").contains("2027-09-10"), "{}", read("Sequence"));
}

#[test]
fn a_book_with_errors_is_written_only_where_that_is_meant() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut sheets = plant(1);
    sheets.add("Bills", "TEAL,SNIK,1,X").add("Stock", "part,qty\nSINK,-1");
    let book = written(&sheets, folder.path());
    for name in ["clean", "clean.xlsx"] {
        let clean = folder.path().join(name);
        let (status, _, told) = run(&["new", path(&clean), "--from", path(&book)]);
        assert_eq!((status, clean.exists()), (Some(1), false), "{told}");
        assert!(told.contains("error: unknown-part: Bills.csv row 4 column part: 'SNIK'"), "{told}");
        assert!(
            told.contains("1 error, 1 warning; nothing was written; --with-errors writes it all the same"),
            "{told}"
        );
        let (status, said, told) = run(&["new", path(&clean), "--from", path(&book), "--with-errors"]);
        assert_eq!((status, clean.exists()), (Some(0), true), "{told}");
        assert!(told.contains("error: unknown-part: "), "{told}");
        assert!(said.starts_with("book: 1 error, 1 warning ('lineward check' tells them)\nwritten: "), "{said}");
        assert_eq!(run(&["check", path(&clean)]).0, Some(1));
    }
    assert_eq!(run(&["new", path(&folder.path().join("x")), "--with-errors"]).0, Some(2));
    // A warning is told, and the book written.
    let warned = folder.path().join("warned");
    sheets.set("Bills", "parent,part,qty,station\nTEAL,SINK,1,X");
    let (status, said, _) = run(&["new", path(&warned), "--from", path(&written(&sheets, folder.path()))]);
    assert_eq!(
        (status, said.starts_with("book: 1 warning ('lineward check' tells them)\n")),
        (Some(0), true),
        "{said}"
    );
}

/// Headings that are no column's, or stand twice, are led to where they stand: `colour` in F, the second `qty` in I.
#[test]
fn findings_of_headings_lead_to_their_cells() {
    let folder = tempfile::tempdir().expect("a folder");
    let path_of_book = folder.path().join("book.xlsx");
    let mut workbook = rust_xlsxwriter::Workbook::new();
    for (table, text) in &sound().0 {
        let sheet = workbook.add_worksheet().set_name(table).expect("a name");
        for (row, line) in text.lines().enumerate() {
            for (column, cell) in line.split(',').enumerate() {
                sheet.write_string(row as u32, column as u16, cell).expect("a cell");
            }
        }
        match table.as_str() {
            "Parts" => _ = sheet.write_string(0, 5, "colour").expect("a cell"),
            "Bills" => _ = sheet.write_string(0, 8, "qty").expect("a cell"),
            _ => {}
        }
    }
    workbook.save(&path_of_book).expect("a workbook");
    let out = folder.path().join("found.xlsx");
    run(&["check", path(&path_of_book), "--out", path(&out)]);
    let mut archive = zip::ZipArchive::new(std::fs::File::open(&out).expect("a file")).expect("a zip");
    let sheet = std::io::read_to_string(archive.by_name("xl/worksheets/sheet2.xml").expect("a sheet")).expect("text");
    for cell in ["'Parts'!F1", "'Bills'!I1"] {
        assert!(sheet.contains(&format!("location=\"{cell}\"")), "{cell}: {sheet}");
    }
}

/// A missing conversion says the row to add; with it, the book is planned: 24 of the part are 2 boxes.
#[test]
fn the_row_that_is_missing_in_conversions_is_said() {
    let mut sheets = plant(1);
    sheets.set("Stock", "part,qty,uom\nSINK,2,crate");
    let message = "SINK is kept in ea: no conversion between the two; add a row to Conversions: part SINK, from crate, \
                   to ea, factor (how many ea one crate is)";
    assert_eq!(of_kind(&sheets, "no-conversion"), [format!("Stock.csv:2 uom: crate: {message}")]);
    sheets.set("Conversions", "part,from,to,factor\nSINK,crate,ea,12");
    let Tables(tables) = sheets.plan();
    assert!(tables["balances"].contains("SINK,2027-09-13,2,0,22,"), "{}", tables["balances"]);
}
