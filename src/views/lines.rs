//! A line as it stands after a move: who is where, and where the line will stop for whom.

use super::axis::{Axis, LabelRows, TOP, picture};
use super::{Address, View, found, tell};
use crate::base::{LineId, Moment, OwnerId, UnitId};
use crate::check::DestKind;
use crate::plan::words::unit_status;
use crate::plan::{Consequence, FIRST_ROWS, Outcome, Plan, Stop, stops};
use crate::report::line_words;
use itertools::Itertools;
use maud::{Markup, html};
use std::collections::BTreeMap;

/// So many days can be chosen by their date.
const MOST_DAYS: usize = 14;
/// So many stops ahead are listed.
const MOST_STOPS: usize = 40;

/// The units of a line by the number of the move with which each enters.
fn entries(plan: &Plan<'_>, line: LineId) -> BTreeMap<i64, UnitId> {
    let units = plan.plant.units.iter().enumerate().filter(|(_, unit)| unit.line == line);
    units.filter_map(|(i, _)| Some((plan.pace.move_at(UnitId::of(i), 1)?, UnitId::of(i)))).collect()
}

/// Who needs material, by unit.
fn owners(plan: &Plan<'_>) -> BTreeMap<UnitId, OwnerId> {
    let owners = plan.pace.owners.iter().enumerate().filter(|(_, owner)| owner.planned);
    owners.filter_map(|(i, owner)| Some((owner.unit?, OwnerId::of(i)))).collect()
}

/// What is known of the units of a line.
struct OnLine<'p> {
    plan: &'p Plan<'p>,
    line: LineId,
    entries: BTreeMap<i64, UnitId>,
    owners: BTreeMap<UnitId, OwnerId>,
    stops: BTreeMap<OwnerId, Stop>,
    /// The first of all pieces at stations that stop the line, by owner and position.
    rows: BTreeMap<(OwnerId, u32), Vec<&'p Consequence>>,
}

impl<'p> OnLine<'p> {
    fn of(plan: &'p Plan<'p>, line: LineId) -> Self {
        let mut rows: BTreeMap<(OwnerId, u32), Vec<&Consequence>> = BTreeMap::new();
        for row in plan.effects.first.iter().filter(|row| row.outcome == Outcome::StopsTheLine) {
            let at = row.hand_over_at.unwrap_or(row.to);
            if let (DestKind::Station { position, .. }, DestKind::Station { .. }) =
                (plan.plant.dest(at).what, plan.plant.dest(row.to).what)
            {
                rows.entry((row.owner, position)).or_default().push(row);
            }
        }
        let (entries, owners) = (entries(plan, line), owners(plan));
        Self { plan, line, entries, owners, stops: stops(plan), rows }
    }

    fn positions(&self) -> u32 {
        self.plan.plant.lines[self.line.at()].positions
    }

    /// When a move is made.
    fn moment(&self, number: i64) -> Moment {
        let calendar = self.plan.plant.calendar(self.plan.plant.lines[self.line.at()].calendar);
        calendar.starts(self.plan.pace.move_work(self.line, number))
    }

    /// The last move with which somebody is on the line.
    fn last(&self) -> i64 {
        self.entries.keys().next_back().map_or(0, |last| (last + i64::from(self.positions()) - 1).max(0))
    }

    /// The unit at a position after a move.
    fn unit_at(&self, number: i64, position: u32) -> Option<UnitId> {
        self.entries.get(&(number + 1 - i64::from(position))).copied()
    }

    /// The stations at a position, by name.
    fn stations(&self, position: u32) -> impl Iterator<Item = &'p str> {
        let line = self.line;
        let here = move |what| matches!(what, DestKind::Station { line: of, position: at, .. } if of == line && at == position);
        self.plan.plant.dests.iter().filter(move |dest| here(dest.what)).map(|dest| dest.code.as_str())
    }

    /// How a unit stands, and what it does at this position.
    fn told(&self, unit: UnitId, position: u32) -> Markup {
        let planned = self.plan.units.iter().find(|planned| planned.unit == unit);
        let status = planned.map_or("done", |planned| unit_status(planned.state));
        let Some(owner) = self.owners.get(&unit) else { return tell::state(status) };
        let Some(stop) = self.stops.get(owner) else { return tell::state(status) };
        let here = self.rows.get(&(*owner, position));
        html! {
            @match here {
                Some(rows) => {
                    (tell::outcome(Outcome::StopsTheLine, longest(rows)))
                    " here: "
                    @for (number, part) in rows.iter().map(|row| row.part).dedup().take(3).enumerate() {
                        @if number > 0 { ", " }
                        (tell::part_code(&self.plan.plant.part(part).code))
                    }
                    @if rows.iter().map(|row| row.part).dedup().count() > 3 { " …" }
                }
                None => {
                    // Where so much is missing that not every piece is kept, only the unit's own page knows where.
                    (tell::state(status)) @if self.all_kept() { "; stops the line elsewhere" } @else { "; stops the line, see where" }
                    @if stop.unknown { ", no end known" }
                }
            }
        }
    }

    /// Whether every piece that stops the line is among those that the plan keeps.
    fn all_kept(&self) -> bool {
        self.plan.effects.waited_for <= FIRST_ROWS
    }

    fn stops_here(&self, unit: UnitId, position: u32) -> bool {
        self.owners.get(&unit).is_some_and(|owner| self.rows.contains_key(&(*owner, position)))
    }
}

