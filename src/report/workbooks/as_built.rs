//! A unit as it is built, for the folder that goes with it: its options, its parts by position, what they weigh.

use super::front::plant_name;
use crate::base::{DestId, PartId, Total, UnitId, count};
use crate::check::Source;
use crate::configure;
use crate::plan::Plan;
use crate::report::answers::weights::{CAUTION, kg};
use crate::report::limits;
use crate::report::listing::{listing, widths};
use crate::report::prose::named;
use crate::report::sheet::{Look, Sheet, Workbook};
use crate::weigh::{BillWeight, Bills, PartInUnit};
use itertools::Itertools;
use std::collections::BTreeMap;

/// What stands behind a part whose weight is not known, or not of all that is in it.
const NOT_KNOWN: &str = "*";

/// What comes to a station as one.
struct Part {
    position: u32,
    station: DestId,
    part: PartId,
    /// How much of it.
    qty: Total,
    /// The bought parts that come with it, itself among them.
    pieces: Vec<PartInUnit>,
    /// What these weigh.
    weight: BillWeight,
}

/// The workbook; `None` where the unit's order is wrong.
pub fn workbook<'p>(plan: &'p Plan<'p>, unit: UnitId) -> Option<Workbook<'p>> {
    let plant = plan.plant;
    let bills = Bills::of(plant, &plan.pace);
    let whole = bills.weight(unit)?;
    let parts = parts(&bills, unit)?;
    let code = &plant.units[unit.at()].code;
    let sheets = vec![dense(plan, unit, &whole, &bills, &parts), listed(plan, unit, &parts)];
    let foot = format!("{}, {}, as of {}", plant_name(plan), plant.book, plant.as_of.short());
    let mut workbook = Workbook { file: "unit.xlsx", title: format!("{code} as it is built"), foot, sheets };
    limits::cut_all(&mut workbook);
    Some(workbook)
}

/// What comes to its stations, in the order of the line.
fn parts(bills: &Bills<'_>, unit: UnitId) -> Option<Vec<Part>> {
    let mut by_part: BTreeMap<(u32, DestId, PartId), (Total, Vec<PartInUnit>)> = BTreeMap::new();
    for (station, part, qty) in bills.not_bought(unit)? {
        by_part.entry((bills.position(station), station, part)).or_default().0 += qty.into();
    }
    for piece in bills.pieces(unit)? {
        let (qty, of_part) = by_part.entry((bills.position(piece.station), piece.station, piece.comes_as)).or_default();
        *qty += if piece.part == piece.comes_as { piece.qty.into() } else { Total::ZERO };
        of_part.push(piece);
    }
    let parts = by_part.into_iter().map(|((position, station, part), (qty, pieces))| {
        let weight = bills.sum(&pieces);
        Part { position, station, part, qty, pieces, weight }
    });
    Some(parts.collect())
}

/// All of it on a page or two, to lie in the folder: a line a station.
fn dense<'p>(plan: &Plan<'p>, unit: UnitId, whole: &BillWeight, bills: &Bills<'_>, parts: &[Part]) -> Sheet<'p> {
    let mut sheet = Sheet::new("as built", &widths::<AtStation>());
    sheet.text(Look::Title, format!("{} as it is built", plan.plant.units[unit.at()].code));
    for (look, text) in told(plan, unit, whole) {
        sheet.paragraph(look, text);
    }
    let stations = parts.chunk_by(|a, b| a.station == b.station);
    sheet.table(Some("as_built".to_owned()), stations.map(|parts| at_station(plan, bills, parts)).collect());
    sheet
}

