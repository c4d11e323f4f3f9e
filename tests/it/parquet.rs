//! Every table as Parquet, cell by cell against the same table as CSV, read back by the data-frame library: catches a code
//! taken from the wrong list, a blank that is none, a time or quantity in another unit, a row group that begins too late.

use super::random_books::{Size, random_book};
use super::support::{Sheets, rounds};
use lineward::base::Moment;
use lineward::plan::{Plan, Request, plan};
use lineward::report::table::{Kind, TABLES, Table};
use lineward::report::{Form, to_csv, to_parquet, write_together};
use lineward::{book, check};
use polars::prelude::{AnyValue, DataFrame, DataType, ParquetReader, SerReader, TimeUnit};
use std::path::Path;

/// A cell as CSV has it. Times and quantities are worked out here from what the file holds.
fn as_text(value: &AnyValue<'_>) -> String {
    match value {
        AnyValue::Null => String::new(),
        AnyValue::Int64(number) => number.to_string(),
        AnyValue::Date(days) => day(i64::from(*days)),
        AnyValue::Datetime(milliseconds, TimeUnit::Milliseconds, None)
        | AnyValue::DatetimeOwned(milliseconds, TimeUnit::Milliseconds, None) => {
            assert_eq!(milliseconds.rem_euclid(1000), 0);
            let seconds = milliseconds.div_euclid(1000);
            let (days, rest) = (seconds.div_euclid(86_400), seconds.rem_euclid(86_400));
            format!("{}T{:02}:{:02}:{:02}", day(days), rest / 3600, rest / 60 % 60, rest % 60)
        }
        AnyValue::Decimal(millionths, 18, 6) => {
            let sign = if *millionths < 0 { "-" } else { "" };
            let (whole, rest) = (millionths.unsigned_abs() / 1_000_000, millionths.unsigned_abs() % 1_000_000);
            format!("{sign}{whole}.{rest:06}").trim_end_matches('0').trim_end_matches('.').to_owned()
        }
        other => other.get_str().unwrap_or_else(|| panic!("{other:?} is no text")).to_owned(),
    }
}

/// A day by walking the calendar of the years from 1970, or back from there.
fn day(days: i64) -> String {
    let leap = |year: i64| year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
    let (mut year, mut rest) = (1970, days);
    while rest < 0 {
        year -= 1;
        rest += 365 + i64::from(leap(year));
    }
    while rest >= 365 + i64::from(leap(year)) {
        rest -= 365 + i64::from(leap(year));
        year += 1;
    }
    let mut month = 1;
    for length in [31, 28 + i64::from(leap(year)), 31, 30, 31, 30, 31, 31, 30, 31, 30, 31] {
        if rest < length {
            break;
        }
        rest -= length;
        month += 1;
    }
    format!("{year:04}-{month:02}-{:02}", rest + 1)
}

/// Whether a column is of the type that its kind is written as.
fn fits(kind: Kind, found: &DataType) -> bool {
    match kind {
        Kind::Text(_) => *found == DataType::String,
        Kind::Code(_) => matches!(found, DataType::Enum(..)),
        Kind::Quantity => *found == DataType::Decimal(18, 6),
        Kind::Moment => *found == DataType::Datetime(TimeUnit::Milliseconds, None),
        Kind::Date => *found == DataType::Date,
        Kind::Whole => *found == DataType::Int64,
    }
}

/// Compares a table in both forms; how many rows it has.
fn compare(table: &Table, csv: &[u8], parquet: Vec<u8>, told: &str) -> usize {
    let name = table.name;
    let frame: DataFrame = ParquetReader::new(std::io::Cursor::new(parquet)).finish().expect("a table");
    let mut reader = csv::Reader::from_reader(csv);
    let headings = reader.headers().expect("headings").clone();
    assert!(headings.iter().eq(frame.get_column_names().iter().map(|name| name.as_str())), "{told}: {name}");
    let rows: Vec<csv::StringRecord> = reader.records().map(|row| row.expect("a row")).collect();
    assert_eq!(frame.height(), rows.len(), "{told}: {name}");
    for (at, ((heading, kind), column)) in table.columns().zip(frame.columns()).enumerate() {
        assert!(heading == &headings[at] && fits(kind, column.dtype()), "{told}: {name}.{heading}");
        for (i, row) in rows.iter().enumerate() {
            let found = as_text(&column.get(i).expect("a cell"));
            assert!(found == row[at], "{told}: {name}.{heading} row {}: {found:?}, not {:?}", i + 1, &row[at]);
        }
    }
    rows.len()
}

/// Compares all tables of a plan, written alone and together; how many rows the longest has.
fn compare_all(plan: &Plan<'_>, told: &str) -> usize {
    let tables: Vec<&Table> = TABLES.iter().collect();
    let together = |form| {
        let mut outs = vec![Vec::new(); tables.len()];
        write_together(form, &tables, plan, &mut outs).expect("memory");
        outs
    };
    let (csv, parquet) = (together(Form::Csv), together(Form::Parquet));
    let mut longest = 0;
    for ((table, csv), parquet) in tables.into_iter().zip(csv).zip(parquet) {
        let mut alone = [Vec::new(), Vec::new()];
        to_csv(table, plan, &mut alone[0]).expect("memory");
        to_parquet(table, plan, &mut alone[1]).expect("memory");
        assert!(alone == [csv.clone(), parquet.clone()], "{told}: {} alone and together", table.name);
        longest = longest.max(compare(table, &csv, parquet, told));
    }
    longest
}

