//! The first sheet: who reads only this one knows whether the day works.

use super::super::{front, line_words};
use super::day::Day;
use super::tour::Tour;
use super::walk;
use super::weight::{self, Load};
use super::words::owed;
use super::wrong::{self, WhatIsWrong, Wrong};
use crate::base::{Moment, count};
use crate::check::Issue;
use crate::report::limits::WORST;
use crate::report::listing::{Line, listing, widths};
use crate::report::prose::few;
use crate::report::sheet::{Cell, Look, Paper, Sheet, Show};

/// So many runs of a day stand on the first sheet.
const MOST_RUNS: usize = 12;
/// So many zones of a run are named there.
const MOST_ZONES: usize = 8;

/// The sheet: one page, whatever is wrong.
pub fn sheet<'p>(day: &Day<'p>, tours: &[Tour<'_>]) -> Sheet<'p> {
    let plan = day.plan;
    let wrong = Wrong::of(day);
    let aside = wrong::aside_lines(plan);
    let mut sheet = Sheet::new("front", &widths::<WhatIsWrong>());
    sheet.paper = Paper::OnePage;
    let what = "what leaves the stores on this day, run by run, for the materials planner and the pickers";
    front::head(&mut sheet, plan, "Pull list", what, 2);
    rest_of_the_day(&mut sheet, day);
    first_of_all(&mut sheet, day);
    wrong_today(&mut sheet, day, &wrong, aside);
    later(&mut sheet, &wrong);
    line_words::of_the_book(&mut sheet, plan);
    sheet.text(Look::Section, "The runs");
    let totals: Vec<([i64; 4], Load)> = tours.iter().map(|tour| totals(day, tour)).collect();
    sheet.table(None, runs(tours, &totals));
    if tours.len() > MOST_RUNS {
        sheet.text(Look::Strong, format!("and {} runs more: their walks follow", tours.len() - MOST_RUNS));
    }
    let unknown: usize = totals.iter().map(|(_, load)| load.unknown).sum();
    let without = match unknown {
        0 => String::new(),
        _ => format!("; {} not in it, their weight is not known", count(unknown, "line is", "lines are")),
    };
    let kg = format!("kg: of what is there when its run is picked{without}. {}", limit_words(day));
    sheet.paragraph(Look::Faint, kg);
    sheet.text(Look::Section, "Where to look");
    for side_by_side in CONTENTS.chunks(2) {
        let cells = side_by_side.iter().zip([(0, 2, 2), (4, 3, 3)]).flat_map(|((name, what), (at, span, more))| {
            let name = Cell::new(at, *name, Show::Text, Look::Strong).over(span);
            [name, Cell::new(at + span, *what, Show::Text, Look::Plain).over(more)]
        });
        sheet.row(None, cells.collect());
    }
    sheet.paragraph(Look::Faint, weight::CAUTION);
    sheet
}

/// The table of what is wrong up to the end of the day.
fn wrong_today<'p>(sheet: &mut Sheet<'p>, day: &Day<'p>, wrong: &Wrong, aside: Vec<Line<'p, WhatIsWrong>>) {
    if aside.is_empty() && wrong.today.is_empty() {
        return;
    }
    sheet.text(Look::Section, format!("What is wrong up to the end of {}", day.plan.day.long()));
    let more = (aside.len() + wrong.today.len()).saturating_sub(WORST);
    let today = wrong.today.iter().map(|trouble| wrong::line(day.plan, trouble));
    sheet.table(Some("what_is_wrong".to_owned()), aside.into_iter().chain(today).take(WORST).collect());
    if more > 0 {
        let text = format!("and {more} more: see 'not pulled', shop-orders.xlsx and shortages.xlsx");
        sheet.text(Look::Strong, text);
    }
    // Other tables follow on the sheet.
    (sheet.repeat, sheet.freeze) = (None, None);
}

const CONTENTS: [(&str, &str); 12] = [
    ("overdue and owed", "these first: overdue, and beyond the bills"),
    ("walks ...", "what one picker does on one cart, run by run"),
    ("the line", "for the line lead: what is not there, by position"),
    ("labels ...", "for each kit and walk, to cut and travel with it"),
    ("the day's work", "stops, kits, kg, pickers; heavy parts; empty bins"),
    ("cards ...", "kits in which something is missing or owed"),
    ("the dock", "what is waited for, and what goes straight where"),
    ("driver ...", "each run's stations, special runs, collections"),
    ("not pulled", "what is not there when picked, why, what would help"),
    ("in line order; bulk", "big parts in line order for each station; packs"),
    ("from the shops", "what the feeder shops bring, and when"),
    ("kits, stops ...", "for the screen: every kit, and all of each stop"),
];