/// What stands above the parts: what the unit is, its options, what it weighs, the caution.
fn told(plan: &Plan<'_>, unit: UnitId, weight: &BillWeight) -> Vec<(Look, String)> {
    let plant = plan.plant;
    let row = &plant.units[unit.at()];
    let floorplan = row.floorplan.as_ref().map_or(String::new(), |id| {
        let floorplan = &plant.floorplans[id.at()];
        named(&floorplan.code, &floorplan.name)
    });
    let state = match (row.done, &row.hold) {
        (true, _) => ", finished".to_owned(),
        (false, Some(why)) => format!(", on hold: {why}"),
        (false, None) => String::new(),
    };
    let times = plan.pace.enters(plant, unit).zip(plan.pace.leaves_line(plant, unit));
    let times = times.map_or(String::new(), |(enters, leaves)| {
        let word = if enters <= plant.as_of { "entered" } else { "enters" };
        format!(", {word} {} and leaves {}", enters.short(), leaves.short())
    });
    let what = format!("{floorplan}, line {}{times}{state}", plant.lines[row.line.at()].code);
    let has = configure::order(plant, row).map(|has| configure::options_of(plant, &has)).unwrap_or_default();
    let options = has.iter().map(|option| &plant.options[option.at()]).map(|choice| named(&choice.code, &choice.name));
    let options = if has.is_empty() { "none".to_owned() } else { options.collect_vec().join(", ") };
    let unknown = match weight.unknown.len() {
        0 => String::new(),
        n => format!(
            ", of which {} (marked {NOT_KNOWN}): what these weigh is not in the sum",
            count(n, "has no weight", "have no weight")
        ),
    };
    let scale = plant.weighed.iter().find(|weighed| weighed.unit == unit);
    let scale =
        scale.map_or(String::new(), |weighed| format!(" The scale showed {} kg.", kg(weighed.kilograms.into())));
    let parts = count(weight.parts, "bought part", "bought parts");
    let sum = format!("By the book {} kg from {parts}{unknown}.{scale}", kg(weight.kilograms));
    vec![
        (Look::Strong, what),
        (Look::Plain, format!("Options: {options}.")),
        (Look::Strong, sum),
        (Look::Plain, CAUTION.to_owned()),
    ]
}

/// A part with how much of it: `2 ea BRK-21-02`, with a mark where not all of its weight is known.
fn short(plan: &Plan<'_>, part: &Part) -> String {
    let own = plan.plant.part(part.part);
    let mark = if part.weight.unknown.is_empty() { "" } else { NOT_KNOWN };
    format!("{} {}{mark}", amount(plan, part), own.code)
}

/// How much of it, as a person takes or measures it.
fn amount(plan: &Plan<'_>, part: &Part) -> String {
    let own = plan.plant.part(part.part);
    let qty = part.qty.as_quantity().map_or_else(|| part.qty.to_string(), |qty| qty.round_up(own.decimals).to_string());
    format!("{qty} {}", own.uom)
}

/// Kilograms of what is bought; where none of it is known that is said, and never 0.
fn weighs(weight: &BillWeight) -> String {
    if weight.parts == 0 {
        return "nothing bought".to_owned();
    }
    if weight.unknown.len() == weight.parts { "not known".to_owned() } else { kg(weight.kilograms) }
}

listing! {
    /// What comes to a station.
    AtStation: fn at_station<'p>(plan: &Plan<'p>, bills: &Bills<'_>, parts: &[Part]) {
        let station = parts.first().map(|part| plan.plant.dest(part.station).code.as_str());
        let here = parts.iter().flat_map(|part| part.pieces.iter().copied()).collect_vec();
    }
    look: Look::Plain;
    "position", 8, Whole => parts.first().map(|part| i64::from(part.position));
    "station", 8, Text => station;
    "kg", 9, Wrapped => weighs(&bills.sum(&here));
    "parts", 147, Wrapped => parts.iter().map(|part| short(plan, part)).join(", ");
}

/// Each part by itself, with what it is and what it weighs.
fn listed<'p>(plan: &'p Plan<'p>, unit: UnitId, parts: &[Part]) -> Sheet<'p> {
    let mut sheet = Sheet::new("parts", &widths::<Listed>());
    sheet.for_the_screen = true;
    sheet.text(Look::Title, format!("Parts of {} by position, for the screen", plan.plant.units[unit.at()].code));
    sheet.paragraph(Look::Plain, CAUTION);
    sheet.table(Some("parts".to_owned()), parts.iter().map(|part| line(plan, part)).collect());
    sheet
}

listing! {
    /// What comes to a station as one.
    Listed: fn line<'p>(plan: &'p Plan<'p>, part: &Part) {
        let own = plan.plant.part(part.part);
        let unknown = part.weight.unknown.len();
        let word = match own.source {
            Source::ByProduct => "comes off the unit itself".to_owned(),
            _ if unknown == 0 => String::new(),
            _ if own.bought() => "weight not known".to_owned(),
            _ => format!("{} without weight in it", count(unknown, "part", "parts")),
        };
        let known = part.weight.parts > unknown;
    }
    look: Look::Plain;
    "position", 9, Whole => i64::from(part.position);
    "station", 10, Text => plan.plant.dest(part.station).code.as_str();
    "part", 18, Text => own.code.as_str();
    "description", 40, Text => own.description.as_str();
    "qty", 14, Text => amount(plan, part);
    "kg", 10, Weight => known.then_some(part.weight.kilograms);
    "mind", 28, Text => word;
}
