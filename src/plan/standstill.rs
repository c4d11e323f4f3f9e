//! Where the line, a shop or the stores stand still for longer than people mean: a closing that ends in the wrong year, a start
//! date of the wrong month.

use crate::base::{CalendarId, Finding, Findings, LineId, Moment, UnitId};
use crate::book::Table;
use crate::check::{Closing, Plant, Unit, kinds};
use crate::line::Pace;
use itertools::Itertools;

/// So many rows, lines and shops are named.
const NAMED: usize = 3;

/// Warnings of what stands still while there are units to build.
pub fn findings(plant: &Plant, pace: &Pace) -> Findings {
    let mut findings = Findings::default();
    let units = (0..plant.units.len()).map(UnitId::of);
    if let Some(end) = units.filter_map(|unit| pace.leaves_line(plant, unit)).max() {
        (0..plant.calendars.len()).for_each(|id| report_rests(plant, CalendarId::of(id), end, &mut findings));
    }
    (0..plant.lines.len()).for_each(|line| report_waits(plant, pace, LineId::of(line), &mut findings));
    findings
}

/// The long times without work of a calendar between the plan's moment and its end.
fn report_rests(plant: &Plant, id: CalendarId, end: Moment, findings: &mut Findings) {
    let users = users(plant, id);
    if users.is_empty() {
        return;
    }
    let real = |(from, until): &(Moment, Moment)| until.is_real() && *until > plant.as_of && *from < end;
    for (from, until) in plant.calendar(id).long_rests().into_iter().filter(real) {
        // A calendar that begins later has no time without work before that.
        let from = if from.is_real() { from } else { plant.as_of };
        let days = (until.seconds() - from.seconds()) / 86_400;
        if days < 14 {
            continue;
        }
        let inside = |closing: &&Closing| {
            closing.calendar == id && closing.first.midnight() < until && closing.last.plus(1).midnight() > from
        };
        let mut closings: Vec<&Closing> = plant.closings.iter().filter(inside).collect();
        closings.sort_by_key(|closing| (closing.first.days() - closing.last.days(), closing.row));
        let rows = closings.iter().map(|closing| closing.row).sorted().collect_vec();
        let by = match &rows[..] {
            [] => "no row gives hours in between".to_owned(),
            [row] => format!("row {row} closes it"),
            rows => format!("rows {} close it", listed(rows.iter().map(ToString::to_string))),
        };
        let message = format!(
            "{} without work from {} to {}, {days} days: {by}",
            listed(users.iter().cloned()),
            moment(from),
            moment(until)
        );
        // The longest of them.
        let (row, value) = closings.first().map_or((0, String::new()), |closing| (closing.row, closing.dates()));
        findings.add(Finding::new(&kinds::STANDS_STILL, plant.place(Table::Calendar, row, "day"), value, message));
    }
}

/// Who works by a calendar.
fn users(plant: &Plant, id: CalendarId) -> Vec<String> {
    let lines = plant.lines.iter().filter(|line| line.calendar == id).map(|line| format!("line {}", line.code));
    let shops = plant.shops.iter().filter(|shop| shop.calendar == id);
    let shops = shops.map(|shop| format!("shop {}", plant.dest(shop.dest).code));
    let stores = (plant.stores == id).then(|| "the stores".to_owned());
    lines.chain(shops).chain(stores).collect()
}

/// The first few of a list, and how many more there are.
fn listed(all: impl ExactSizeIterator<Item = String>) -> String {
    let more = all.len().saturating_sub(NAMED);
    let first = all.take(NAMED).join(", ");
    if more > 0 { format!("{first} and {more} more") } else { first }
}

fn moment(at: Moment) -> String {
    let text = at.to_string().replace('T', " ");
    text.strip_suffix(":00").map_or(text.clone(), str::to_owned)
}

/// Units that enter more than two weeks of the line's work behind the one before, because their rows say so.
fn report_waits(plant: &Plant, pace: &Pace, line: LineId, findings: &mut Findings) {
    let calendar = plant.calendar(plant.lines[line.at()].calendar);
    let units = plant.units.iter().enumerate().filter(|(_, unit)| unit.line == line && unit.on_plan());
    let units = units.sorted_by_key(|(_, unit)| unit.seq).collect_vec();
    let mut before: Option<(&Unit, Moment)> = None;
    for (at, (i, unit)) in units.iter().enumerate() {
        let Some(enters) = pace.enters(plant, UnitId::of(*i)) else { continue };
        // The first is to enter now.
        let (since, of) = match before {
            Some((unit, entered)) => (entered, format!("{} (row {})", unit.code, unit.row)),
            None => (plant.as_of, "the as-of moment".to_owned()),
        };
        before = Some((unit, enters));
        let empty = calendar.worked(enters) - calendar.worked(since);
        if unit.at.is_some() || (unit.gap == 0 && unit.start.is_none()) || empty <= calendar.two_weeks_work() {
            continue;
        }
        let started = unit.start.filter(|start| start.midnight() > since);
        let (column, value) = match started {
            Some(start) => ("start", start.to_string()),
            None => ("gap", unit.gap.to_string()),
        };
        let days = (enters.seconds() - since.seconds()) / 86_400;
        let behind = match units.len() - at - 1 {
            0 => String::new(),
            1 => "; 1 unit behind it waits, too".to_owned(),
            more => format!("; {more} units behind it wait, too"),
        };
        let code = &unit.code;
        let message = format!("{code} enters its line on {}, {days} days after {of}{behind}", enters.date());
        findings.add(Finding::new(&kinds::LONG_WAIT, plant.place(Table::Sequence, unit.row, column), value, message));
    }
}