/// A plan that is made during its day is the rest of that day.
fn rest_of_the_day(sheet: &mut Sheet<'_>, day: &Day<'_>) {
    let plan = day.plan;
    let next = day.trips.iter().find_map(|trip| trip.run);
    if let Some(next) = next.filter(|next| plan.runs.on(plan.day).any(|run| run < *next)) {
        let text = format!(
            "The rest of the day, from the {} run. This replaces what was printed of it before {}.",
            next.leaves.clock(),
            plan.plant.as_of.clock()
        );
        sheet.paragraph(Look::Strong, text);
    }
}

/// Counts of what stands before everything else.
fn first_of_all(sheet: &mut Sheet<'_>, day: &Day<'_>) {
    let overdue: usize = day.trips.iter().filter(|trip| trip.run.is_none()).map(|trip| trip.picked.len()).sum();
    if overdue > 0 {
        let text = format!("{} overdue: see 'overdue and owed'.", count(overdue, "pull is", "pulls are"));
        sheet.paragraph(Look::Strong, text);
    }
    let extras = owed(day.plan);
    let due = extras.iter().filter(|owed| owed.need.is_some_and(|need| need.date() <= day.plan.day)).count();
    if !extras.is_empty() {
        let all = count(extras.len(), "extra is", "extras are");
        let text =
            format!("{all} owed beyond the bills, {due} of them by the end of this day: see 'overdue and owed'.");
        sheet.paragraph(Look::Strong, text);
    }
    if day.between > 0 {
        let pulls = count(day.between, "pull leaves", "pulls leave");
        sheet.paragraph(
            Look::Plain,
            format!("{pulls} between the as-of moment and this day and {} not on this list.", are(day.between)),
        );
    }
}

fn are(number: usize) -> &'static str {
    if number == 1 { "is" } else { "are" }
}

/// A line for each trip, and one for all of them.
fn runs<'p>(tours: &[Tour<'_>], totals: &[([i64; 4], Load)]) -> Vec<Line<'p, Runs>> {
    let (mut lines, mut all, mut kilos) = (Vec::new(), [0_i64; 4], Load::default());
    for (Tour { trip, stops, .. }, (numbers, load)) in tours.iter().zip(totals) {
        all.iter_mut().zip(numbers).for_each(|(sum, number)| *sum += number);
        kilos.add_load(load);
        let open = numbers[3] > 0;
        let look = if open { Look::Strong } else { Look::Plain };
        let picked = trip.run.map(|run| run.picked);
        if lines.len() < MOST_RUNS {
            lines.push(run_line(
                look,
                trip.name(),
                picked,
                few(walk::zones(stops).into_iter(), MOST_ZONES).replace("; ", ", "),
                *numbers,
                load,
            ));
        }
    }
    if tours.len() > 1 {
        lines.push(run_line(Look::Heading, "all".to_owned(), None, String::new(), all, &kilos));
    }
    lines
}

listing! {
    /// A run in numbers.
    Runs: fn run_line<'p>(look: Look, name: String, picked: Option<Moment>, zones: String, numbers: [i64; 4], load: &Load) {
        let [pulls, kits, bulk, open] = numbers;
    }
    look: look;
    "run", Text => name;
    "picking starts", Clock => picked;
    "pulls", Whole => pulls;
    "zones walked", Wrapped => zones;
    "kits", Whole => kits;
    "bulk", Whole => bulk;
    "kg", Weight => load.cell();
    "not whole when picked", Whole => open;
}

/// Pulls, kits, bulk pulls and pulls that are not whole, and the kilograms of what is there.
fn totals(day: &Day<'_>, Tour { trip, kits, .. }: &Tour<'_>) -> ([i64; 4], Load) {
    let part = |pull: &crate::pulls::Pull| day.plan.plant.part(pull.part);
    let mut load = Load::default();
    trip.picked
        .iter()
        .filter(|picked| picked.taken.is_positive())
        .for_each(|picked| load.add(part(&picked.pull), picked.taken));
    let bulk = trip.picked.iter().filter(|picked| part(&picked.pull).issue == Issue::Bulk).count();
    let open = trip.picked.iter().filter(|picked| !picked.missing.is_empty()).count();
    ([trip.picked.len(), kits.len(), bulk, open].map(|number| number as i64), load)
}

/// Units whose first trouble comes after the day.
fn later(sheet: &mut Sheet<'_>, wrong: &Wrong) {
    if wrong.later > 0 {
        let units = count(wrong.later, "more unit", "more units");
        let words = format!("For {units} something is late or short after this day only: see shortages.xlsx.");
        sheet.paragraph(Look::Plain, words);
    }
}

fn limit_words(day: &Day<'_>) -> String {
    match day.plan.plant.one_person_lifts {
        Some(limit) => {
            format!("This plant lets one person lift {limit} kg; every piece above that is marked in words.")
        }
        None => "The book gives no weight that one person lifts ('one person lifts' in Settings): no piece is marked."
            .to_owned(),
    }
}