/// How long the line waits for the piece it waits longest for; `None` where no end is known.
fn longest(rows: &[&Consequence]) -> Option<i64> {
    rows.iter().map(|row| row.stop_minutes).collect::<Option<Vec<i64>>>()?.into_iter().max()
}

pub fn view(plan: &Plan<'_>, line: Option<&str>, number: Option<i64>) -> View {
    let codes = plan.plant.lines.iter().map(|line| line.code.as_str());
    let at = match line.map(|line| found("line", line, codes)).transpose() {
        Ok(at) => LineId::of(at.unwrap_or_default()),
        Err(none) => return none,
    };
    let on = OnLine::of(plan, at);
    let last = on.last();
    let number = number.unwrap_or_default().clamp(0, last);
    let name = &plan.plant.lines[at.at()].name;
    let body = html! {
        p .verdict { "The line: " (line_words::line(plan)) "." }
        @if let Some(rests_on) = crate::report::call_words::rests_on(plan) { p .verdict { "This holds " (rests_on) "." } }
        p .small { (line_words::NOT_A_FORECAST) }
        (lines(plan, at))
        (slider(&on, number, last))
        (places(&on, number))
        (ahead(&on))
        p .small {
            "Times are those of a line that does not stop. After a stop of a takt or more, plan again: this page follows the book."
        }
    };
    View::new(format!("Line {name}, {}", on.moment(number).short()), body)
}

/// The plant's other lines.
fn lines(plan: &Plan<'_>, here: LineId) -> Markup {
    let lines = plan.plant.lines.iter().enumerate();
    html! {
        @if plan.plant.lines.len() > 1 {
            nav .choice aria-label="lines" {
                @for (i, line) in lines {
                    @let address = Address::Line { line: Some(line.code.clone()), number: None };
                    a href=(address) aria-current=[(i == here.at()).then_some("page")] { "line " (line.name) }
                    " "
                }
            }
        }
    }
}

fn address(on: &OnLine<'_>, number: i64) -> Address {
    Address::Line { line: Some(on.plan.plant.lines[on.line.at()].code.clone()), number: Some(number) }
}

/// The moment is chosen by move: with a slider, by steps of a takt, or by day.
fn slider(on: &OnLine<'_>, number: i64, last: i64) -> Markup {
    let mut days: BTreeMap<_, i64> = BTreeMap::new();
    (0..=last).for_each(|number| _ = days.entry(on.moment(number).date()).or_insert(number));
    let step = |to: i64, words: &str| {
        html! {
            @if (0..=last).contains(&to) { a href=(address(on, to)) { (words) } } @else { span .off { (words) } }
            " "
        }
    };
    html! {
        form .moment action="/" method="get" {
            input type="hidden" name="line" value=(on.plan.plant.lines[on.line.at()].code);
            label for="move" { "after move " (number) " of " (last) ", " strong { (on.moment(number).short()) } }
            input #move type="range" name="move" min="0" max=(last) value=(number) data-follow="move";
            button { "show" }
        }
        nav .choice aria-label="moments" {
            (step(number - 1, "one takt earlier")) (step(number + 1, "one takt later"))
            @for (date, first) in days.iter().take(MOST_DAYS) { (step(*first, &date.short())) }
            @if days.len() > MOST_DAYS { (days.len() - MOST_DAYS) " days more up to " (on.moment(last).date().short()) ", by the moves above" }
        }
    }
}

/// The positions in the order of the line.
fn places(on: &OnLine<'_>, number: i64) -> Markup {
    html! {
        h2 { "Who stands where" }
        ol .places {
            @for position in 1..=on.positions() {
                @let unit = on.unit_at(number, position);
                @let stops = unit.is_some_and(|unit| on.stops_here(unit, position));
                li class=[stops.then_some("stops")] {
                    span .position { (position) } " " span .stations { (on.stations(position).join(", ")) }
                    @match unit {
                        Some(unit) => {
                            @let row = &on.plan.plant.units[unit.at()];
                            div .unit { (tell::unit(&row.code)) " " span .floorplan { (floorplan(on.plan, unit)) } }
                            div { (on.told(unit, position)) }
                        }
                        None => div .off { "nobody" }
                    }
                }
            }
        }
    }
}

