//! What comes to a shop from other shops, from stock of made parts and off its units.

use super::cover::JobMaterial;
use super::facts::{Facts, ShopFacts};
use super::material::{how_it_comes, how_it_stands};
use crate::base::PartId;
use crate::check::Source;
use crate::plan::There;
use crate::report::listing::{listing, widths};
use crate::report::sheet::{Look, Sheet};
use crate::report::table::Value;

/// The sheet; `None` for a shop to which nothing comes by the end of the plan's day.
pub fn sheet<'p>(
    facts: &Facts<'p>,
    shop: &ShopFacts<'p>,
    name: impl FnOnce() -> String,
    table: String,
) -> Option<Sheet<'p>> {
    // Taken though the sheet is not made, so that another shop of the same name has the same number on all of its sheets.
    let name = name();
    let pieces = from_other_shops(facts, shop);
    if pieces.is_empty() {
        return None;
    }
    let mut sheet = Sheet::new(name, &widths::<FromOtherShops>());
    sheet.of_a_day = true;
    sheet.text(Look::Title, format!("{}: from other shops, for the screen", shop.dest.name));
    sheet.text(Look::Plain, super::foot(facts.plan));
    let told = "Made parts, from shops and from stock, and by-products that are needed here by the end of";
    sheet.text(Look::Plain, format!("{told} {}, soonest need first.", facts.plan.day.short()));
    sheet.gap();
    sheet.table(Some(table), pieces.iter().map(|piece| piece_line(facts, piece)).collect());
    Some(sheet)
}

/// Made parts and by-products that this shop needs by the end of the plan's day, soonest need first.
fn from_other_shops<'p>(facts: &Facts<'p>, shop: &ShopFacts<'p>) -> Vec<JobMaterial> {
    let plan = facts.plan;
    let end = plan.day.plus(1).midnight();
    let made = |part: &PartId| matches!(plan.plant.part(*part).source, Source::Make(_) | Source::ByProduct);
    let mut found = Vec::new();
    for part in (0..plan.plant.parts.len()).map(PartId::of).filter(made) {
        let pieces = JobMaterial::all(plan.made(part).pegged().before(end));
        found.extend(pieces.filter(|piece| piece.demand.to == shop.shop.dest));
    }
    found.sort_by_key(|piece| (piece.demand.need, piece.demand.owner, piece.demand.part));
    found
}

listing! {
    /// What comes from another shop.
    FromOtherShops: fn piece_line<'p>(facts: &Facts<'p>, piece: &JobMaterial) {
        let part = facts.plan.plant.part(piece.demand.part);
        let stands = how_it_stands(facts, piece);
    }
    look: if matches!(stands, "late" | "short") { Look::Wrong } else { Look::Plain };
    "needed", 16, Moment => piece.demand.need;
    "comes from", 18, Wrapped => how_it_comes(facts, piece);
    "part", 15, Text => part.code.as_str();
    "description", 36, Wrapped => part.description.as_str();
    "qty", 7, Quantity => piece.demand.qty;
    "uom", 7, Text => part.uom.as_str();
    "unit", 12, Text => facts.owner(piece.demand.owner);
    "there at", 16, Moment => piece.there(facts.plan).and_then(There::moment);
    "how it stands", 14, Wrapped => stands;
    "came", 6, Box => Value::Blank;
}
