//! The buyer's paper: how many pages, counted from the sheets' own page ends, heights and widths, so that no other program is needed; and
//! the days on which somebody is asked to act. Catches a list that grows with what is wrong, and a day on which nobody is there.

use super::paper::pages;
use super::random_books::{Size, random_book};
use super::support::{Sheets, rounds};
use lineward::base::Date;
use lineward::plan::Plan;
use lineward::report::sheet::{Paper, Sheet};
use lineward::report::{self, table::Value};
use std::path::Path;

/// What is between the margins of a landscape A4 page, 297 by 210 mm with 0.4 inch at the sides and 0.6 above and below, in points.
const WIDE: f64 = 297.0 / 25.4 * 72.0 - 2.0 * 0.4 * 72.0;
const HIGH: f64 = 210.0 / 25.4 * 72.0 - 2.0 * 0.6 * 72.0;

/// How wide a sheet is in points: a digit is 5.56 wide (published metrics of Helvetica, ten points high), a column five seventh of one more.
fn width(sheet: &Sheet<'_>) -> f64 {
    sheet.widths.iter().map(|width| (f64::from(*width) + 5.0 / 7.0) * 5.56).sum()
}

fn height(sheet: &Sheet<'_>, row: u32) -> f64 {
    f64::from(sheet.rows[row as usize].height.unwrap_or(15))
}

/// How small a sheet is printed.
fn scale(sheet: &Sheet<'_>) -> f64 {
    let wide = (WIDE / width(sheet)).min(1.0);
    match sheet.paper {
        Paper::Scale(percent) => f64::from(percent) / 100.0,
        Paper::FitWidth => wide,
        Paper::OnePage => wide.min(HIGH / (0..sheet.next_row()).map(|row| height(sheet, row)).sum::<f64>()),
    }
}

fn demo() -> Sheets {
    Sheets::read(&Path::new(env!("CARGO_MANIFEST_DIR")).join("data/alder-fen"))
}

fn buyers<'p>(plan: &'p Plan<'p>) -> Vec<Sheet<'p>> {
    let [.., workbook] = report::workbooks(plan);
    assert_eq!(workbook.file, "shortages.xlsx");
    workbook.sheets
}

/// Ten pages at most; the first sheet one that can be read, at half the size of its letters or more.
fn is_few_pages(sheets: &Sheets, told: &str) {
    let look = |plan: &Plan<'_>| {
        let sheets = buyers(plan);
        let printed: Vec<_> = sheets.iter().filter(|sheet| !sheet.for_the_screen).collect();
        let of: Vec<_> = printed.iter().map(|sheet| (sheet.name.clone(), pages(sheet))).collect();
        assert!(of.iter().map(|(_, pages)| pages).sum::<usize>() <= 10, "{told}: {of:?}");
        assert_eq!(of[0], ("at a glance".to_owned(), 1));
        assert!(scale(printed[0]) >= 0.5, "{told}: the first sheet is printed at {}", scale(printed[0]));
        let title = |sheet: &Sheet<'_>| text(&sheet.rows[0].cells[0].value);
        assert!(sheets.iter().all(|sheet| title(sheet).starts_with("For the screen: ") == sheet.for_the_screen));
        of
    };
    let of = sheets.look(None, false, look).expect("a plan");
    println!("{told}: {of:?}");
}

#[test]
fn the_buyers_day_is_ten_pages_at_most() {
    is_few_pages(&demo(), "the demo");
    let mut sheets = demo();
    sheets.0.remove("Stock");
    sheets.0.remove("Receipts");
    is_few_pages(&sheets, "without stock and receipts");
    // The demo's line moves 460 minutes a day and every 30; at 7.6 minutes it is 60 units a day.
    let mut sheets = demo();
    sheets.set("Takt", "line,from,minutes\nL1,2027-08-30,7.6");
    is_few_pages(&sheets, "60 units a day");
}

