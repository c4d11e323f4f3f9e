//! What bills must be as a whole: without cycles, with a station for everything, and which parts are configured.

use super::Draft;
use super::follow::{from_below, once};
use super::kinds::{BILL_CYCLE, MADE_WITHOUT_BILL, NO_STATION, TOO_DEEP, TOO_MANY_PATHS};
use super::limits::{MOST_PATHS, MOST_PATHS_IN_ALL};
use super::plant::{BillLine, Plant, Source};
use crate::base::{Finding, Findings, MustBe, PartId};
use crate::book::Table;
use std::cmp::Reverse;
use std::collections::BTreeSet;

/// How deep bills may nest.
const DEPTH: usize = 100;

impl Draft {
    pub(super) fn check_structure(&mut self, findings: &mut Findings) {
        let plant = &self.plant;
        let mut walk = BillSearch {
            plant,
            state: vec![State::New; plant.parts.len()],
            path: Vec::new(),
            order: Vec::new(),
            findings,
        };
        (0..plant.parts.len()).for_each(|part| walk.visit(PartId::of(part)));
        let order = walk.order;
        if findings.any_of(&BILL_CYCLE) || findings.any_of(&TOO_DEEP) {
            return;
        }
        let plant = &mut self.plant;
        plant.from_below = order;
        report_too_many_paths(plant, findings);
        mark_configured(plant);
        report_missing_stations(plant, findings);
        for part in plant.parts.iter().filter(|p| matches!(p.source, Source::Make(_)) && p.bill.is_empty()) {
            let place = plant.place(Table::Parts, part.row, "part");
            findings.add(Finding::new(&MADE_WITHOUT_BILL, place, &part.code, "is made, but has no bill"));
        }
        self.order_shops(findings);
        self.check_own_by_products(findings);
    }
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum State {
    New,
    Open,
    Done,
}

struct BillSearch<'a> {
    plant: &'a Plant,
    state: Vec<State>,
    /// The parts from the first down to here, and the lines that lead down from each.
    path: Vec<(PartId, std::slice::Iter<'a, BillLine>)>,
    /// Components before parents.
    order: Vec<PartId>,
    findings: &'a mut Findings,
}

impl BillSearch<'_> {
    /// Depth first, with the stack in the heap: bills may be deeper than the machine's own stack.
    fn visit(&mut self, part: PartId) {
        self.enter(part);
        while let Some((parent, lines)) = self.path.last_mut() {
            let parent = *parent;
            let Some(line) = lines.next() else {
                self.state[parent.at()] = State::Done;
                self.order.push(parent);
                self.path.pop();
                continue;
            };
            match self.state[line.part.at()] {
                State::New => self.enter(line.part),
                State::Open => self.report_cycle(line),
                State::Done => {}
            }
            if self.path.len() == DEPTH + 1 {
                let place = self.plant.place(Table::Bills, line.row, "part");
                let message = format!("bills nest more than {DEPTH} levels deep here");
                self.findings.add(Finding::new(&TOO_DEEP, place, &self.plant.part(line.part).code, message));
            }
        }
    }

    fn enter(&mut self, part: PartId) {
        if self.state[part.at()] == State::New {
            self.state[part.at()] = State::Open;
            self.path.push((part, self.plant.bill(part).iter()));
        }
    }

    fn report_cycle(&mut self, line: &BillLine) {
        let from = self.path.iter().position(|(part, _)| *part == line.part);
        let from = from.must("a bill cycle does not lead back into its path");
        let around = self.path[from..].iter().map(|(part, _)| *part).chain([line.part]);
        let path: Vec<&str> = around.map(|part| self.plant.part(part).code.as_str()).collect();
        let place = self.plant.place(Table::Bills, line.row, "part");
        let message = format!("a part can't be a component of itself: {}", path.join(" > "));
        self.findings.add(Finding::new(&BILL_CYCLE, place, &self.plant.part(line.part).code, message));
    }
}

