//! Sets: all that a shop delivers for one unit to one place, so that it leaves the shop as a whole.

use super::facts::{Facts, ShopFacts};
use super::pages::keep_together;
use crate::base::{DestId, Moment, OwnerId, PartId, Quantity, count};
use crate::check::Source;
use crate::netting::{Cover, Demand, Peg};
use crate::plan::{Late, There};
use crate::report::limits::{ROWS_OF_A_PLAN, first_groups};
use crate::report::listing::{Line, listing, widths};
use crate::report::names::dest_code;
use crate::report::sheet::{Look, Sheet};
use crate::report::table::Value;
use itertools::Itertools;
use std::collections::BTreeMap;

const SCALE: u16 = 74;

/// One line of a set: a piece of a demand and what covers it.
type SetLine<'p> = (&'p Demand, &'p Peg);

pub fn sheet<'p>(facts: &Facts<'p>, shop: &ShopFacts<'p>, name: String, table: String) -> Sheet<'p> {
    let sets = sets(facts, shop);
    let mut sheet = Sheet::new(name, &widths::<Sets>());
    sheet.text(Look::Title, format!("{}: sets by unit and station, for the screen", shop.dest.name));
    sheet.text(Look::Plain, super::foot(facts.plan));
    let told = "In the order in which they are needed. A set is ready when its last piece is there, the way from the shop \
                included and late material waited for; pieces from stock are there already.";
    sheet.text(Look::Plain, format!("{}. {told}", count(sets.len(), "set", "sets")));
    let shown = first_groups(&sets, ROWS_OF_A_PLAN as usize, Vec::len);
    let pieces = |sets: &[Vec<SetLine<'_>>]| sets.iter().map(Vec::len).sum::<usize>() as u32;
    let lines = shown.iter().flat_map(|set| lines(facts, set)).collect();
    sheet.gap();
    sheet.table(Some(table), lines);
    sheet.not_made = pieces(&sets[shown.len()..]);
    let mut row = sheet.next_row() - pieces(shown);
    let mut starts = Vec::new();
    for set in shown {
        starts.push(row);
        repeat_faintly(&mut sheet, row, set.len());
        row += set.len() as u32;
    }
    keep_together(&mut sheet, SCALE, &starts, &[]);
    sheet
}

/// The pegs of all that the shop makes, by place and unit; the sets by need, then rank, then place.
fn sets<'p>(facts: &Facts<'p>, shop: &ShopFacts<'p>) -> Vec<Vec<SetLine<'p>>> {
    let plan = facts.plan;
    let parts = (0..plan.plant.parts.len()).map(PartId::of);
    let made = parts.filter(|part| plan.plant.part(*part).source == Source::Make(shop.id));
    let mut sets: BTreeMap<(OwnerId, DestId), Vec<SetLine<'p>>> = BTreeMap::new();
    for supply in made.map(|part| plan.made(part)) {
        for (demand, peg) in supply.pegged().pieces() {
            sets.entry((demand.owner, demand.to)).or_default().push((demand, peg));
        }
    }
    let need = |set: &Vec<SetLine<'_>>| set.iter().map(|piece| piece.0.need).min();
    sets.into_iter().sorted_by_key(|(key, set)| (need(set), *key)).map(|(_, set)| set).collect()
}

/// What the lines of a set have in common.
struct Set {
    pieces: Quantity,
    ready: Option<Moment>,
    state: String,
    total: usize,
}

fn lines<'p>(facts: &Facts<'p>, set: &[SetLine<'p>]) -> Vec<Line<'p, Sets>> {
    let whole = Set {
        pieces: set.iter().map(|piece| piece.1.qty).sum(),
        ready: set.iter().filter_map(|piece| there(facts, piece)).max().and_then(There::moment),
        state: state(facts, set),
        total: set.len(),
    };
    set.iter().zip(1..).map(|(piece, number)| line(facts, &whole, number, piece)).collect()
}

/// When a piece is there, late material waited for.
fn there(facts: &Facts<'_>, (demand, peg): &SetLine<'_>) -> Option<There> {
    facts.plan.piece_there(demand, peg.cover, peg.available)
}

listing! {
    /// A piece of a set.
    Sets: fn line<'p>(facts: &Facts<'p>, set: &Set, number: usize, piece: &SetLine<'p>) {
        let (demand, peg) = *piece;
        let part = facts.plan.plant.part(demand.part);
        let (state, total) = (&set.state, set.total);
    }
    look: if state == "in time" || state == "there" { Look::Plain } else { Look::Wrong };
    "to", 11, Text => dest_code(facts.plan, demand.to);
    "unit", 10, Text => facts.owner(demand.owner);
    "floorplan", 12, Text => facts.floorplan(demand.owner);
    "pieces", 7, Quantity => set.pieces;
    "set ready", 16, Moment => set.ready;
    "needed", 16, Moment => demand.need;
    "how it stands", 16, Wrapped => state.clone();
    "piece", 6, Text => format!("{number} of {total}");
    "part", 14, Text => part.code.as_str();
    "description", 28, Wrapped => part.description.as_str();
    "qty", 5, Quantity => peg.qty;
    "from", 15, Text => from(facts, peg);
    "there at", 16, Moment => there(facts, piece).and_then(There::moment);
    "loaded", 7, Box => Value::Blank;
}

/// How the set as a whole stands, late material of its jobs waited for.
fn state(facts: &Facts<'_>, set: &[SetLine<'_>]) -> String {
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
