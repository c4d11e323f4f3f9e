//! Paths as facts: each bill line with its cells, its arithmetic, its condition and its changes.

use super::asked::{Asked, source_word};
use super::changes::changes;
use super::facts::{Conversion, DemandFacts, From, OrderChange, Outcome, PathFacts, StepFacts};
use super::names;
use super::way::{Begin, End, Link, Path};
use super::wish;
use crate::base::{PartId, Ratio};
use crate::book::Table;
use crate::check::written::{self, Line};
use crate::plan::words::{dest_code, job_name};
use std::collections::{BTreeMap, BTreeSet, HashMap};

/// Paths as facts; `demands` are those that the facts list, by part, place and need.
pub fn facts(asked: &Asked<'_>, paths: &[Path], demands: &[DemandFacts]) -> Vec<PathFacts> {
    let rows = paths.iter().flat_map(|path| &path.links).map(|link| asked.plant.bills[link.line].row);
    let mut told = Told {
        asked,
        paths,
        demands,
        lines: asked.written(rows),
        wishes: BTreeMap::new(),
        orders_left: wish::ORDERS,
        by_uom: HashMap::new(),
    };
    paths.iter().map(|path| told.path(path)).collect()
}

/// What is worked out once for several paths.
struct Told<'a, 'p> {
    asked: &'a Asked<'p>,
    paths: &'a [Path],
    demands: &'a [DemandFacts],
    lines: BTreeMap<u32, Line>,
    wishes: BTreeMap<BTreeSet<u32>, OrderChange>,
    orders_left: usize,
    by_uom: HashMap<(PartId, String), Option<u32>>,
}

impl Told<'_, '_> {
    fn path(&mut self, path: &Path) -> PathFacts {
        let (asked, part) = (self.asked, self.asked.plant.part(path.part));
        PathFacts {
            from: self.from(path.begin),
            start: path.start,
            steps: path.links.iter().map(|link| self.step(link)).collect(),
            part: part.code.clone(),
            qty: path.qty,
            uom: part.uom.clone(),
            to: path.to.map(|to| dest_code(asked.plan, to).to_owned()),
            need: path.need,
            outcome: self.outcome(path),
            change: self.wish(path),
        }
    }

    fn from(&self, begin: Begin) -> From {
        let (plan, plant) = (self.asked.plan, self.asked.plant);
        match begin {
            Begin::Floorplan => From::Floorplan { floorplan: self.asked.floorplan().to_owned() },
            Begin::Job(job) => From::Job { job: job_name(plan, &plan.jobs[job as usize]) },
            Begin::Stock(part, to) => {
                From::Stock { part: plant.part(part).code.clone(), to: dest_code(plan, to).to_owned() }
            }
            Begin::Extra(i) => {
                let extra = &plant.extras[i];
                From::Extra { reason: extra.reason.clone(), place: self.asked.row(Table::Extras, extra.row) }
            }
        }
    }

    fn outcome(&self, path: &Path) -> Outcome {
        let plan = self.asked.plan;
        let job = |job: u32| job_name(plan, &plan.jobs[job as usize]);
        match path.end {
            End::Needed => self.demand(path).map_or(Outcome::NotSupplied, |demand| Outcome::Needed { demand }),
            End::Delivered(run) => Outcome::Delivered { run },
            End::Issued(station) => Outcome::Issued { station: dest_code(plan, station).to_owned() },
            End::Begun(i) => Outcome::Begun { job: job(i) },
            End::Covered(part) => Outcome::Covered { part: self.asked.plant.part(part).code.clone() },
            End::Inside(i) => Outcome::Inside { job: job(i) },
            End::Phantom => Outcome::Phantom,
            End::Free(at) => Outcome::Free { at },
            End::NotActive(step) => Outcome::NotActive { step },
            End::Nothing(step) => Outcome::Nothing { step },
            End::NotSupplied => Outcome::NotSupplied,
        }
    }

    fn demand(&self, path: &Path) -> Option<usize> {
        let (part, to) = (&self.asked.plant.part(path.part).code, dest_code(self.asked.plan, path.to?));
        self.demands.iter().position(|demand| demand.part == *part && demand.to == to && Some(demand.need) == path.need)
    }

