//! Sets: all that a shop delivers for one unit to one place, so that it leaves the shop as a whole.

use super::facts::{Facts, ShopFacts, count};
use super::pages::keep_together;
use crate::base::{DestId, OwnerId, PartId};
use crate::check::Source;
use crate::netting::{Cover, Demand, Peg};
use crate::plan::{Late, There};
use crate::report::names::dest_code;
use crate::report::sheet::{Column, Line, Look, Sheet, Show};
use crate::report::table::Value;
use itertools::Itertools;
use std::collections::BTreeMap;

const SCALE: u16 = 74;
const WIDTHS: [u16; 14] = [11, 10, 12, 7, 16, 16, 16, 6, 14, 28, 5, 15, 16, 7];
const COLUMNS: [Column; 14] = [
    Column { heading: "to", show: Show::Text },
    Column { heading: "unit", show: Show::Text },
    Column { heading: "floorplan", show: Show::Text },
    Column { heading: "pieces", show: Show::Quantity },
    Column { heading: "set ready", show: Show::Moment },
    Column { heading: "needed", show: Show::Moment },
    Column { heading: "how it stands", show: Show::Wrapped },
    Column { heading: "piece", show: Show::Text },
    Column { heading: "part", show: Show::Text },
    Column { heading: "description", show: Show::Wrapped },
    Column { heading: "qty", show: Show::Quantity },
    Column { heading: "from", show: Show::Text },
    Column { heading: "there at", show: Show::Moment },
    Column { heading: "loaded", show: Show::Box },
];

/// One line of a set: a piece of a demand and what covers it.
type Piece<'p> = (&'p Demand, &'p Peg);

/// The sheet.
pub fn sheet<'p>(facts: &Facts<'p>, shop: &ShopFacts<'p>, name: String, table: String) -> Sheet<'p> {
    let sets = sets(facts, shop);
    let mut sheet = Sheet::new(name, &WIDTHS);
    sheet.text(Look::Title, format!("{}: sets by unit and station", shop.dest.name));
    sheet.text(Look::Plain, super::foot(facts.plan));
    let told = "In the order in which they are needed. A set is ready when its last piece is there, the way from the shop \
                included and late material waited for; pieces from stock are there already.";
    sheet.text(Look::Plain, format!("{}. {told}", count(sets.len(), "set")));
    let lines = sets.iter().flat_map(|set| lines(facts, set)).collect();
    sheet.gap();
    sheet.table(Some(table), &COLUMNS, lines);
    let pieces: usize = sets.iter().map(Vec::len).sum();
    let mut row = sheet.next_row() - pieces as u32;
    let mut starts = Vec::new();
    for set in &sets {
        starts.push(row);
        repeat_faintly(&mut sheet, row, set.len());
        row += set.len() as u32;
    }
    keep_together(&mut sheet, SCALE, &starts, &[]);
    sheet
}

/// The pegs of all that the shop makes, by place and unit; the sets by need, then rank, then place.
fn sets<'p>(facts: &Facts<'p>, shop: &ShopFacts<'p>) -> Vec<Vec<Piece<'p>>> {
    let plan = facts.plan;
    let parts = (0..plan.plant.parts.len()).map(PartId::of);
    let made = parts.filter(|part| plan.plant.part(*part).source == Source::Make(shop.id));
    let mut sets: BTreeMap<(OwnerId, DestId), Vec<Piece<'p>>> = BTreeMap::new();
    for supply in made.map(|part| plan.made(part)) {
        for (demand, peg) in supply.pegged().pieces() {
            sets.entry((demand.owner, demand.to)).or_default().push((demand, peg));
        }
    }
    let need = |set: &Vec<Piece<'_>>| set.iter().map(|piece| piece.0.need).min();
    sets.into_iter().sorted_by_key(|(key, set)| (need(set), *key)).map(|(_, set)| set).collect()
}

fn lines<'p>(facts: &Facts<'p>, set: &[Piece<'p>]) -> Vec<Line<'p>> {
    let pieces = set.iter().map(|piece| piece.1.qty).sum::<crate::base::Quantity>();
    let there = |(demand, peg): &Piece<'_>| facts.plan.piece_there(demand, peg.cover, peg.available);
    let ready = set.iter().filter_map(there).max().and_then(There::moment);
    let state = state(facts, set);
    let total = set.len();
    let line = |(i, (demand, peg)): (usize, &Piece<'p>)| {
        let part = facts.plan.plant.part(demand.part);
        let values: Vec<Value<'p>> = vec![
            dest_code(facts.plan, demand.to).into(),
            facts.owner(demand.owner).into(),
            facts.floorplan(demand.owner).into(),
            pieces.into(),
            ready.into(),
            demand.need.into(),
            state.clone().into(),
            format!("{} of {total}", i + 1).into(),
            part.code.as_str().into(),
            part.description.as_str().into(),
            peg.qty.into(),
            from(facts, peg).into(),
            there(&(demand, peg)).and_then(There::moment).into(),
            Value::Blank,
        ];
        (if state == "in time" || state == "there" { Look::Plain } else { Look::Wrong }, values)
    };
    set.iter().enumerate().map(line).collect()
}

/// How the set as a whole stands, late material of its jobs waited for.
fn state(facts: &Facts<'_>, set: &[Piece<'_>]) -> String {
    let late = set.iter().map(|(demand, peg)| facts.plan.piece_late(demand, peg)).max().unwrap_or(Late::InTime);
    let built = set.iter().any(|(_, peg)| matches!(peg.cover, Cover::Job(_)));
    match (late, built) {
        (Late::InTime, true) => "in time".to_owned(),
        (Late::InTime, false) => "there".to_owned(),
        (late, _) => late.words(),
    }
}

fn from<'p>(facts: &Facts<'p>, peg: &Peg) -> String {
    match peg.cover {
        Cover::Job(job) => format!("crew {}", facts.job(job as usize).slot.crew + 1),
        Cover::Reserved => "stock, reserved".to_owned(),
        Cover::Lineside => "lineside stock".to_owned(),
        _ => "stock".to_owned(),
    }
}

/// What the whole set shares stands large in its first row and faintly in the others.
fn repeat_faintly(sheet: &mut Sheet<'_>, first: u32, rows: usize) {
    for (i, row) in sheet.rows[first as usize..first as usize + rows].iter_mut().enumerate() {
        for cell in row.cells.iter_mut().filter(|cell| cell.column < 7) {
            cell.look = match (i, cell.look) {
                (0, Look::Wrong) => Look::Wrong,
                (0, _) => Look::Strong,
                _ => Look::Faint,
            };
        }
    }
}
