//! The first sheet: who reads only this one knows whether the day works.

use super::super::front;
use super::day::Day;
use super::tour::Tour;
use super::walk;
use super::weight::{self, Load};
use super::words::{count, owed};
use super::wrong::{self, WhatIsWrong, Wrong};
use crate::base::Moment;
use crate::check::Issue;
use crate::plan::UnitState;
use crate::report::limits::WORST;
use crate::report::listing::{Line, listing, widths};
use crate::report::pages::Pages;
use crate::report::sheet::{Look, Paper, Sheet, Show};
use itertools::Itertools;

/// The sheet.
pub fn sheet<'p>(day: &Day<'p>, tours: &[Tour<'_>]) -> Sheet<'p> {
    let plan = day.plan;
    let wrong = Wrong::of(day);
    let aside = wrong::aside_lines(plan);
    let mut sheet = Sheet::new("front", &widths::<WhatIsWrong>());
    sheet.paper = Paper::Scale(75);
    let what = "what leaves the stores on this day, run by run, for the materials planner and the pickers";
    front::head(&mut sheet, plan, "Pull list", what, 2);
    sheet.gap();
    let (look, verdict) = verdict(day, &wrong);
    sheet.paragraph(look, verdict);
    first_of_all(&mut sheet, day);
    let mut starts = vec![0, sheet.next_row()];
    wrong_today(&mut sheet, day, &wrong, aside);
    starts.push(sheet.next_row());
    sheet.gap().text(Look::Section, "The runs");
    let totals: Vec<([i64; 4], Load)> = tours.iter().map(|tour| totals(day, tour)).collect();
    sheet.table(None, runs(tours, &totals));
    let unknown: usize = totals.iter().map(|(_, load)| load.unknown).sum();
    let without = match unknown {
        0 => String::new(),
        _ => format!("; {} not in it, their weight is not known", count(unknown, "line is", "lines are")),
    };
    sheet.paragraph(Look::Faint, format!("kg: of what is there when its run is picked{without}."));
    starts.push(sheet.next_row());
    later(&mut sheet, day, &wrong);
    starts.push(sheet.next_row());
    sheet.gap().text(Look::Section, "Where to look");
    for (name, what) in CONTENTS {
        sheet.fact(Look::Plain, 2, name, what, Show::Text);
    }
    sheet.gap().paragraph(Look::Plain, limit_words(day)).paragraph(Look::Plain, weight::CAUTION);
    starts.push(sheet.next_row());
    let mut pages = Pages::of(&mut sheet, 0);
    starts.windows(2).for_each(|block| pages.keep(&mut sheet, block[0]..block[1]));
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

const CONTENTS: [(&str, &str); 8] = [
    ("overdue and owed", "what should have left already, and what is owed beyond the bills: these first"),
    ("receipts of the day", "what to take from the dock straight to a station, soonest need first"),
    ("not pulled", "what is not there when its run is picked, why, and which receipt would help"),
    ("kits", "all kits with their lines and kilograms, to tick"),
    ("walk ...", "one for each run: the way through the stores, bin by bin"),
    ("cards ...", "one for each run: a card for each kit"),
    ("in line order, bulk", "big parts in line order for each station; packs to lineside"),
    ("from the shops", "what the feeder shops bring, and when"),
];

/// Whether the day works, in a sentence or two.
fn verdict(day: &Day<'_>, wrong: &Wrong) -> (Look, String) {
    let weekday = day.plan.day.long();
    let aside = day.plan.units.iter().filter(|planned| planned.state == UnitState::SetAside).count();
    let (short, late, jobs) = (wrong.units(&["short"]), wrong.units(&["late"]), wrong.count("late job"));
    let special = wrong.count("special run");
    let open = count(special, "special run", "special runs");
    if short + late + jobs + aside == 0 {
        let text = match special {
            0 => format!("{weekday} works: everything is there when its run is picked, and no job is late."),
            _ => format!("{weekday} works with {open}; all else is there when its run is picked, and no job is late."),
        };
        return (Look::Strong, text);
    }
    let told = [
        (short, format!("{} short of material", count(short, "unit is", "units are"))),
        (late, format!("{} for late material", count(late, "unit waits", "units wait"))),
        (jobs, format!("{} late", count(jobs, "job is", "jobs are"))),
        (aside, format!("{} set aside for a wrong order", count(aside, "unit is", "units are"))),
        (special, format!("{open} to make")),
    ];
    let told = told.into_iter().filter(|(number, _)| *number > 0).map(|(_, words)| words).join(", ");
    (Look::Wrong, format!("{weekday} does not work as it stands: {told}."))
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
        lines.push(run_line(look, trip.name(), picked, walk::zones(stops).join(", "), *numbers, load));
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
fn later<'p>(sheet: &mut Sheet<'p>, day: &Day<'p>, wrong: &Wrong) {
    if wrong.later == 0 {
        return;
    }
    sheet.gap().text(Look::Section, "Units that wait for something after this day only");
    let more = wrong.later.saturating_sub(wrong.first_later.len());
    let told = wrong.first_later.iter().map(|trouble| wrong::line(day.plan, trouble)).collect();
    sheet.table(Some("after_this_day".to_owned()), told);
    (sheet.repeat, sheet.freeze) = (None, None);
    if more > 0 {
        sheet.text(Look::Plain, format!("and {}: see shortages.xlsx", count(more, "more unit", "more units")));
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
