//! The first sheet: what this is, what is wrong first, what to do, and how many units are clear to build.

use super::acts::Acts;
use super::calls::CallsInOrder;
use super::facts::Facts;
use super::text::few;
use super::{not_needed, order, past, units};
use crate::base::{UnitId, count};
use crate::calls::{Calls, Without};
use crate::cures::Cures;
use crate::plan::{Late, UnitState};
use crate::report::line_words;
use crate::report::listing::widths;
use crate::report::sheet::{Look, Paper, Sheet, Show};
use itertools::Itertools;

pub fn sheet<'p>(
    facts: &Facts<'p>,
    acts: &Acts<'_, 'p>,
    cures: &Cures,
    (calls, without): (&Calls, Option<&[Without]>),
) -> Sheet<'p> {
    let mut sheet = Sheet::new("at a glance", &widths::<CallsInOrder>());
    head(&mut sheet, facts);
    if !cures.stopped.is_empty() {
        sheet.fact(Look::Strong, 1, "what can be done", super::cures::words(cures), Show::Text);
    }
    super::calls::put(&mut sheet, facts, cures, calls);
    super::calls::unpromised(&mut sheet, facts, without);
    wrong_first(&mut sheet, facts);
    totals(&mut sheet, facts, acts);
    sheet.gap().paragraph(
        Look::Faint,
        "Nothing here says that a part can follow later, or that another part or stock on hold can take its place. For \
         brakes, axles, gas, electrics, exits and glazing licensed practice and the local code decide.",
    );
    sheet.repeat = None;
    sheet.freeze = None;
    sheet.paper = Paper::OnePage;
    sheet
}

fn head<'p>(sheet: &mut Sheet<'p>, facts: &Facts<'p>) {
    let plan = facts.plan;
    let plant = plan.plant;
    let name = if plant.name.is_empty() { &*plant.book } else { &plant.name };
    sheet.text(Look::Title, format!("{name}: what will be late or short, and what to do"));
    sheet.fact(Look::Plain, 1, "as of", plant.as_of.short(), Show::Text);
    sheet.fact(Look::Plain, 1, "day of the pull list", plan.day.long(), Show::Text);
    sheet.fact(Look::Plain, 1, "book", plant.book.to_string(), Show::Text);
    let end = plan.end.map_or("no unit is on the plan".to_owned(), |(unit, leaves)| {
        format!("{}, when {} leaves the line", leaves.short(), plant.units[unit.at()].code)
    });
    sheet.fact(Look::Strong, 1, "this sequence ends", end, Show::Text);
    line_words::put(sheet, plan, 1);
}

fn wrong_first<'p>(sheet: &mut Sheet<'p>, facts: &Facts<'p>) {
    sheet.gap().text(Look::Section, "What else is wrong");
    if !facts.set_aside.is_empty() {
        let words = format!(
            "Set aside, because their order is wrong: {}. They get no material.",
            names(facts, &facts.set_aside)
        );
        sheet.paragraph(Look::Wrong, words);
    }
    let (wrong, words) = the_day(facts);
    sheet.paragraph(if wrong { Look::Wrong } else { Look::Strong }, words);
    let soon = facts.troubles.iter().filter(|short| short.soon).count();
    let later = facts.troubles.len() - soon;
    let words = format!(
        "To {} {} late or short; {}: see 'shortages'.",
        facts.week.short(),
        count(soon, "part is", "parts are"),
        if later > 0 { format!("later {later} more") } else { "later none".to_owned() },
    );
    sheet.text(Look::Plain, words);
    other_troubles(sheet, facts);
    line_words::of_the_book(sheet, facts.plan);
}

