//! Big parts brought to each station in line order.

use super::day::{Day, Picked, Trip};
use super::kits::in_line_order;
use super::weight;
use super::words::{DestOrder, Reasons, comes, dest_order, floorplan, how, unit_code};
use crate::base::OwnerId;
use crate::report::fit;
use crate::report::listing::{Line, listing};
use crate::report::pages::Pages;
use crate::report::sheet::{Look, Paper, Sheet};
use itertools::Itertools;

/// What a page takes at this sheet's scale.
const TOTAL: u16 = 163;

/// The sheet.
pub fn sheet<'p>(day: &Day<'p>, reasons: &Reasons<'p>) -> Sheet<'p> {
    let plan = day.plan;
    let rows = rows(day);
    let mut lines: Vec<Line<'p, InLineOrder>> = Vec::new();
    let mut blocks = Vec::new();
    for of_station in rows.chunk_by(|a, b| a.0 == b.0) {
        let first = lines.len() as u32;
        for (place, of_unit) in (1..).zip(of_station.chunk_by(|a, b| a.1 == b.1)) {
            lines.extend(of_unit.iter().map(|(_, _, trip, picked)| line(day, reasons, trip, picked, place)));
        }
        blocks.push(first..lines.len() as u32);
    }
    let widths = fit::widths(&lines, TOTAL);
    let mut sheet = Sheet::new("in line order", &widths);
    sheet.paper = Paper::Scale(80);
    sheet.text(Look::Title, format!("Sequenced parts in line order, {}", plan.day.long()));
    sheet.paragraph(Look::Plain, weight::SHORT_CAUTION);
    if lines.is_empty() {
        sheet.text(Look::Plain, "No part is brought in line order.");
        return sheet;
    }
    let first = sheet.next_row() + 1;
    sheet.table(Some("in_line_order".to_owned()), lines);
    let mut pages = Pages::of(&mut sheet, first);
    blocks.into_iter().for_each(|block| pages.keep(&mut sheet, first + block.start..first + block.end));
    sheet
}

type Sequenced<'a> = (DestOrder, Option<OwnerId>, &'a Trip, &'a Picked);

/// By station, unit in line order, time and part.
fn rows<'a>(day: &'a Day<'_>) -> Vec<Sequenced<'a>> {
    let sequenced = day.all().filter(|(_, picked)| in_line_order(day.plan, picked));
    let rows = sequenced.map(|(trip, picked)| (dest_order(day.plan, picked.pull.to), picked.pull.owner, trip, picked));
    rows.sorted_by_key(|(dest, owner, _, picked)| (*dest, *owner, picked.pull.need, picked.pull.part)).collect()
}

listing! {
    /// A part that is brought in line order.
    InLineOrder: fn line<'p>(day: &Day<'p>, reasons: &Reasons<'p>, trip: &Trip, picked: &Picked, place: i64) {
        let plan = day.plan;
        let part = plan.plant.part(picked.pull.part);
        let owner = picked.pull.owner;
        let places = day.places(picked);
        let location = if places.is_empty() { part.location.as_str().into() } else { places };
        let missing = picked.missing.iter().map(|m| format!("{} not there, {}: {}", m.qty, how(m), comes(plan, m)));
        let mut notes: Vec<String> = missing.collect();
        notes.extend(weight::warning(plan.plant, part, picked.pull.qty));
        notes.extend(reasons.behind(picked).iter().map(|reason| (*reason).to_owned()));
        let look = if picked.missing.is_empty() { Look::Plain } else { Look::Wrong };
    }
    look: look;
    "there", 6, Box => "";
    "station", 8, Text => plan.plant.dest(picked.pull.to).code.as_str();
    "place in line order", 8, Whole => place;
    "unit", 6, Text => owner.map(|owner| unit_code(plan, owner));
    "floorplan", 9, Wrapped => owner.map(|owner| floorplan(plan, owner));
    "needed", 17, Moment => picked.pull.need;
    "run", 8, Text => trip.name();
    "location", 9, Wrapped => location;
    "part", 6, Wrapped => part.code.as_str();
    "description", 14, Wrapped => part.description.as_str();
    "qty", 5, Quantity => picked.pull.qty;
    "kg each", 8, Weight => part.weight;
    "kg", 8, Weight => weight::cell(part, picked.pull.qty);
    "what to know", 14, Wrapped => notes.join("; ");
}
