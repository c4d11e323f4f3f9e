//! Dates and times that a file holds as numbers: catches one that is read as another than was written, or in another zone.

use super::support::Sheets;
use lineward::base::{Findings, Moment};
use lineward::{book, check, plan};
use polars::prelude::{
    DataFrame, DataType, Int64Chunked, IntoColumn, IntoSeries, NamedFrom, ParquetWriter, Series, TimeUnit, TimeZone,
};
use std::fs::File;

/// A plant whose bolts come on a day, in a Parquet table of one receipt; what is told of it, errors only.
fn told(due: &Series) -> Vec<String> {
    let folder = tempfile::tempdir().expect("a folder");
    let mut sheets = Sheets::plant(&["S1"]);
    sheets.set("Parts", "part,uom\nBOLT,ea").set("Bills", "parent,part,qty,station\nTEAL,BOLT,1,S1");
    sheets.set("Sequence", "line,seq,unit,floorplan\nL1,1,U1,TEAL");
    for (table, text) in &sheets.0 {
        std::fs::write(folder.path().join(format!("{table}.csv")), text).expect("a file");
    }
    let texts = [("purchase order", "4711"), ("part", "BOLT"), ("qty", "5")];
    let texts = texts.map(|(name, value)| Series::new(name.into(), [value]).into_column());
    let columns = texts.into_iter().chain([due.clone().with_name("due".into()).into_column()]).collect();
    let mut frame = DataFrame::new(1, columns).expect("a table");
    let file = File::create(folder.path().join("Receipts.parquet")).expect("a file");
    ParquetWriter::new(file).finish(&mut frame).expect("Parquet");
    let (plant, mut findings) = check::plant(&book::open(folder.path()).expect("a book"), None, Moment::default());
    if !findings.any_error() {
        let (plan, more) = plan::plan(&plant, &plan::Request::default());
        findings.extend(more);
        let due = plan.map(|plan| plan.plant.receipts[0].due.to_string());
        return due.into_iter().collect();
    }
    errors(&findings)
}

fn errors(findings: &Findings) -> Vec<String> {
    findings.iter().map(ToString::to_string).collect()
}

fn date(days: i32) -> Series {
    Series::new("due".into(), [days]).cast(&DataType::Date).expect("a date")
}

fn time(ticks: i64, unit: TimeUnit, zone: Option<&str>) -> Series {
    let zone = TimeZone::opt_try_new(zone).expect("a time zone");
    Int64Chunked::new("due".into(), [ticks]).into_datetime(unit, zone).into_series()
}

/// 21 076 days after 1970-01-01 is 2027-09-15: 57 years with 14 leap days are 20 819 days, to 2027-01-01; 257 more.
const FIFTEENTH: i64 = 20_819 + 257;

#[test]
fn dates_of_parquet_are_read_as_they_are_or_told() {
    assert_eq!(told(&date(FIFTEENTH as i32)), ["2027-09-15T00:00:00"]);
    for days in [i32::MAX, i32::MIN, 200_000, -200_000] {
        let found = told(&date(days));
        let [found] = found.as_slice() else { panic!("{days}: {found:?}") };
        let begin =
            format!("error: not-a-date: Receipts.parquet row 2 column due: '{days} days after 1970-01-01': expected");
        assert!(found.starts_with(&begin), "{found}");
    }
}

#[test]
fn times_of_parquet_are_read_to_the_second_or_told() {
    let noon = FIFTEENTH * 86_400 + 43_200;
    for (unit, per_second) in
        [(TimeUnit::Milliseconds, 1_000), (TimeUnit::Microseconds, 1_000_000), (TimeUnit::Nanoseconds, 1_000_000_000)]
    {
        assert_eq!(told(&time(noon * per_second, unit, None)), ["2027-09-15T12:00:00"]);
        assert_eq!(told(&time(noon * per_second + per_second / 2, unit, None)), ["2027-09-15T12:00:01"]);
        assert_eq!(told(&time(noon * per_second + per_second / 2 - 1, unit, None)), ["2027-09-15T12:00:00"]);
    }
    for (ticks, unit) in [(i64::MAX, TimeUnit::Milliseconds), (i64::MIN, TimeUnit::Microseconds)] {
        let found = told(&time(ticks, unit, None));
        assert!(found.len() == 1 && found[0].contains("not-a-date: Receipts.parquet row 2 column due"), "{found:?}");
    }
}

/// A time that is kept in a time zone is another moment in the plant's own: the plant must say which.
#[test]
fn times_with_a_zone_are_told() {
    let noon = (FIFTEENTH * 86_400 + 43_200) * 1_000;
    for zone in ["UTC", "Europe/Berlin"] {
        let found = told(&time(noon, TimeUnit::Milliseconds, Some(zone)));
        let expected = format!(
            "error: not-a-date: Receipts.parquet row 2 column due: '2027-09-15T12:00:00 {zone}': expected a local date and \
             time without a time zone, such as 2027-09-14 06:00"
        );
        assert_eq!(found, [expected]);
    }
    for text in ["2027-09-15T12:00:00Z", "2027-09-15 12:00+02:00", "2027-09-15 12:00 UTC"] {
        let mut sheets = Sheets::plant(&["S1"]);
        sheets.set("Parts", "part,uom\nBOLT,ea").set("Bills", "parent,part,qty,station\nTEAL,BOLT,1,S1");
        sheets.set("Sequence", "line,seq,unit,floorplan\nL1,1,U1,TEAL");
        sheets.set("Receipts", &format!("purchase order,part,qty,due\n4711,BOLT,5,{text}"));
        let found = errors(&sheets.findings());
        assert_eq!(found.len(), 1, "{found:?}");
        assert!(
            found[0].contains(&format!("'{text}': expected a local date and time without a time zone")),
            "{found:?}"
        );
    }
}
