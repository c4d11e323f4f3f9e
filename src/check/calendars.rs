//! Calendars: weekday and dated rows into working time.

use super::kinds::{HALF_HOURS, IDLE_CALENDAR, NOT_A_DAY, OPEN_AND_CLOSED, UNUSED_CALENDAR};
use super::limits::MOST_CALENDAR_DAYS;
use super::plant::Closing;
use super::{Draft, each};
use crate::base::{
    Calendar, CalendarId, CalendarRow, Date, DayRule, Finding, Findings, Place, Seconds, nearest, parse_weekday,
};
use crate::book::{Book, BookColumn, Cells, OUT_OF_RANGE, Table};

/// A calendar's rows, and where its name stands first.
struct Sheet {
    rows: Vec<(CalendarRow, Place)>,
    spoiled: bool,
    first: Place,
}

impl Draft {
    pub(super) fn read_calendars(&mut self, book: &Book, findings: &mut Findings) {
        let mut sheets: Vec<Sheet> = Vec::new();
        each(book, Table::Calendar, ["calendar", "day", "start", "end", "open"], findings, |cells, columns| {
            let [name, ..] = columns;
            let Some(code) = cells.code(name) else { return };
            let id = self.calendars.add(code) as usize;
            if id == sheets.len() {
                sheets.push(Sheet { rows: Vec::new(), spoiled: false, first: cells.place(name) });
            }
            match read_row(cells, columns) {
                Some(row) => sheets[id].rows.push((row, cells.place(columns[1]))),
                None => sheets[id].spoiled = true,
            }
        });
        self.calendar_places = sheets.iter().map(|sheet| sheet.first.clone()).collect();
        for (id, (sheet, code)) in sheets.iter().zip(&self.calendars.shown).enumerate() {
            let closings = sheet.rows.iter().filter_map(|(row, place)| match row.days {
                DayRule::Dates(first, last) if row.hours.is_none() => {
                    Some(Closing { calendar: CalendarId::of(id), first, last, row: place.row })
                }
                _ => None,
            });
            self.plant.closings.extend(closings);
            report_contradictions(&sheet.rows, findings);
            let mut rows: Vec<CalendarRow> = sheet.rows.iter().map(|(row, _)| *row).collect();
            let too_many = Calendar::size(&rows) > MOST_CALENDAR_DAYS;
            if too_many {
                let message = "the rows of this calendar speak of too many days; shorten the ranges of dates";
                findings.add(Finding::new(&OUT_OF_RANGE, sheet.first.clone(), code, message));
                rows.clear();
            }
            let calendar = Calendar::new(&rows);
            if !calendar.works() && !sheet.spoiled && !too_many {
                let message = "this calendar has no working time at all";
                findings.add(Finding::new(&IDLE_CALENDAR, sheet.first.clone(), code, message));
            }
            self.plant.calendars.push(calendar);
        }
        // A blank book, as 'new' makes one; anything else has been told already.
        let blank = self.plant.calendars.is_empty() && !findings.any_error();
        if let Some(table) = book.table(Table::Calendar).filter(|_| blank) {
            let message = "the book has no calendar: nothing says when anybody works";
            findings.add(Finding::new(&IDLE_CALENDAR, table.shape.place(0, ""), "", message));
        }
    }
}

impl Draft {
    /// Notes calendars by which nothing works.
    pub(super) fn report_unused_calendars(&self, book: &Book, findings: &mut Findings) {
        let plant = &self.plant;
        let lost = [Table::Lines, Table::Shops, Table::Settings].iter().any(|table| book.has_failed(*table));
        if lost || book.table(Table::Lines).is_none() {
            return;
        }
        let of_lines = plant.lines.iter().map(|line| line.calendar);
        let of_shops = plant.shops.iter().map(|shop| shop.calendar);
        let used: Vec<usize> = of_lines.chain(of_shops).chain([plant.stores]).map(|id| id.at()).collect();
        let shown = &self.calendars.shown;
        for (id, (code, place)) in shown.iter().zip(&self.calendar_places).enumerate() {
            if !used.contains(&id) {
                let near = nearest(code, used.iter().filter_map(|id| shown.get(*id)).map(String::as_str));
                let message = "no line, no shop and no stores work by this calendar";
                findings.add(Finding::new(&UNUSED_CALENDAR, place.clone(), code.as_str(), message).near(near));
            }
        }
    }
}

