//! The head of every workbook's first sheet: the plant, what this is, for when, from which book, and how its units stand.

use super::line_words;
use crate::check::Unit;
use crate::plan::{Plan, UnitPlan, UnitState};
use crate::report::names::unit_status;
use crate::report::sheet::{Look, Sheet, Show};
use itertools::Itertools;

/// The plant's name, or the book's where it has none.
pub fn plant_name<'p>(plan: &Plan<'p>) -> &'p str {
    if plan.plant.name.is_empty() { &plan.plant.book } else { &plan.plant.name }
}

/// Title, plant, what this is, day, as-of moment, book, where the sequence ends, and units by state. Labels take the first
/// `labels` columns.
pub fn head<'p>(sheet: &mut Sheet<'p>, plan: &'p Plan<'p>, title: &str, what: &'static str, labels: u16) {
    let as_of = plan.plant.as_of;
    sheet.text(Look::Title, format!("{title}, {}", plan.day.long()));
    sheet.fact(Look::Strong, labels, "plant", plant_name(plan), Show::Text);
    sheet.fact(Look::Plain, labels, "what this is", what, Show::Text);
    sheet.fact(Look::Plain, labels, "day", plan.day.long(), Show::Text);
    sheet.fact(Look::Plain, labels, "as of", format!("{}, {}", as_of.date().long(), as_of.clock()), Show::Text);
    sheet.fact(Look::Plain, labels, "the book", &*plan.plant.book, Show::Text);
    for end in sequence_ends(plan) {
        sheet.fact(Look::Plain, labels, "the sequence ends", end, Show::Text);
    }
    sheet.fact(Look::Strong, labels, "units", unit_totals(plan), Show::Text);
    line_words::put(sheet, plan, labels);
}

/// Where the sequence of each line ends, in line order.
pub fn sequence_ends(plan: &Plan<'_>) -> Vec<String> {
    let row = |planned: &UnitPlan| &plan.plant.units[planned.unit.at()];
    let ends = plan.plant.lines.iter().enumerate().map(|(i, line)| {
        let of_line = plan.units.iter().filter(|planned| row(planned).line.at() == i);
        let last = of_line.filter_map(|planned| Some((planned.times?, row(planned)))).max_by_key(|(times, _)| times.0);
        match last {
            Some(((enters, leaves), unit)) => {
                let (code, unit) = (&line.code, unit.code.as_str());
                format!("line {code}: the last unit, {unit}, enters {} and leaves {}", enters.short(), leaves.short())
            }
            None => format!("line {}: no unit", line.code),
        }
    });
    ends.collect()
}

/// `6 units: 4 clear to build, 2 late`.
pub fn unit_totals(plan: &Plan<'_>) -> String {
    let count = |word: &str| plan.units.iter().filter(|planned| unit_status(planned.state) == word).count();
    let words = [
        ("clear", "clear to build"),
        ("late", "late"),
        ("short", "short"),
        ("hold", "on hold"),
        ("set aside", "set aside"),
    ];
    let parts = words.iter().filter(|(state, _)| *state == "clear" || count(state) > 0);
    let told = parts.map(|(state, words)| format!("{} {words}", count(state))).join(", ");
    format!("{} units: {told}", plan.units.len())
}

/// Each unit set aside with what is wrong with its order, one row a finding.
pub fn set_aside<'p>(plan: &'p Plan<'p>) -> Vec<(&'p Unit, &'p str)> {
    let aside = plan.units.iter().filter(|planned| planned.state == UnitState::SetAside);
    let rows = aside.flat_map(|planned| {
        let unit = &plan.plant.units[planned.unit.at()];
        let of_unit = plan.set_aside.iter().filter(|finding| finding.unit.as_ref() == Some(&unit.code));
        of_unit.map(move |finding| (unit, finding.message.as_str()))
    });
    rows.collect()
}
