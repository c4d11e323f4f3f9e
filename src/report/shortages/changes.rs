//! The sheet `changes`: for each engineering change its first unit, what goes out and is left over, and what comes in.

use super::facts::{Facts, bills};
use super::text::{count, due_words, few, money, sum_of};
use crate::base::{ChangeId, PartId, Quantity, UnitId};
use crate::check::{BillLine, Source};
use crate::netting::Cover;
use crate::report::sheet::{Column, Line, Look, Sheet, Show};
use crate::report::table::Value;
use crate::supply::{Covered, Supply};
use itertools::Itertools;

const WIDTHS: [u16; 13] = [10, 20, 18, 9, 14, 20, 8, 5, 16, 11, 11, 10, 28];

const COLUMNS: [Column; 13] = [
    Column { heading: "change", show: Show::Text },
    Column { heading: "what changes", show: Show::Wrapped },
    Column { heading: "first unit, and when it enters", show: Show::Wrapped },
    Column { heading: "goes out or comes in", show: Show::Wrapped },
    Column { heading: "part", show: Show::Text },
    Column { heading: "description", show: Show::Wrapped },
    Column { heading: "needed", show: Show::Quantity },
    Column { heading: "uom", show: Show::Text },
    Column { heading: "for units", show: Show::Wrapped },
    Column { heading: "needed from", show: Show::Date },
    Column { heading: "needed to", show: Show::Date },
    Column { heading: "cost of what is left", show: Show::Money },
    Column { heading: "how it stands", show: Show::Wrapped },
];

/// The sheet.
pub fn sheet<'p>(facts: &Facts<'p>) -> Sheet<'p> {
    let mut sheet = Sheet::new("changes", &WIDTHS);
    sheet.text(Look::Title, "Engineering changes in this sequence");
    sheet.paragraph(
        Look::Plain,
        "What goes out is needed up to the change, what comes in from it on. What is left over is what no unit of this \
         sequence needs; units after it may.",
    );
    sheet.gap();
    let changes = (0..facts.plan.plant.changes.len()).map(ChangeId::of);
    let lines: Vec<_> = changes.flat_map(|change| lines_of(facts, change)).collect();
    if lines.is_empty() {
        sheet.text(Look::Plain, "No change of this book touches a part that is bought or made.");
    } else {
        sheet.table(Some("changes".to_owned()), &COLUMNS, lines);
    }
    sheet
}

/// A line for each part that goes out, then for each that comes in.
fn lines_of<'p>(facts: &Facts<'p>, id: ChangeId) -> Vec<Line<'p>> {
    let out = parts(facts, |line| line.until == Some(id));
    let into = parts(facts, |line| line.from == Some(id));
    let all = out.iter().chain(into.iter().filter(|part| !out.contains(part)));
    let first = first_units(facts, id);
    let word = |part: &PartId| match (out.contains(part), into.contains(part)) {
        (true, true) => "changes",
        (true, false) => "goes out",
        _ => "comes in",
    };
    all.map(|part| line(facts, id, &first, word(part), *part)).collect()
}

fn parts(facts: &Facts<'_>, named: impl Fn(&BillLine) -> bool) -> Vec<PartId> {
    let plant = facts.plan.plant;
    let lines = bills(plant).filter(|line| named(line) && !line.gives);
    let parts = lines.map(|line| line.part).filter(|part| plant.part(*part).source != Source::Phantom);
    parts.sorted().dedup().collect()
}

/// The first unit of each line that has reached a change, and when it enters.
fn first_units(facts: &Facts<'_>, change: ChangeId) -> String {
    let plan = facts.plan;
    let reached = |unit: UnitId| plan.pace.reached(plan.plant, unit, change);
    let reached = plan.units.iter().filter(|unit| unit.times.is_some() && reached(unit.unit));
    let firsts = reached.unique_by(|unit| plan.plant.units[unit.unit.at()].line).filter_map(|unit| {
        let code = &plan.plant.units[unit.unit.at()].code;
        Some(format!("{code}, {}", unit.times?.0.short()))
    });
    let words = few(firsts, 3);
    if words.is_empty() { "no unit of this sequence".to_owned() } else { words }
}