    fn step(&mut self, link: &Link) -> StepFacts {
        let plant = self.asked.plant;
        let line = &plant.bills[link.line];
        let part = plant.part(line.part);
        let written = self.lines.get(&line.row).cloned();
        let (qty, uom, scrap, when, note) = written.map_or_else(
            || (line.factor, String::new(), Ratio::ZERO, String::new(), String::new()),
            |line| (line.qty, line.uom, line.scrap, line.when, line.note),
        );
        let left_out = part.counted() && !scrap.is_zero();
        let scrap = if left_out { Ratio::ZERO } else { scrap };
        StepFacts {
            place: self.asked.row(Table::Bills, line.row),
            parent: link.parent.map_or(self.asked.floorplan(), |parent| &plant.part(parent).code).to_owned(),
            part: part.code.clone(),
            description: part.description.clone(),
            source: source_word(part.source),
            before: link.before,
            conversion: self.conversion(line.part, &uom, conversion(line.factor, qty, scrap, line.gives)),
            uom: if uom.is_empty() { part.uom.clone() } else { uom },
            qty,
            scrap,
            scrap_left_out: left_out,
            factor: line.factor,
            after: link.after,
            cut: was_cut(link, line.factor),
            part_uom: part.uom.clone(),
            gives: line.gives,
            station: line.station.map(|station| dest_code(self.asked.plan, station).to_owned()),
            when: names::when(self.asked, line.when, &when),
            changes: changes(self.asked, link),
            active: link.active,
            note,
        }
    }

    fn conversion(&mut self, part: PartId, uom: &str, factor: Option<Ratio>) -> Option<Conversion> {
        let factor = factor.filter(|factor| *factor != Ratio::ONE)?;
        let own = self.asked.plant.part(part);
        let book = self.asked.book;
        let row = self.by_uom.entry((part, uom.to_owned()));
        let row = *row.or_insert_with(|| written::conversion_row(book, &own.code, uom, &own.uom));
        Some(Conversion { factor, place: row.map(|row| self.asked.row(Table::Conversions, row)) })
    }

    /// Where a condition fails: the smallest change of the order that makes the path's conditions hold, and those above it.
    fn wish(&mut self, path: &Path) -> Option<OrderChange> {
        let End::NotActive(_) = path.end else { return None };
        let bills = &self.asked.plant.bills;
        let fails = |link: &Link| !self.asked.holds(bills[link.line].when);
        if !path.links.iter().any(fails) {
            return None;
        }
        let mut conditions = BTreeSet::new();
        self.conditions(path, &mut conditions);
        let (asked, left) = (self.asked, &mut self.orders_left);
        let wish = self.wishes.entry(conditions);
        Some(wish.or_insert_with_key(|key| wish::smallest(asked, key, left)).clone())
    }

    /// The conditions of a path, and of one that leads to the job it begins at.
    fn conditions(&self, path: &Path, into: &mut BTreeSet<u32>) {
        let bills = &self.asked.plant.bills;
        into.extend(path.links.iter().map(|link| bills[link.line].when).filter(|when| *when != 0));
        let above = match path.begin {
            Begin::Floorplan | Begin::Extra(_) => return,
            Begin::Stock(part, to) => (part, to),
            Begin::Job(job) => {
                let job = &self.asked.plan.jobs[job as usize];
                (job.part, job.to)
            }
        };
        let leads =
            |path: &&Path| path.end == End::Needed && Some((path.part, path.to)) == Some((above.0, Some(above.1)));
        if let Some(above) = self.paths.iter().find(leads) {
            self.conditions(above, into);
        }
    }
}

/// How many of the part's own unit one of the line's is, from the factor that the plan takes: `factor = qty × conversion ÷
/// (1 − scrap)`, for what comes off `qty × conversion × (1 − scrap)`.
fn conversion(factor: Ratio, qty: Ratio, scrap: Ratio, gives: bool) -> Option<Ratio> {
    let good = Ratio::ONE.minus(scrap)?;
    let one = factor.over(qty.abs())?;
    if gives { one.over(good) } else { one.times(good) }
}

/// Whether the quantity after a line was cut at the sixth place.
fn was_cut(link: &Link, factor: Ratio) -> bool {
    let exact = link.before.and_then(|before| before.millionths().checked_mul(factor.numerator()));
    exact.is_some_and(|exact| exact % factor.denominator() != 0)
}
