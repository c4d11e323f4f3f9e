//! Every way from a floorplan to a part: conditions joined along it, and what one unit takes that way.

use super::facts::{UsePath, UseStep};
use crate::base::{DestId, MustBe, PartId, Quantity, Total};
use crate::book::{Book, Table};
use crate::check::written::{self, Line};
use crate::check::{Plant, Source, follow};
use crate::plan::Plan;
use crate::plan::words::dest_code;
use crate::why;
use std::collections::{BTreeMap, BTreeSet};

/// A path as it is found: its floorplan, its lines, what is left at its end, and where it is for.
struct Found {
    floorplan: usize,
    lines: Vec<usize>,
    qty: Option<Total>,
    to: Option<DestId>,
}

/// Where the way down stands: what is left, for whom, whether below a make part, and how many lines lead there.
#[derive(Clone, Copy)]
struct Here {
    qty: Option<Total>,
    to: Option<DestId>,
    in_shop: bool,
    depth: usize,
}

/// All ways to a part, by floorplan and bill; then the parents of the part that no floorplan leads to.
pub fn all(plan: &Plan<'_>, book: &Book, part: PartId) -> (Vec<UsePath>, Vec<String>) {
    let plant = plan.plant;
    let holding = why::holding(plant, part);
    let found: Vec<Found> =
        (0..plant.floorplans.len()).flat_map(|floorplan| on_floorplan(plant, floorplan, part, &holding)).collect();
    let rows: BTreeSet<u32> = found.iter().flat_map(|path| &path.lines).map(|at| plant.bills[*at].row).collect();
    let written = written::bill_lines(book, &rows);
    let idle = idle(plant, part, &found);
    (found.iter().map(|path| facts(plan, path, &written)).collect(), idle)
}

/// The ways of one floorplan. Below a make part everything is for its shop.
fn on_floorplan(plant: &Plant, floorplan: usize, wanted: PartId, holding: &[bool]) -> Vec<Found> {
    let (mut lines, mut found) = (Vec::new(), Vec::new());
    let top = Here { qty: Some(Quantity::whole(1).into()), to: None, in_shop: false, depth: 0 };
    follow::down(plant, plant.floorplans[floorplan].bill.clone(), top, |at, line, above| {
        if !holding[line.part.at()] {
            return None;
        }
        let qty = above.qty.and_then(|above| above.by(line.factor));
        let to = if above.in_shop { above.to } else { line.station.or(above.to) };
        lines.truncate(above.depth);
        lines.push(at);
        if line.part == wanted {
            found.push(Found { floorplan, lines: lines.clone(), qty, to });
            return None;
        }
        let here = Here { qty, to, in_shop: above.in_shop, depth: lines.len() };
        Some(match plant.part(line.part).source {
            Source::Make(shop) => Here { to: Some(plant.shop(shop).dest), in_shop: true, ..here },
            _ => here,
        })
    });
    found
}

/// Parents of the part below which no path goes.
fn idle(plant: &Plant, part: PartId, found: &[Found]) -> Vec<String> {
    let used: BTreeSet<usize> = found.iter().filter_map(|path| path.lines.last().copied()).collect();
    let names = |known: &crate::check::Part| {
        let mut lines = known.bill.clone();
        lines.any(|at| plant.bills[at].part == part && !used.contains(&at))
    };
    plant.parts.iter().filter(|known| names(known)).map(|known| known.code.clone()).collect()
}

fn facts(plan: &Plan<'_>, path: &Found, written: &BTreeMap<u32, Line>) -> UsePath {
    let plant = plan.plant;
    let floorplan = &plant.floorplans[path.floorplan].code;
    let mut parent = floorplan.clone();
    let mut steps = Vec::new();
    let mut changes = Vec::new();
    for at in &path.lines {
        let line = &plant.bills[*at];
        let part = plant.part(line.part);
        let code = |change: crate::base::ChangeId| plant.changes[change.at()].code.as_str();
        changes.extend(line.from.map(|change| format!("from {}", code(change))));
        changes.extend(line.until.map(|change| format!("until {}", code(change))));
        steps.push(UseStep {
            place: plant.place(Table::Bills, line.row, ""),
            parent: std::mem::replace(&mut parent, part.code.clone()),
            part: part.code.clone(),
            factor: line.factor,
            uom: part.uom.clone(),
            when: written.get(&line.row).must("a bill line of the plan is not in its book").when.clone(),
        });
    }
    UsePath {
        floorplan: floorplan.clone(),
        when: joined(&steps),
        steps,
        qty: path.qty,
        gives: path.lines.last().is_some_and(|at| plant.bills[*at].gives),
        changes,
        to: path.to.map_or_else(String::new, |to| dest_code(plan, to).to_owned()),
    }
}

/// All conditions, each once, joined by `and`; those with `or` in parentheses.
fn joined(steps: &[UseStep]) -> String {
    let mut conditions: Vec<&str> = Vec::new();
    for step in steps.iter().filter(|step| !step.when.is_empty()) {
        if !conditions.contains(&step.when.as_str()) {
            conditions.push(&step.when);
        }
    }
    let alone = conditions.len() == 1;
    let has_or = |text: &str| text.split(|c: char| !c.is_alphanumeric()).any(|word| word.eq_ignore_ascii_case("or"));
    let bracketed = |text: &&str| if has_or(text) && !alone { format!("({text})") } else { (*text).to_owned() };
    conditions.iter().map(bracketed).collect::<Vec<_>>().join(" and ")
}