fn read_row(cells: &mut Cells<'_>, [_, day, start, end, open]: [BookColumn; 5]) -> Option<CalendarRow> {
    let text = cells.code(day)?;
    let days = parse_days(text, |text| cells.parsed_date(text));
    if days.is_none() {
        cells.report(&NOT_A_DAY, day, "expected Mon, Mon-Fri, 2027-12-24 or 2027-12-24 to 2028-01-02");
    }
    let blank = cells.text(start).is_empty() && cells.text(end).is_empty();
    let (from, until) = (cells.time(start), cells.time(end));
    let says_open = cells.yes_no(open);
    let hours = match (from, until) {
        (Some(from), Some(until)) => Some(after_midnight(from, until)),
        _ if blank && says_open != Some(true) => None,
        _ if blank => {
            cells.report(&HALF_HOURS, open, "an open day needs a start and an end");
            return None;
        }
        _ => {
            let (found, other) = if cells.text(start).is_empty() { (end, "a start") } else { (start, "an end") };
            if cells.text(start).is_empty() || cells.text(end).is_empty() {
                cells.report(&HALF_HOURS, found, format!("this row has no {}", &other[2..].trim_start()));
            }
            return None;
        }
    };
    Some(CalendarRow { days: days?, hours, open: hours.is_some() && says_open != Some(false) })
}

/// An end at or before its start falls on the next day.
fn after_midnight(start: Seconds, end: Seconds) -> (Seconds, Seconds) {
    if end > start { (start, end) } else { (start, end + 86_400) }
}

fn parse_days(text: &str, date: impl Fn(&str) -> Option<Date>) -> Option<DayRule> {
    if let Some(date) = date(text) {
        return Some(DayRule::Dates(date, date));
    }
    let lower = text.to_lowercase();
    if let Some((first, last)) = lower.split_once(" to ") {
        let (first, last) = (date(first.trim())?, date(last.trim())?);
        return (first <= last).then_some(DayRule::Dates(first, last));
    }
    let (first, last) = lower.split_once('-').unwrap_or((&lower, &lower));
    let (first, last) = (parse_weekday(first.trim())?, parse_weekday(last.trim())?);
    let days = (0..7).map(|offset| (first + offset) % 7);
    let until = (last + 7 - first) % 7 + 1;
    Some(DayRule::Weekdays(days.take(until).fold(0, |bits, day| bits | 1 << day)))
}

/// A date, or a weekday, with both hours and a row that closes it.
fn report_contradictions(rows: &[(CalendarRow, Place)], findings: &mut Findings) {
    let first = first_opening(&rows.iter().map(|(row, _)| *row).collect::<Vec<_>>());
    for ((_, place), opening) in rows.iter().zip(first) {
        if let Some(opening) = opening.map(|at| &rows[at].1) {
            let message = format!("this row closes a day for which {opening} gives hours");
            findings.add(Finding::new(&OPEN_AND_CLOSED, place.clone(), "", message));
        }
    }
}

/// For each row that closes days the first row that gives hours on one of them.
fn first_opening(rows: &[CalendarRow]) -> Vec<Option<usize>> {
    let mut found = vec![None; rows.len()];
    let mut of_weekday: [Option<usize>; 7] = [None; 7];
    let mut closings = Closings::of(rows);
    for (at, row) in rows.iter().enumerate().filter(|(_, row)| row.open) {
        match row.days {
            DayRule::Weekdays(bits) => weekdays(bits).for_each(|day| _ = of_weekday[day].get_or_insert(at)),
            DayRule::Dates(first, last) => {
                while let Some(closing) = closings.take(first, last) {
                    found[closing] = Some(at);
                }
            }
        }
    }
    for (at, row) in rows.iter().enumerate().filter(|(_, row)| row.hours.is_none()) {
        if let DayRule::Weekdays(bits) = row.days {
            found[at] = weekdays(bits).filter_map(|day| of_weekday[day]).min();
        }
    }
    found
}

/// The days of a week by their bits.
fn weekdays(bits: u8) -> impl Iterator<Item = usize> {
    (0..7).filter(move |day| bits >> day & 1 == 1)
}

/// Rows that close dates and for which no row with hours has been found yet, by their first dates; above them a tree that has
/// for each pair, four, and so on, the latest of their last dates.
struct Closings {
    /// First date and row, in order.
    firsts: Vec<(Date, usize)>,
    /// The latest last date of what stands below; from half of the list on, that of a row.
    latest: Vec<Option<Date>>,
}

