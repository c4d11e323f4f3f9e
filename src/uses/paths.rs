//! Every way from a floorplan to a part: conditions joined along it, and what one unit takes that way.

use super::facts::{UsePath, UseStep};
use crate::base::{DestId, MustBe, PartId, Quantity, Total};
use crate::book::{Book, Table};
use crate::check::written::{self, Line};
use crate::check::{Plant, Source};
use crate::plan::Plan;
use crate::plan::words::dest_code;
use crate::why;
use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

/// A path as it is found: its floorplan, its lines, what is left at its end, and where it is for.
struct Found {
    floorplan: usize,
    lines: Vec<usize>,
    qty: Option<Total>,
    to: Option<DestId>,
}

struct Walk<'p> {
    plant: &'p Plant,
    part: PartId,
    holding: Vec<bool>,
    floorplan: usize,
    lines: Vec<usize>,
    found: Vec<Found>,
}

/// All ways to a part, by floorplan and bill; then the parents of the part that no floorplan leads to.
pub fn all(plan: &Plan<'_>, book: &Book, part: PartId) -> (Vec<UsePath>, Vec<String>) {
    let plant = plan.plant;
    let holding = why::holding(plant, part);
    let mut walk = Walk { plant, part, holding, floorplan: 0, lines: Vec::new(), found: Vec::new() };
    for (i, floorplan) in plant.floorplans.iter().enumerate() {
        walk.floorplan = i;
        walk.descend(floorplan.bill.clone(), Some(Quantity::whole(1).into()), None, false);
    }
    let rows: BTreeSet<u32> = walk.found.iter().flat_map(|path| &path.lines).map(|at| plant.bills[*at].row).collect();
    let written = written::bill_lines(book, &rows);
    let idle = idle(plant, part, &walk.found);
    (walk.found.iter().map(|path| facts(plan, path, &written)).collect(), idle)
}

impl Walk<'_> {
    /// Below a make part everything is for its shop.
    fn descend(&mut self, lines: Range<usize>, above: Option<Total>, to: Option<DestId>, in_shop: bool) {
        for at in lines {
            let line = &self.plant.bills[at];
            if !self.holding[line.part.at()] {
                continue;
            }
            let qty = above.and_then(|above| above.by(line.factor));
            let to = if in_shop { to } else { line.station.or(to) };
            self.lines.push(at);
            let part = self.plant.part(line.part);
            if line.part == self.part {
                self.found.push(Found { floorplan: self.floorplan, lines: self.lines.clone(), qty, to });
            } else if let Source::Make(shop) = part.source {
                self.descend(part.bill.clone(), qty, Some(self.plant.shop(shop).dest), true);
            } else {
                self.descend(part.bill.clone(), qty, to, in_shop);
            }
            self.lines.pop();
        }
    }
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
