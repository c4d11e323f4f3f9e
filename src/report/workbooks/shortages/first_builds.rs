//! The sheet `first builds`: for each floorplan and change of which nothing is built yet the parts that nobody took before, and what is
//! missing for them.

use super::facts::Facts;
use super::text::{few, supplier_name};
use crate::base::{Quantity, Ratio, count};
use crate::check::{Part, Source};
use crate::first_builds::{FirstBuild, FirstPart, New, first_builds};
use crate::report::listing::{Line, listing, widths};
use crate::report::sheet::{Look, Sheet};
use crate::supply::Covered;

/// So many floorplans and changes stand on the sheet.
const MOST: usize = 20;
/// So many parts of each, those first of which something is missing.
const MOST_PARTS: usize = 60;

/// The sheet; `None` where nothing is built for the first time.
pub fn sheet<'p>(facts: &Facts<'p>) -> Option<Sheet<'p>> {
    let mut sheet = Sheet::new("first builds", &widths::<FirstParts>());
    sheet.text(Look::Title, "First builds: parts that no earlier unit of the book takes");
    let Some(all) = first_builds(facts.plan) else {
        sheet.paragraph(Look::Wrong, "Quantities are too large to be followed: nothing is told.");
        return Some(sheet);
    };
    if all.is_empty() {
        return None;
    }
    sheet.paragraph(
        Look::Plain,
        "Of a floorplan or a change no unit is done or on its line. What is missing is what the book does not have or does not say; the first \
         to act on stands on top. Weights are the book's; the scale and the certification label govern.",
    );
    for first in all.iter().take(MOST) {
        put(&mut sheet, facts, first);
    }
    if all.len() > MOST {
        sheet.gap().text(Look::Strong, format!("and {} more, further down in the book", all.len() - MOST));
    }
    Some(sheet)
}

fn put<'p>(sheet: &mut Sheet<'p>, facts: &Facts<'p>, first: &FirstBuild) {
    let plant = facts.plan.plant;
    let unit = &plant.units[first.first.at()].code;
    let name = match first.new {
        New::Floorplan(floorplan) => format!("Floorplan {}", plant.floorplans[floorplan.at()].code),
        New::Change(change) => {
            let change = &plant.changes[change.at()];
            format!("Change {} {}", change.code, change.description)
        }
    };
    sheet
        .gap()
        .text(Look::Section, format!("{}: first {unit}, which enters {}", name.trim_end(), first.enters.short()));
    let kinds = few(first.not_counted.iter().map(|kind| plant.kinds[*kind as usize].clone()), 10);
    if !kinds.is_empty() {
        sheet.paragraph(Look::Wrong, format!("No row of Content says how many pieces it has of: {kinds}"));
    }
    let missing = first.parts.iter().filter(|part| !part.missing.is_empty()).count();
    let words = match (first.parts.len(), missing) {
        (0, _) => "No part comes with it that nobody took before.".to_owned(),
        (all, 0) => format!("{}, nothing missing.", count(all, "new part", "new parts")),
        (all, some) => format!("{}, something is missing of {some}.", count(all, "new part", "new parts")),
    };
    sheet.text(if missing > 0 { Look::Strong } else { Look::Plain }, words);
    if first.parts.is_empty() {
        return;
    }
    let number = match first.new {
        New::Floorplan(floorplan) => format!("first_of_floorplan_{}", floorplan.at() + 1),
        New::Change(change) => format!("first_of_change_{}", change.at() + 1),
    };
    let lines: Vec<Line<'p, FirstParts>> = first.parts.iter().take(MOST_PARTS).map(|part| line(facts, part)).collect();
    sheet.table(Some(number), lines);
    if first.parts.len() > MOST_PARTS {
        let more = count(first.parts.len() - MOST_PARTS, "part", "parts");
        sheet.text(Look::Strong, format!("and {more} more, by the day they are needed"));
    }
}

/// What is missing; how the first need is covered where nothing is.
fn missing(first: &FirstPart) -> String {
    if !first.missing.is_empty() {
        return first.missing.join("; ");
    }
    match (first.needed, first.covered) {
        (None, _) => "issued or delivered".to_owned(),
        (_, Some(Covered::InTime)) => "there in time".to_owned(),
        (_, Some(covered)) => covered.word().to_owned(),
        (_, None) => String::new(),
    }
}

/// Who sells it and how long that takes; or who makes it and in how many minutes.
fn from(facts: &Facts<'_>, part: &Part) -> String {
    match part.source {
        Source::Make(shop) => {
            let minutes = |time: Ratio| Quantity::cut(time).unwrap_or_default();
            let shop = &facts.plan.plant.shop_dest(shop).code;
            format!("{shop}: setup {} min, {} min each", minutes(part.setup), minutes(part.minutes))
        }
        Source::ByProduct => "comes off".to_owned(),
        _ if part.lead_days == 0 => supplier_name(&part.supplier).to_owned(),
        _ => format!("{}, {} days", supplier_name(&part.supplier), part.lead_days),
    }
}

/// What the book says it is, for `Content`.
fn kind<'p>(facts: &Facts<'p>, part: &Part) -> &'p str {
    let plant = facts.plan.plant;
    part.kind.map_or("", |kind| plant.kinds[kind as usize].as_str())
}

listing! {
    /// A part that nobody took before.
    FirstParts: fn line<'p>(facts: &Facts<'p>, first: &FirstPart) {
        let part = facts.part(first.part);
        let owners = &facts.plan.pace.owners;
        let in_time = first.covered.is_none_or(|covered| covered == Covered::InTime);
    }
    look: if first.missing.is_empty() { Look::Plain } else { Look::Strong };
    "what is missing", 26, Wrapped => missing(first);
    "part", 14, Text => part.code.as_str();
    "description", 22, Wrapped => part.description.as_str();
    "needed", 17, Moment => first.needed.map(|(need, _)| need);
    "by", 9, Text => first.needed.map(|(_, owner)| owners[owner.at()].code.as_str());
    "order by", 11, Date => first.order_by.filter(|_| !in_time).map(|day| facts.order_by(day));
    "in stock", 8, Quantity => first.stock;
    "open", 8, Quantity => first.receipts;
    "uom", 5, Text => part.uom.as_str();
    "first comes", 17, Moment => first.comes;
    "from", 24, Wrapped => from(facts, part);
    "location", 10, Text => part.location.as_str();
    "kg", 7, Quantity => part.weight;
    "kind", 9, Text => kind(facts, part);
}