fn line<'p>(facts: &Facts<'p>, id: ChangeId, first: &str, word: &'static str, part: PartId) -> Line<'p> {
    let change = &facts.plan.plant.changes[id.at()];
    let known = facts.part(part);
    let supply = &*facts.plan.supply(part);
    let left = left_in_stock(facts, part, supply);
    let goes_out = word == "goes out";
    let values = vec![
        change.code.as_str().into(),
        change.description.as_str().into(),
        first.to_owned().into(),
        word.into(),
        known.code.as_str().into(),
        known.description.as_str().into(),
        supply.asked().into(),
        known.uom.as_str().into(),
        units(facts, supply).into(),
        supply.demands.first().map(|demand| demand.need.date()).into(),
        supply.demands.last().map(|demand| demand.need.date()).into(),
        if goes_out && left.is_positive() { money(facts.cost(part, left)) } else { Value::Blank },
        if goes_out { left_over(facts, part, left) } else { first_cover(facts, supply) }.into(),
    ];
    (Look::Plain, values)
}

/// `V1 to V3 (3 units)`, in the order of need.
fn units(facts: &Facts<'_>, supply: &Supply) -> String {
    let owners = &facts.plan.pace.owners;
    let all: Vec<&str> = supply
        .demands
        .iter()
        .map(|demand| demand.owner)
        .sorted()
        .dedup()
        .map(|owner| &*owners[owner.at()].code)
        .collect();
    match all.as_slice() {
        [] => "none".to_owned(),
        [one] => (*one).to_owned(),
        [first, .., last] => format!("{first} to {last} ({})", count(all.len(), "unit", "units")),
    }
}

/// The stock, wherever it lies, that nothing in this sequence takes.
fn left_in_stock(facts: &Facts<'_>, part: PartId, supply: &Supply) -> Quantity {
    let taken = supply.pegs.iter().filter(|peg| matches!(peg.cover, Cover::Reserved | Cover::Lineside | Cover::Stock));
    facts.plan.usable_stock(part) - sum_of(taken.map(|peg| peg.qty))
}

/// What is left over of a part that goes out: in stock, and of receipts.
fn left_over(facts: &Facts<'_>, part: PartId, left: Quantity) -> String {
    let stock = format!("{left} left over in stock");
    let receipts = facts.deliveries_of(part).iter().map(|coming| (coming.delivery, coming.left()));
    let receipts = receipts.filter(|(_, qty)| qty.is_positive());
    let receipts = receipts.map(|(delivery, qty)| format!("{qty} of {}, due {}", delivery.order, due_words(delivery)));
    few([stock].into_iter().chain(receipts), 3)
}

/// What covers the first need of a part that comes in, and whether that is in time.
fn first_cover(facts: &Facts<'_>, supply: &Supply) -> String {
    let plan = facts.plan;
    let Some(demand) = supply.demands.first() else { return "not needed in this sequence".to_owned() };
    let pegs = supply.pegs.iter().take_while(|peg| peg.demand == 0);
    let told = pegs.map(|peg| {
        let word = match peg.covered(demand.need) {
            Covered::InTime => "in time",
            Covered::Late => "late",
            Covered::Short => return format!("{} short", peg.qty),
        };
        let source = match peg.cover {
            Cover::Receipt(i) => format!("receipt {}", plan.plant.receipts[i as usize].order),
            Cover::Job(_) => "a job".to_owned(),
            Cover::ByProduct => "a by-product".to_owned(),
            _ => "stock".to_owned(),
        };
        let there = peg.available.map_or(String::new(), |there| format!(", there {}", there.short()));
        format!("{source}{there}: {word}")
    });
    format!("first covered by {}", few(told, 3))
}