#[test]
fn the_demo_is_the_same_in_both_forms_whether_or_not_it_is_held() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("data/alder-fen");
    let (plant, _) = check::plant(&book::open(&path).expect("the demo"), None, Moment::default());
    for most_held in [None, Some(0)] {
        let (plan, _) = plan(&plant, &Request { most_held, ..Default::default() });
        let longest = compare_all(&plan.expect("a plan"), "the demo");
        assert!(longest > 1 << 17, "more than one row group, or the demo has become too short for this test");
    }
}

#[test]
fn random_plans_are_the_same_in_both_forms() {
    let mut planned = 0;
    for seed in 300_000..300_000 + rounds(20) {
        let size = if seed % 4 == 0 { Size::Large } else { Size::Small };
        let (plant, findings) = check::plant(&Sheets(random_book(seed, size)).book(), None, Moment::default());
        if findings.any_error() {
            continue;
        }
        let (plan, _) = plan(&plant, &Request { set_aside: true, ..Default::default() });
        let Some(plan) = plan else { continue };
        assert!(compare_all(&plan, &format!("seed {seed}")) > 0);
        planned += 1;
    }
    assert!(planned >= 10, "{planned}");
}

#[test]
fn odd_codes_and_blanks_are_the_same_in_both_forms() {
    let mut sheets = Sheets::plant(&["S1", "S2"]);
    sheets.set(
        "Parts",
        "part,description,uom,location,issue,pack quantity\n\"RAC, 01\",\"a \"\"good\"\" part\",ea,\"A,1\",,\nPLN,,ea,,bulk,5",
    );
    sheets.set("Bills", "parent,part,qty,station\nTEAL,\"RAC, 01\",1.5,S1\nTEAL,PLN,2,S2");
    sheets.set("Sequence", "line,seq,unit,floorplan\nL1,1,U1,TEAL\nL1,2,U2,TEAL");
    sheets.set("Receipts", "purchase order,part,qty,due\n\"77, b\",\"RAC, 01\",1.5,2027-09-13");
    let (plant, _) = check::plant(&sheets.book(), None, Moment::default());
    let (plan, _) = plan(&plant, &Request::default());
    let plan = plan.expect("a plan");
    compare_all(&plan, "odd codes");
    let [pegs, pulls] = ["pegs", "pulls"].map(|name| {
        let table = TABLES.iter().find(|table| table.name == name).expect("a table");
        super::support::table_text(table, &plan)
    });
    // The receipt serves the first unit; whole pieces leave the stores.
    assert!(
        pegs.contains("U1,\"RAC, 01\",S1,2027-09-13T06:00:00,1.5,receipt,\"77, b\",2027-09-13T06:00:00,0\r\n"),
        "{pegs}"
    );
    assert!(pulls.contains(",\"A,1\",\"RAC, 01\",\"a \"\"good\"\" part\",2,ea,S1,U1,kit,"), "{pulls}");
    // In bulk, without location, description or unit: a pack of five serves both units.
    assert!(pulls.contains(",,PLN,,5,ea,S2,,bulk,"), "{pulls}");
}

#[test]
fn a_quantity_of_too_many_digits_is_told_and_not_written() {
    // What is asked of a part stays below 10^12, but a pull is rounded up to thousandths: then it may have 13 digits and six
    // places more.
    let written = |last: &str| {
        let mut sheets = Sheets::plant(&["S1"]);
        sheets.set("Parts", "part,uom\nPLN,kg").set("Sequence", "line,seq,unit,floorplan\nL1,1,U1,TEAL");
        let lines = "\nTEAL,PLN,1000000000,S1".repeat(999);
        sheets.set("Bills", &format!("parent,part,qty,station{lines}\nTEAL,PLN,{last},S1"));
        let (plant, _) = check::plant(&sheets.book(), None, Moment::default());
        let plan = plan(&plant, &Request::default()).0.expect("a plan");
        let pulls = TABLES.iter().find(|table| table.name == "pulls").expect("a table");
        let [mut csv, mut parquet] = [Vec::new(), Vec::new()];
        to_csv(pulls, &plan, &mut csv).expect("memory");
        let outcome = to_parquet(pulls, &plan, &mut parquet).map(|()| compare(pulls, &csv, parquet, "digits"));
        let together = write_together(Form::Parquet, &[pulls], &plan, &mut [Vec::new()]);
        assert_eq!(together.is_ok(), outcome.is_ok());
        (String::from_utf8(csv).expect("text"), outcome.map_err(|why| why.to_string()))
    };
    let (csv, rows) = written("999999999.999");
    assert!(csv.contains(",PLN,,999999999999.999,kg,"), "{csv}");
    assert_eq!(rows, Ok(1));
    let (csv, told) = written("999999999.9991");
    assert!(csv.contains(",PLN,,1000000000000,kg,"), "{csv}");
    let why =
        "'qty' of the table 'pulls': the quantity 1000000000000 is too large for Parquet; write the tables as CSV";
    assert_eq!(told, Err(why.to_owned()));
}