impl Closings {
    fn of(rows: &[CalendarRow]) -> Self {
        let mut found: Vec<(Date, usize, Date)> = Vec::new();
        for (at, row) in rows.iter().enumerate().filter(|(_, row)| row.hours.is_none()) {
            if let DayRule::Dates(first, last) = row.days {
                found.push((first, at, last));
            }
        }
        found.sort_unstable();
        let leaves = found.len().next_power_of_two();
        let mut latest = vec![None; 2 * leaves];
        found.iter().enumerate().for_each(|(i, (.., last))| latest[leaves + i] = Some(*last));
        (1..leaves).rev().for_each(|node| latest[node] = latest[2 * node].max(latest[2 * node + 1]));
        Self { firsts: found.into_iter().map(|(first, at, _)| (first, at)).collect(), latest }
    }

    /// Takes a row out that closes any of these dates.
    fn take(&mut self, from: Date, to: Date) -> Option<usize> {
        let begun = self.firsts.partition_point(|(first, _)| *first <= to);
        let leaf = self.find(1, (0, self.latest.len() / 2), begun, from)?;
        let mut node = self.latest.len() / 2 + leaf;
        self.latest[node] = None;
        while node > 1 {
            node /= 2;
            self.latest[node] = self.latest[2 * node].max(self.latest[2 * node + 1]);
        }
        Some(self.firsts[leaf].1)
    }

    /// The first place below a node, among the first `begun`, whose row reaches to a date.
    fn find(&self, node: usize, (from, to): (usize, usize), begun: usize, date: Date) -> Option<usize> {
        if from >= begun || self.latest[node].is_none_or(|last| last < date) {
            return None;
        }
        if to - from == 1 {
            return Some(from);
        }
        let middle = usize::midpoint(from, to);
        let left = self.find(2 * node, (from, middle), begun, date);
        left.or_else(|| self.find(2 * node + 1, (middle, to), begun, date))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn parse_days_plain(text: &str) -> Option<DayRule> {
        parse_days(text, Date::parse)
    }

    /// What a look at each pair of rows finds.
    fn plainly(rows: &[CalendarRow]) -> Vec<Option<usize>> {
        let overlap = |a: DayRule, b: DayRule| match (a, b) {
            (DayRule::Weekdays(a), DayRule::Weekdays(b)) => a & b != 0,
            (DayRule::Dates(a, b), DayRule::Dates(c, d)) => a <= d && c <= b,
            _ => false,
        };
        let first = |closing: &CalendarRow| {
            let opening = || rows.iter().position(|row| row.open && overlap(row.days, closing.days));
            closing.hours.is_none().then(opening).flatten()
        };
        rows.iter().map(first).collect()
    }

    #[test]
    fn the_first_row_that_opens_a_closed_day_is_found() {
        let mut rng = fastrand::Rng::with_seed(3);
        let mut found = 0;
        for _ in 0..500 {
            let row = |rng: &mut fastrand::Rng| {
                let (first, length) = (rng.i32(0..60), rng.i32(0..6));
                let dates = DayRule::Dates(Date::from_days(first), Date::from_days(first + length));
                let days = if rng.u8(0..4) == 0 { DayRule::Weekdays(1 << rng.u8(0..7)) } else { dates };
                let open = rng.bool();
                CalendarRow { days, hours: open.then_some((0, 60)), open: open && rng.u8(0..5) > 0 }
            };
            let number = rng.usize(0..30);
            let rows: Vec<CalendarRow> = (0..number).map(|_| row(&mut rng)).collect();
            assert_eq!(first_opening(&rows), plainly(&rows), "{rows:?}");
            found += plainly(&rows).iter().flatten().count();
        }
        assert!(found > 500);
    }

    #[test]
    fn days_are_read_in_all_their_forms() {
        assert_eq!(parse_days_plain("Mon"), Some(DayRule::Weekdays(1)));
        assert_eq!(parse_days_plain("mon-FRI"), Some(DayRule::Weekdays(0b1_1111)));
        assert_eq!(parse_days_plain("Sat - Mon"), Some(DayRule::Weekdays(0b110_0001)));
        let day = |text| Date::parse(text).unwrap();
        assert_eq!(
            parse_days_plain("2027-12-24 to 2028-01-02"),
            Some(DayRule::Dates(day("2027-12-24"), day("2028-01-02")))
        );
        for wrong in ["", "Monn", "2027-12-24 to 2027-12-23", "2027-13-01", "daily"] {
            assert_eq!(parse_days_plain(wrong), None, "{wrong}");
        }
    }
}