/// Bills that lead to the same parts again and again multiply at each level.
fn report_too_many_paths(plant: &Plant, findings: &mut Findings) {
    let paths = |lines: &[BillLine], below: &[u64]| {
        lines.iter().fold(0_u64, |sum, line| sum.saturating_add(1).saturating_add(below[line.part.at()]))
    };
    let below = from_below(plant, |_, bill, below| paths(bill, below));
    let parts = plant.from_below.iter().map(|id| plant.part(*id).bill.clone());
    let bills = parts.chain(plant.floorplans.iter().map(|floorplan| floorplan.bill.clone()));
    for lines in bills.map(|bill| &plant.bills[bill]).filter(|lines| paths(lines, &below) > MOST_PATHS) {
        // Only where it begins: what is above has them too.
        let Some(line) = lines.iter().find(|line| below[line.part.at()] > 0) else { continue };
        if lines.iter().all(|line| below[line.part.at()] <= MOST_PATHS) {
            let place = plant.place(Table::Bills, line.row, "part");
            let message = format!(
                "from here on down, the bills have more than {MOST_PATHS} lines, each counted wherever it is used"
            );
            findings.add(Finding::new(&TOO_MANY_PATHS, place, &plant.part(line.part).code, message));
        }
    }
    let of_floorplans = plant.floorplans.iter().map(|floorplan| &plant.bills[floorplan.bill.clone()]);
    report_too_many_in_all(plant, of_floorplans.map(|lines| paths(lines, &below)).collect(), findings);
}

/// No single floorplan has too many, but all together.
fn report_too_many_in_all(plant: &Plant, of_floorplans: Vec<u64>, findings: &mut Findings) {
    let all = of_floorplans.iter().fold(0_u64, |all, one| all.saturating_add(*one));
    let most = of_floorplans.into_iter().zip(&plant.floorplans).min_by_key(|(paths, _)| Reverse(*paths));
    let Some((paths, floorplan)) = most.filter(|_| all > MOST_PATHS_IN_ALL && !findings.any_of(&TOO_MANY_PATHS)) else {
        return;
    };
    let row = plant.bills[floorplan.bill.clone()].first().map_or(0, |line| line.row);
    let count = plant.floorplans.len();
    let message = format!(
        "the bills of all {count} floorplans together have {all} lines, each counted wherever it is used, more than \
         {MOST_PATHS_IN_ALL}; {} has the most, {paths}, from here on down",
        floorplan.code
    );
    findings.add(Finding::new(&TOO_MANY_PATHS, plant.place(Table::Bills, row, "parent"), &floorplan.code, message));
}

/// A make part (or phantom) is configured when any line below it, followed down, has a condition or a change.
fn mark_configured(plant: &mut Plant) {
    let depends = |line: &BillLine, known: &[bool]| !line.always() || known[line.part.at()];
    let configured = from_below(plant, |_, bill, known| bill.iter().any(|line| depends(line, known)));
    plant.parts.iter_mut().zip(configured).for_each(|(part, configured)| part.configured = configured);
}

/// Every line of a floorplan stands at a station: its own, or that of a phantom above it.
fn report_missing_stations(plant: &Plant, findings: &mut Findings) {
    let bare = |line: &BillLine| line.station.is_none() && !line.factor.is_zero();
    let phantom = |line: &BillLine| plant.part(line.part).source == Source::Phantom;
    let bills = plant.floorplans.iter().map(|floorplan| floorplan.bill.clone());
    let lines = once(plant, bills, |line| bare(line) && phantom(line)).into_iter().map(|(_, line)| line);
    let rows: BTreeSet<u32> = lines.filter(|line| bare(line) && !phantom(line)).map(|line| line.row).collect();
    for row in rows {
        let place = plant.place(Table::Bills, row, "station");
        findings.add(Finding::new(
            &NO_STATION,
            place,
            "",
            "this line needs a station: it has none, nor a phantom above it",
        ));
    }
}
