//! Reads the settings, calendars, lines, stations, shops and waves.

use std::collections::BTreeMap;

use super::Book;
use super::calendar::{Calendar, CalendarRow, Days};
use super::clock::{DAY, day, day_of, moment, time_of_day};
use super::numbers::{decimal, seconds};
use super::plant::{Line, Settings, Shop, Station, WaveRow};
use super::sheets::{Key, key, rows};

const DAYS_BACK: i64 = 500;
const DAYS_AHEAD: i64 = 1500;

pub fn settings(book: &Book, as_of: Option<&str>) -> Result<Settings, Vec<String>> {
    let values: BTreeMap<Key, String> =
        rows(book, "Settings").iter().map(|row| (row.key("key"), row.text("value"))).collect();
    let value = |name: &str| values.get(name).map(String::as_str).filter(|text| !text.is_empty());
    let Some(as_of) = as_of.or(value("as of")).and_then(moment) else {
        return Err(vec!["no as-of moment".to_string()]);
    };
    let first_line = rows(book, "Lines").first().map(|row| row.key("calendar"));
    Ok(Settings {
        as_of: as_of.clock,
        stores_calendar: value("stores calendar").map(key).or(first_line).expect("a line"),
        receipts_at: value("receipts at").and_then(time_of_day).unwrap_or(DAY),
        overdue_days: value("overdue receipts").map_or(1, |text| text.parse().expect("days")),
        delivered_to: value("delivered to").and_then(moment).map(|moment| moment.clock),
        hand_over: value("hand over minutes").and_then(decimal).map_or(600, seconds),
    })
}

pub fn calendars(book: &Book, as_of: i64) -> BTreeMap<Key, Calendar> {
    let mut rows_of: BTreeMap<Key, Vec<CalendarRow>> = BTreeMap::new();
    for row in rows(book, "Calendar") {
        let hours = row.time_of_day("start").zip(row.time_of_day("end"));
        let open = row.key("open") != "no";
        let days = days(&row.text("day")).expect("a day, days, a date or dates");
        rows_of.entry(row.key("calendar")).or_default().push(CalendarRow { days, hours, open });
    }
    let (first, last) = (day_of(as_of) - DAYS_BACK, day_of(as_of) + DAYS_AHEAD);
    let laid_out = rows_of.into_iter().map(|(key, rows)| (key, Calendar::new(&rows, first, last)));
    laid_out.collect()
}

/// Reads `Mon`, `Mon-Fri`, a date, or `2027-12-24 to 2028-01-02`.
fn days(text: &str) -> Option<Days> {
    let text = text.trim().to_lowercase();
    if let Some((first, last)) = text.split_once(" to ") {
        return Some(Days::Dates(day(first)?, day(last)?));
    }
    if let Some(date) = day(&text) {
        return Some(Days::Dates(date, date));
    }
    let (first, last) = text.split_once('-').unwrap_or((&text, &text));
    let (first, last) = (weekday_named(first)?, weekday_named(last)?);
    let last = if last < first { last + 7 } else { last };
    Some(Days::Weekdays((first..=last).map(|number| number % 7).collect()))
}

fn weekday_named(name: &str) -> Option<i64> {
    let names = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"];
    names.iter().position(|known| *known == name.trim()).map(|number| number as i64)
}

pub fn lines(book: &Book) -> Vec<Line> {
    let takts = rows(book, "Takt");
    let line = |row: &super::sheets::Row| Line {
        key: row.key("line"),
        code: row.text("line"),
        calendar: row.key("calendar"),
        last_move: row.moment("last move").map(|moment| moment.clock),
        takt: takt_of(&takts, &row.key("line")),
    };
    rows(book, "Lines").iter().map(line).collect()
}

fn takt_of(takts: &[super::sheets::Row], line: &str) -> Vec<(i64, i64)> {
    let own = takts.iter().filter(|row| row.key("line") == line);
    let mut takt: Vec<(i64, i64)> =
        own.map(|row| (day(&row.text("from")).expect("a date"), row.minutes("minutes"))).collect();
    takt.sort();
    takt
}

pub fn stations(book: &Book) -> BTreeMap<Key, Station> {
    let station = |row: &super::sheets::Row| Station {
        code: row.text("station"),
        line: row.key("line"),
        position: row.whole("position").expect("a position"),
        deliver_ahead: row.minutes("deliver ahead"),
    };
    rows(book, "Stations").iter().map(|row| (row.key("station"), station(row))).collect()
}

pub fn shops(book: &Book) -> BTreeMap<Key, Shop> {
    let shop = |row: &super::sheets::Row| Shop {
        code: row.text("shop"),
        calendar: row.key("calendar"),
        crews: row.whole("crews").unwrap_or(1) as usize,
        transit: row.minutes("transit"),
        deliver_ahead: row.minutes("deliver ahead"),
    };
    rows(book, "Shops").iter().map(|row| (row.key("shop"), shop(row))).collect()
}

pub fn waves(book: &Book) -> Vec<WaveRow> {
    let wave = |row: &super::sheets::Row| WaveRow {
        time: row.time_of_day("time").expect("a time"),
        pick: decimal(&row.text("pick minutes")).map_or(0, seconds),
    };
    rows(book, "Waves").iter().map(wave).collect()
}