fn text(value: &Value<'_>) -> String {
    match value {
        Value::Text(text) => text.to_string(),
        _ => String::new(),
    }
}

/// Columns that hold a day by which somebody acts, and words before such a day.
const COLUMNS: [&str; 4] = ["order by", "wanted on", "by when", "there by"];
const WORDS: [&str; 4] = ["order by ", "ordered today it comes ", "last day to order was ", ", there by "];

/// The date of `Tue 14 Sep`, near another.
fn date_of(words: &str, near: Date) -> Option<Date> {
    let short: Vec<&str> = words.split([' ', ';', ',', '.', ':', '(', ')']).take(3).collect();
    let short = short.join(" ");
    (-1_200..1_200)
        .map(|days| near.plus(days))
        .filter(|date| date.short() == short)
        .min_by_key(|date| (date.days() - near.days()).abs())
}

/// Each day by which somebody is asked to act is today or one on which the stores are open; gives how many there were.
fn stores_are_open(plan: &Plan<'_>, told: &str) -> usize {
    let (today, stores) = (plan.plant.as_of.date(), plan.plant.stores_calendar());
    let mut seen = 0;
    let mut look = |date: Date, at: &str| {
        seen += 1;
        assert!(date == today || stores.open_on(date), "{told}: {at}: {}", date.long());
    };
    for sheet in buyers(plan) {
        for table in &sheet.tables {
            for row in &sheet.rows[table.heading as usize + 1..=table.last as usize] {
                for cell in &row.cells {
                    let heading = table.headings[usize::from(cell.column)].as_str();
                    match &cell.value {
                        Value::Date(date) if COLUMNS.contains(&heading) => look(*date, heading),
                        Value::Moment(at) if COLUMNS.contains(&heading) => look(at.date(), heading),
                        Value::Text(words) => {
                            for word in WORDS {
                                let dates = words
                                    .match_indices(word)
                                    .filter_map(|(at, _)| date_of(&words[at + word.len()..], today));
                                dates.for_each(|date| look(date, words));
                            }
                        }
                        _ => {}
                    }
                }
            }
        }
    }
    seen
}

#[test]
fn nobody_is_asked_to_act_on_a_day_on_which_the_stores_are_closed() {
    let seen = demo().look(None, false, |plan| stores_are_open(plan, "the demo")).expect("a plan");
    assert!(seen > 60, "{seen}");
    let mut seen = 0;
    for seed in 0..rounds(60) {
        let look = |plan: &Plan<'_>| stores_are_open(plan, &format!("seed {seed}"));
        seen += Sheets(random_book(seed, Size::Small)).look(None, true, look).unwrap_or(0);
    }
    assert!(seen > 300, "{seen}");
}

/// What is asked for, call by call: `order: Order 1 ea, …`.
fn asked(sheets: &Sheets) -> Vec<String> {
    let look = |plan: &Plan<'_>| {
        let sheets = buyers(plan);
        let sheet = sheets.iter().find(|sheet| sheet.name == "by supplier").expect("the sheet");
        let Some(table) = sheet.tables.first() else { return Vec::new() };
        let rows = &sheet.rows[table.heading as usize + 1..=table.last as usize];
        let cell = |row: &report::sheet::Row<'_>, column: usize| text(&row.cells[column].value);
        rows.iter().map(|row| [cell(row, 1), cell(row, 4)].join(": ")).collect()
    };
    sheets.look(None, false, look).expect("a plan")
}