/// Late jobs and held units: not the buyer's, but the reason why a unit stands.
fn other_troubles<'p>(sheet: &mut Sheet<'p>, facts: &Facts<'p>) {
    let plan = facts.plan;
    let late = (0..plan.jobs.len()).filter(|job| plan.job_late(*job) != Late::InTime);
    let late: Vec<_> = late.map(|job| &plan.jobs[job]).collect();
    if !late.is_empty() {
        let owners = late.iter().map(|job| plan.pace.owners[job.owner.at()].code.clone()).unique();
        let words = format!(
            "{} late, for {} (see shop-orders.xlsx).",
            count(late.len(), "job of a feeder shop is", "jobs of feeder shops are"),
            few(owners, 6).replace("; ", ", ")
        );
        sheet.text(Look::Plain, words);
    }
    if !facts.held.is_empty() {
        sheet.paragraph(Look::Plain, format!("On hold: {}. The plan gives them nothing.", names(facts, &facts.held)));
    }
    if !facts.held.is_empty() || !facts.set_aside.is_empty() {
        let mut words =
            "What held and set-aside units would need stands in a column of its own, stock not counted".to_owned();
        if !facts.unsupplied.unknown.is_empty() {
            words += &format!(
                "; not known for {}, whose order is wrong: {}",
                count(facts.unsupplied.unknown.len(), "unit", "units"),
                names(facts, &facts.unsupplied.unknown)
            );
        }
        sheet.paragraph(Look::Plain, words + ".");
    }
}

/// Units by name, held ones with the reason.
fn names(facts: &Facts<'_>, units: &[UnitId]) -> String {
    let plant = facts.plan.plant;
    let told = units.iter().map(|unit| {
        let unit = &plant.units[unit.at()];
        unit.hold.as_ref().map_or_else(|| unit.code.clone(), |why| format!("{} ({why})", unit.code))
    });
    few(told, 8).replace("; ", ", ")
}

/// Whether what is needed up to the end of the planned day is there, in a sentence.
fn the_day(facts: &Facts<'_>) -> (bool, String) {
    let day = facts.plan.day;
    let today = &facts.today;
    let until = format!("the end of {}", day.long());
    if today.parts == 0 {
        return (false, format!("Nothing bought that is needed by {until} is late or short."));
    }
    let mut words = Vec::new();
    if !today.on_line.is_empty() {
        words.push(format!("{} on the line", count(today.on_line.len(), "unit", "units")));
    }
    if !today.in_shops.is_empty() {
        words.push(format!("the jobs of {}", count(today.in_shops.len(), "unit", "units")));
    }
    let parts = count(today.parts, "bought part is", "bought parts are");
    (true, format!("Up to {until} {parts} late or short, for {}.", words.join(" and ")))
}

fn totals<'p>(sheet: &mut Sheet<'p>, facts: &Facts<'p>, acts: &Acts<'_, 'p>) {
    let units_on_line =
        facts.plan.units.iter().filter(|unit| !matches!(unit.state, UnitState::Hold | UnitState::SetAside)).count();
    let clear = units::clear(facts);
    let first = clear.first_not_on_hand.map_or(String::new(), |unit| format!("; {unit} is the first that is not"));
    sheet.gap().text(Look::Section, "Totals");
    sheet.fact(
        Look::Plain,
        1,
        "clear on hand",
        format!("{} of {} units{first}", clear.on_hand, units_on_line),
        Show::Text,
    );
    sheet.fact(
        Look::Plain,
        1,
        "clear as promised",
        format!("{} of {} units", clear.promised, units_on_line),
        Show::Text,
    );
    let leaned = acts.chase.iter().filter(|coming| coming.taken.last.is_some()).count();
    let chase = count(acts.chase.len(), "overdue receipt", "overdue receipts");
    let chase = format!("{chase}; this sequence leans on {leaned} of them");
    sheet.fact(Look::Plain, 1, "to chase", chase, Show::Text);
    let forward = count(acts.bring_forward.len(), "receipt, in part or whole", "receipts, in part or whole");
    sheet.fact(Look::Plain, 1, "to bring forward", forward, Show::Text);
    sheet.fact(Look::Plain, 1, "to order", order::total(facts, acts), Show::Text);
    if let Some(words) = past::words(facts) {
        sheet.fact(Look::Plain, 1, "past the sequence", words, Show::Text);
    }
    sheet.fact(Look::Plain, 1, "not needed here", not_needed::words(facts), Show::Text);
}