fn floorplan<'p>(plan: &'p Plan<'_>, unit: UnitId) -> &'p str {
    match &plan.plant.units[unit.at()].floorplan {
        Ok(floorplan) => &plan.plant.floorplans[floorplan.at()].code,
        Err(text) => text,
    }
}

/// Where the line will stop, as a picture and a list.
fn ahead(on: &OnLine<'_>) -> Markup {
    let of_line = |owner: OwnerId| on.plan.pace.owners[owner.at()].unit.map(|unit| on.plan.plant.units[unit.at()].line);
    let groups = on.rows.iter().filter(|((owner, _), _)| of_line(*owner) == Some(on.line));
    let groups = groups.filter_map(|((owner, position), rows)| Some((rows.first()?.arrives, *owner, *position, rows)));
    let groups = groups.sorted_by_key(|(arrives, owner, position, _)| (*arrives, *owner, *position)).collect_vec();
    let of = on.stops.keys().filter(|owner| of_line(**owner) == Some(on.line)).count();
    let lines = groups.iter().take(MOST_STOPS).map(|(arrives, owner, position, rows)| {
        let row = rows[0];
        html! {
            td { (tell::owner(on.plan, *owner)) }
            td { (on.plan.plant.dest(row.hand_over_at.unwrap_or(row.to)).code) }
            td { a href=(address(on, move_of(on, *owner, *position))) { (arrives.short()) } }
            td { (tell::outcome(Outcome::StopsTheLine, longest(rows))) }
            td { @for row in rows.iter().take(3) { (tell::part(on.plan, row.part)) br; } @if rows.len() > 3 { (rows.len() - 3) " more" } }
            td { @match row.saves_until { Some(at) => (at.short()), None => "no moment is soon enough" } }
        }
    });
    let lines = lines.collect_vec();
    html! {
        h2 { "Where the line stops" }
        (strip(on, &groups.iter().map(|(arrives, owner, position, rows)| (*arrives, *owner, *position, longest(rows))).collect_vec()))
        (tell::table("Stops ahead", &["unit", "station", "arrives", "what it does", "for", "saves the line until"], &lines, groups.len().max(lines.len())))
        @if !on.all_kept() { p .more { "Only the first " (FIRST_ROWS) " pieces that stop the line are placed on this page; all are in the table consequences." } }
        p { (of) @if of == 1 { " unit of this line stops" } @else { " units of this line stop" } " in the whole plan." }
    }
}

fn move_of(on: &OnLine<'_>, owner: OwnerId, position: u32) -> i64 {
    let unit = on.plan.pace.owners[owner.at()].unit;
    unit.and_then(|unit| on.plan.pace.move_at(unit, position)).unwrap_or_default().max(0)
}

/// A stop: when its unit arrives, whose it is, at which position, and how long the line waits, where that is known.
type StopAhead = (Moment, OwnerId, u32, Option<i64>);

/// The stops of the coming week on a stretch of time, each with the minutes that the line waits.
fn strip(on: &OnLine<'_>, stops: &[StopAhead]) -> Markup {
    let (as_of, week) = (on.plan.plant.as_of, on.plan.week());
    let soon = stops.iter().filter(|(arrives, ..)| arrives.date() <= week).take(MOST_STOPS).collect_vec();
    let moments = soon.iter().map(|(arrives, ..)| *arrives).chain([as_of]);
    let Some(axis) = Axis::over(moments).filter(|_| !soon.is_empty()) else { return html! {} };
    let told = soon.iter().map(|(arrives, owner, position, minutes)| {
        let long = minutes.map_or("no end known".to_owned(), |minutes| format!("{minutes} min"));
        (axis.x(*arrives), format!("{} {long}", on.plan.pace.owners[owner.at()].code), move_of(on, *owner, *position))
    });
    let mut rows = LabelRows::new(8);
    let told = told.map(|(x, label, number)| (x, rows.row(x, &label).unwrap_or(8), label, number)).collect_vec();
    let height = TOP + 9 * 22 + 4;
    let words = format!("Stops in order of time: {}", told.iter().map(|(_, _, label, _)| label).join(", "));
    let content = html! {
        (axis.marks(height))
        @for (x, row, label, number) in &told {
            @let y = TOP + row * 22;
            a href=(address(on, *number)) {
                rect .stop x=(x) y=(y) width="8" height="16" {}
                // Where there is no room for a label, the list below has it.
                @if *row < 8 { text .label x=(x + 12) y=(y + 13) { (label) } }
            }
        }
    };
    picture("Where the line stops in the coming week", &words, height, &content)
}
