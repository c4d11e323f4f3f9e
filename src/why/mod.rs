//! Why a unit needs a part, or does not: every path, what covers it, and what would have to be otherwise.

mod asked;
mod changes;
mod cover;
mod effect;
pub mod facts;
mod jobs;
mod names;
mod paths;
mod unit;
mod verdict;
mod walk;
mod way;
mod wish;

pub use asked::{holding, source_word, supply};
pub use cover::stock;
pub use unit::unit;

use asked::Asked;

use crate::base::{PartId, UnitId};
use crate::book::{Book, Table};
use crate::check::{Floorplan, Plant};
use crate::plan::words::{dest_code, issue_word, unit_status};
use crate::plan::{Plan, UnitState};
use facts::{DemandFacts, PartFacts, UnitFacts, Why};

/// Why a unit needs a part.
pub fn why(plan: &Plan<'_>, book: &Book, unit: UnitId, part: PartId) -> Why {
    let asked = Asked::new(plan, book, unit);
    let plant = plan.plant;
    let holding = asked::holding(plant, part);
    let paths = walk::paths(&asked, part, &holding);
    let demands: Vec<DemandFacts> =
        parts(plant, part, &holding).flat_map(|part| cover::demands(&asked, part)).collect();
    let paths = paths::facts(&asked, &paths, &demands);
    Why {
        book: book.name.to_string(),
        as_of: plant.as_of,
        unit: unit_facts(&asked),
        part: part_facts(plant, part),
        needed: demands.iter().filter(|demand| demand.part == plant.part(part).code).map(|demand| demand.qty).sum(),
        verdict: verdict::of(&asked, part, &paths, &demands),
        paths,
        demands,
        effects: effect::effects(&asked, part),
        jobs: asked
            .jobs()
            .filter(|(_, job)| holding[job.part.at()])
            .map(|(i, job)| jobs::facts(&asked, i, job))
            .collect(),
        used_on: used_on(plant, &holding),
        on_hold: cover::stock(plan, part).into_iter().filter(|row| row.hold.is_some()).collect(),
    }
}

/// The floorplans whose bills lead to a part.
fn used_on(plant: &Plant, holding: &[bool]) -> Vec<String> {
    let uses = |floorplan: &&Floorplan| plant.bills[floorplan.bill.clone()].iter().any(|line| holding[line.part.at()]);
    plant.floorplans.iter().filter(uses).map(|floorplan| floorplan.code.clone()).collect()
}

/// The part asked about, then the parts it is built into.
fn parts<'a>(plant: &Plant, part: PartId, holding: &'a [bool]) -> impl Iterator<Item = PartId> + use<'a> {
    let above = (0..plant.parts.len()).map(PartId::of).filter(move |other| *other != part && holding[other.at()]);
    std::iter::once(part).chain(above)
}

/// A unit of the sequence.
pub fn unit_facts(asked: &Asked<'_>) -> UnitFacts {
    let (plan, plant) = (asked.plan, asked.plant);
    let row = &plant.units[asked.unit.at()];
    let planned = plan.units.iter().find(|unit| unit.unit == asked.unit);
    let times = planned.and_then(|unit| unit.times);
    let aside = planned.is_some_and(|unit| unit.state == UnitState::SetAside);
    let wrong = plan.set_aside.iter().filter(|finding| aside && finding.unit.as_deref() == Some(&row.code));
    let line = &plant.lines[row.line.at()];
    UnitFacts {
        unit: row.code.clone(),
        line: line.code.clone(),
        seq: row.seq,
        floorplan: asked.floorplan().to_owned(),
        status: planned.map_or("done", |unit| unit_status(unit.state)).to_owned(),
        why: row.hold.iter().cloned().chain(wrong.map(|finding| finding.message.clone())).collect(),
        enters: times.map(|times| times.0),
        leaves: times.map(|times| times.1),
        at: row.at.and_then(|at| station_at(plan, row.line, at)),
        place: asked.row(Table::Sequence, row.row),
    }
}

/// The first station at a position of a line.
fn station_at(plan: &Plan<'_>, line: crate::base::LineId, at: u32) -> Option<String> {
    let is = |what| matches!(what, crate::check::DestKind::Station { line: of, position, .. } if of == line && position == at);
    let found = plan.plant.dests.iter().position(|dest| is(dest.what));
    found.map(|i| dest_code(plan, crate::base::DestId::of(i)).to_owned())
}

/// A part of the book.
pub fn part_facts(plant: &Plant, id: PartId) -> PartFacts {
    let part = plant.part(id);
    PartFacts {
        part: part.code.clone(),
        description: part.description.clone(),
        uom: part.uom.clone(),
        source: asked::source_word(part.source),
        shop: match part.source {
            crate::check::Source::Make(shop) => Some(plant.shop_dest(shop).code.clone()),
            _ => None,
        },
        issue: issue_word(part.issue),
        location: part.location.clone(),
        place: plant.place(Table::Parts, part.row, ""),
    }
}
