//! The sheet `changes`: for each engineering change its first unit, what goes out and is left over, and what comes in.

use super::facts::Facts;
use super::not_needed;
use super::text::{due_words, few, money, sum_of};
use crate::base::{ChangeId, PartId, Quantity, UnitId, count};
use crate::check::{BillLine, Source};
use crate::netting::Cover;
use crate::report::listing::{Line, listing, widths};
use crate::report::sheet::{Look, Sheet};
use crate::report::table::Value;
use crate::supply::{Covered, Supply};
use itertools::Itertools;

pub fn sheet<'p>(facts: &Facts<'p>) -> Sheet<'p> {
    let mut sheet = Sheet::new("changes", &widths::<Changes>()).with_currency(&facts.plan.plant.currency);
    sheet.text(Look::Title, "Engineering changes in this sequence");
    sheet.paragraph(
        Look::Plain,
        "What goes out is needed up to the change, what comes in from it on. What is left over is what no unit of this \
         sequence needs; units after it may.",
    );
    let end = facts.plan.end.map_or(String::new(), |(_, leaves)| format!(", which ends on {}", leaves.date().short()));
    let words = not_needed::words(facts);
    sheet.paragraph(
        Look::Strong,
        format!("Not needed by this sequence{end}, changes or not: {words}. See 'not needed'."),
    );
    sheet.gap();
    let changes = (0..facts.plan.plant.changes.len()).map(ChangeId::of);
    let lines: Vec<_> = changes.flat_map(|change| lines_of(facts, change)).collect();
    if lines.is_empty() {
        sheet.text(Look::Plain, "No change of this book touches a part that is bought or made.");
    } else {
        sheet.table(Some("changes".to_owned()), lines);
    }
    sheet
}

/// A line for each part that goes out, then for each that comes in.
fn lines_of<'p>(facts: &Facts<'p>, id: ChangeId) -> Vec<Line<'p, Changes>> {
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
    let lines = plant.bill_lines().filter(|line| named(line) && !line.gives);
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

listing! {
    /// A part that a change takes out or brings in.
    Changes: fn line<'p>(facts: &Facts<'p>, id: ChangeId, first: &str, word: &'static str, part: PartId) {
        let change = &facts.plan.plant.changes[id.at()];
        let known = facts.part(part);
        let supply = &*facts.plan.supply(part);
        let left = left_in_stock(facts, part, supply);
        let goes_out = word == "goes out";
    }
    look: Look::Plain;
    "change", 10, Text => change.code.as_str();
    "what changes", 20, Wrapped => change.description.as_str();
    "first unit, and when it enters", 18, Wrapped => first.to_owned();
    "goes out or comes in", 9, Wrapped => word;
    "part", 14, Text => known.code.as_str();
    "description", 20, Wrapped => known.description.as_str();
    "needed", 8, Quantity => supply.asked();
    "uom", 5, Text => known.uom.as_str();
    "for units", 16, Wrapped => units(facts, supply);
    "needed from", 11, Date => supply.demands.first().map(|demand| demand.need.date());
    "needed to", 11, Date => supply.demands.last().map(|demand| demand.need.date());
    "cost of what is left", 10, Money => if goes_out && left.is_positive() { money(facts.cost(part, left)) } else { Value::Blank };
    "how it stands", 28, Wrapped => if goes_out { left_over(facts, part, left, supply) } else { first_cover(facts, supply) };
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
    let taken = supply.pegs.iter().filter(|peg| peg.on_hand());
    facts.plan.stock_not_on_hold(part) - sum_of(taken.map(|peg| peg.qty))
}

/// What is left over of a part that goes out: in stock, of orders that are still to be placed, and of receipts.
fn left_over(facts: &Facts<'_>, part: PartId, left: Quantity, supply: &Supply) -> String {
    let stock = format!("{left} left over in stock");
    let receipts = facts.deliveries_of(part).iter().map(|coming| (coming.delivery, coming.left()));
    let receipts = receipts.filter(|(_, qty)| qty.is_positive());
    let receipts = receipts.map(|(delivery, qty)| format!("{qty} of {}, due {}", delivery.order, due_words(delivery)));
    let orders = left_of_orders(facts, part, supply);
    let orders = orders.is_positive().then(|| format!("{orders} of what is to be ordered"));
    few([stock].into_iter().chain(orders).chain(receipts), 3)
}

/// What nothing takes of the orders that the balance plans: no less can be bought, or it fills the safety stock.
fn left_of_orders(facts: &Facts<'_>, part: PartId, supply: &Supply) -> Quantity {
    let short = supply.pegs.iter().filter(|peg| peg.cover == Cover::None).map(|peg| peg.qty);
    sum_of(facts.plan.account(part).planned.iter().map(|order| order.qty)) - sum_of(short)
}

/// What covers the first need of a part that comes in, and whether that is in time.
fn first_cover(facts: &Facts<'_>, supply: &Supply) -> String {
    let plan = facts.plan;
    let Some(demand) = supply.demands.first() else { return "not needed in this sequence".to_owned() };
    let pegs = supply.pegs.iter().take_while(|peg| peg.demand == 0);
    let told = pegs.map(|peg| {
        let covered = peg.covered(demand.need);
        if covered == Covered::Short {
            return format!("{} short", peg.qty);
        }
        let source = match peg.cover {
            Cover::Receipt(i) => format!("receipt {}", plan.plant.receipts[i as usize].order),
            Cover::Job(_) => "a job".to_owned(),
            Cover::ByProduct => "a by-product".to_owned(),
            _ => "stock".to_owned(),
        };
        let there = peg.available.map_or(String::new(), |there| format!(", there {}", there.short()));
        format!("{source}{there}: {}", covered.word())
    });
    format!("first covered by {}", few(told, 3))
}
