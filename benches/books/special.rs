//! What only the full book has in its bills: phantoms, by-products, engineering changes.

use crate::bills::Bills;
use crate::model::{Floorplan, Line, Part, Source};
use crate::names::STATIONS;
use crate::parts::blank;
use crate::when::When;

/// Engineering changes, a quarter of them by date, the others by unit.
pub const CHANGES: usize = 24;
/// Phantoms on a floorplan, and their lines.
const PHANTOMS: usize = 6;
const IN_PHANTOM: usize = 25;
/// Stations where a by-product comes off and where it is used.
const COMES_OFF: usize = 5;
const USED: usize = 23;

/// Adds them to parts and floorplans.
pub fn add(bills: &mut Bills<'_>, parts: &mut Vec<Part>, floorplans: &mut [Floorplan]) {
    for (f, floorplan) in floorplans.iter_mut().enumerate() {
        phantoms(bills, parts, f, floorplan);
        by_products(bills, parts, f, floorplan);
        changes(bills, parts, floorplan);
    }
}

fn line(part: usize, qty: f64, station: Option<usize>, when: When) -> Line {
    Line { part, qty, uom: "ea", station, when, scrap: 0.0, from: None, until: None }
}

/// Phantoms, every other with a phantom below it.
fn phantoms(bills: &mut Bills<'_>, parts: &mut Vec<Part>, f: usize, floorplan: &mut Floorplan) {
    let mut last = None;
    for n in 0..PHANTOMS {
        let place = 3 + n * 4;
        let mut phantom = blank(format!("SET-{f:02}-{n}"), Source::Phantom);
        for _ in 0..IN_PHANTOM {
            let component = bills.common(place);
            phantom.bill.push(bills.bought(parts, component, None));
        }
        phantom.bill.extend(last.take().map(|inner| line(inner, 2.0, None, When::Always)));
        parts.push(phantom);
        if n % 2 == 0 {
            last = Some(parts.len() - 1);
        } else {
            let station = floorplan.line * STATIONS.len() + place;
            floorplan.bill.push(line(parts.len() - 1, 1.0, Some(station), When::Always));
        }
    }
}

/// What is cut out of a wall goes into the slide box; boards come off at one station and are used at another.
fn by_products(bills: &Bills<'_>, parts: &mut Vec<Part>, f: usize, floorplan: &mut Floorplan) {
    let (cutout, board) = (parts.len(), parts.len() + 1);
    parts.push(blank(format!("CUT-{f:02}"), Source::ByProduct));
    parts.push(blank(format!("OFF-{f:02}"), Source::ByProduct));
    let wall = bills.ranges.own.start + f * bills.ranges.own_each;
    let slide = When::Is(bills.catalogue.number("SLIDE"));
    parts[wall].bill.push(line(cutout, -1.0, None, slide));
    parts[wall + 1].bill.push(line(cutout, 1.0, None, When::Always));
    for top in floorplan.bill.iter_mut().filter(|line| line.part == wall || line.part == wall + 1) {
        top.when = if top.part == wall { When::Always } else { slide };
    }
    let offset = floorplan.line * STATIONS.len();
    floorplan.bill.push(line(board, -2.0, Some(offset + COMES_OFF), When::Always));
    floorplan.bill.push(line(board, 1.0, Some(offset + USED), When::Always));
}

/// One line in a hundred is used until a change, and another part's from it on.
fn changes(bills: &mut Bills<'_>, parts: &[Part], floorplan: &mut Floorplan) {
    let mut new = Vec::new();
    for line in floorplan.bill.iter_mut().filter(|line| bills.ranges.common.contains(&line.part)) {
        if bills.rng.u32(..100) == 0 {
            let change = bills.rng.usize(..CHANGES);
            let place = line.station.unwrap_or(0) % STATIONS.len();
            line.until = Some(change);
            let part = bills.ranges.common.start + place * crate::parts::COMMON;
            new.push(Line {
                part,
                from: Some(change),
                until: None,
                uom: parts[part].uom,
                qty: 1.0,
                scrap: 0.0,
                ..line.clone()
            });
        }
    }
    floorplan.bill.extend(new);
}
