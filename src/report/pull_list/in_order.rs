//! Big parts brought to each station in line order.

use super::super::fit;
use super::super::pages::Pages;
use super::super::sheet::{Column, Line, Look, Paper, Sheet, Show};
use super::day::{Day, Picked, Trip};
use super::kits::in_line_order;
use super::weight;
use super::words::{DestOrder, Reasons, comes, dest_order, floorplan, how, unit_code};
use crate::base::OwnerId;
use itertools::Itertools;

const COLUMNS: [Column; 14] = [
    Column { heading: "there", show: Show::Box },
    Column { heading: "station", show: Show::Text },
    Column { heading: "place in line order", show: Show::Whole },
    Column { heading: "unit", show: Show::Text },
    Column { heading: "floorplan", show: Show::Wrapped },
    Column { heading: "needed", show: Show::Moment },
    Column { heading: "run", show: Show::Text },
    Column { heading: "location", show: Show::Wrapped },
    Column { heading: "part", show: Show::Wrapped },
    Column { heading: "description", show: Show::Wrapped },
    Column { heading: "qty", show: Show::Quantity },
    Column { heading: "kg each", show: Show::Weight },
    Column { heading: "kg", show: Show::Weight },
    Column { heading: "what to know", show: Show::Wrapped },
];
const LEAST: [u16; 14] = [6, 8, 8, 6, 9, 17, 8, 9, 6, 14, 5, 8, 8, 14];
/// What a page takes at this sheet's scale.
const TOTAL: u16 = 163;

/// The sheet.
pub fn sheet<'p>(day: &Day<'p>, reasons: &Reasons<'p>) -> Sheet<'p> {
    let plan = day.plan;
    let rows = rows(day);
    let mut lines: Vec<Line<'p>> = Vec::new();
    let mut blocks = Vec::new();
    for of_station in rows.chunk_by(|a, b| a.0 == b.0) {
        let first = lines.len() as u32;
        for (place, of_unit) in (1..).zip(of_station.chunk_by(|a, b| a.1 == b.1)) {
            lines.extend(of_unit.iter().map(|(_, _, trip, picked)| line(day, reasons, trip, picked, place)));
        }
        blocks.push(first..lines.len() as u32);
    }
    let widths = fit::widths(&COLUMNS, &LEAST, &lines, TOTAL);
    let mut sheet = Sheet::new("in line order", &widths);
    sheet.paper = Paper::Scale(80);
    sheet.text(Look::Title, format!("Sequenced parts in line order, {}", plan.day.long()));
    sheet.paragraph(Look::Plain, weight::SHORT_CAUTION);
    if lines.is_empty() {
        sheet.text(Look::Plain, "No part is brought in line order.");
        return sheet;
    }
    let first = sheet.next_row() + 1;
    sheet.table(Some("in_line_order".to_owned()), &COLUMNS, lines);
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

fn line<'p>(day: &Day<'p>, reasons: &Reasons<'p>, trip: &Trip, picked: &Picked, place: i64) -> Line<'p> {
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
    let values = vec![
        "".into(),
        plan.plant.dest(picked.pull.to).code.as_str().into(),
        place.into(),
        owner.map(|owner| unit_code(plan, owner)).into(),
        owner.map(|owner| floorplan(plan, owner)).into(),
        picked.pull.need.into(),
        trip.name().into(),
        location.into(),
        part.code.as_str().into(),
        part.description.as_str().into(),
        picked.pull.qty.into(),
        part.weight.into(),
        weight::cell(part, picked.pull.qty),
        notes.join("; ").into(),
    ];
    (look, values)
}