/// U1 comes to S1 on Mon 20 Sep at 06:00 and to S2 at 07:00, U2 on Tuesday alike, U3 an hour later. Nuts go with the runs of 06:00, and are handed
/// over ten minutes before a unit is at S2. Bolts take five days: 15 and 16 Sep.
#[test]
fn one_call_is_one_sentence() {
    let mut sheets = Sheets::plant(&["S1", "S2"]);
    sheets.set("Parts", "part,uom,supplier,lead days,cost\nBOLT,ea,Reed,5,2\nNUT,ea,Reed,,");
    sheets.set("Bills", "parent,part,qty,station\nTEAL,BOLT,1,S1\nTEAL,NUT,1,S2");
    sheets.set(
        "Sequence",
        "line,seq,unit,floorplan,start\nL1,1,U1,TEAL,2027-09-20\nL1,2,U2,TEAL,2027-09-21\nL1,3,U3,TEAL,2027-09-21",
    );
    sheets.set("Receipts", "purchase order,part,qty,due\n7,NUT,9,2027-09-21 10:00");
    let nuts = "bring forward: Of 9 ea of order 7 (due Tue 21 Sep 10:00): ask for 1 ea by Mon 20 Sep 06:00, at the last 06:50; then 2 more by \
                Tue 21 Sep 06:00, at the last 06:50; the rest as ordered.";
    let bolts = [
        "order: Order 1 ea, there by Mon 20 Sep 06:00, for U1 at S1; order by Wed 15 Sep; 2.00.",
        "order: Order 2 ea, there by Tue 21 Sep 06:00, for U2 at S1; order by Thu 16 Sep; 4.00.",
    ];
    assert_eq!(asked(&sheets), [bolts[0], bolts[1], nuts]);
}

/// U1 enters at once, on Mon 06:00, and comes to S2 an hour later; its clip is to come on that day, with the run that is picked at 06:00. An order
/// that says a time, and is not denied, needs no call.
#[test]
fn a_moment_that_nobody_promised_is_confirmed() {
    let mut sheets = Sheets::plant(&["S1", "S2"]);
    sheets.add("Parts", "CLIP,ea").add("Bills", "TEAL,CLIP,1,S2").add("Sequence", "L1,1,U1,TEAL");
    sheets.set("Receipts", "purchase order,part,qty,due\n9,CLIP,5,2027-09-13");
    let call = "confirm: Of 5 ea of order 9 (due Mon 13 Sep; day only): ask whether it is there by Mon 13 Sep 06:00; of it 1 ea for runs picked \
                from Mon 13 Sep 06:00 on, U1 at S2 first.";
    assert_eq!(asked(&sheets), [call]);
    assert!(asked(sheets.set("Receipts", "purchase order,part,qty,due\n9,CLIP,5,2027-09-13 06:00")).is_empty());
}

/// A gallon is 3.785411784 l (231 cubic inches of 2.54 cm each: US customary liquid measure), cut at the sixth place 3.785411; a litre has three
/// decimals. U1 comes to S1 on Mon 20 Sep 06:00 and U2 on Tuesday, each takes half of the gallon that comes on Tuesday at 10:00, 1.892705. 1.893 is asked for U1; rounded up, both would be 3.786, more than is open.
#[test]
fn no_more_is_asked_for_than_is_open() {
    let mut sheets = Sheets::plant(&["S1", "S2"]);
    sheets
        .set("Parts", "part,uom,supplier\nGLUE,l,Reed")
        .set("Bills", "parent,part,qty,uom,station\nTEAL,GLUE,0.5,gal,S1");
    sheets.set("Sequence", "line,seq,unit,floorplan,start\nL1,1,U1,TEAL,2027-09-20\nL1,2,U2,TEAL,2027-09-21");
    sheets.set("Receipts", "purchase order,part,qty,uom,due\n7,GLUE,1,gal,2027-09-21 10:00");
    let asked = asked(&sheets);
    let call = asked.iter().find(|call| call.starts_with("bring forward: ")).expect("a call");
    assert!(call.contains("Of 3.785411 l of order 7 "), "{call}");
    assert!(call.contains("ask for 1.893 l by Mon 20 Sep 06:00"), "{call}");
    let more = call.split("then ").nth(1).and_then(|more| more.split(' ').next()).expect("a second step");
    // In millionths, without a fraction: 3,785,411 less 1,893,000.
    assert_eq!(more, "1.892411", "{call}");
    assert!(!call.contains("the rest as ordered"), "{call}");
}
