//! The whole path as one function: a checked plant becomes a plan. No clock, no file, no environment.

use crate::base::{
    Date, DestId, Finding, Findings, Moment, NameId, OwnerId, PartId, Quantity, StorageKey, UnitId, fold,
};
use crate::book::Table;
use crate::check::{DestKind, Plant, Source, kinds};
use crate::configure::{self, Configured};
use crate::explode::{self, Explosions, TooLarge};
use crate::line::{self, Pace};
use crate::netting::{Demand, Lot, Lots, Stocks};
use crate::pulls::{self, Pull};
use crate::shops::{self, Asked, Job, Run, give};
use crate::supply::{self, Covered, Supply};
use crate::waves::{self, Runs};
use itertools::{Itertools, MinMaxResult};
use rayon::prelude::*;
use std::collections::HashMap;

/// How a unit stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum UnitState {
    /// Everything is in time.
    Clear,
    /// Something is late: the part that is first, and when the last is there.
    Late(PartId, Moment),
    /// Something is short: the part that is first.
    Short(PartId),
    /// Held back.
    Hold,
    /// On the line, but not supplied, because its order is wrong.
    SetAside,
}

/// A unit on the plan.
#[derive(Clone, Debug)]
pub struct UnitPlan {
    /// The row of the sequence.
    pub unit: UnitId,
    /// Its options, in code order; none for held and set-aside units.
    pub options: Vec<NameId>,
    /// When it enters and leaves its line; `None` for held units.
    pub times: Option<(Moment, Moment)>,
    /// How it stands.
    pub state: UnitState,
}

/// How a job's material stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Material {
    /// All there when it is needed.
    Ready,
    /// Late until.
    Late(Moment),
    /// Something is short.
    Short,
    /// It has begun.
    Issued,
}

/// A plan: everything that the tables and workbooks show.
pub struct Plan<'a> {
    /// What it was computed from.
    pub plant: &'a Plant,
    /// When units stand where, and who needs material.
    pub pace: Pace,
    /// Units by rank, then held ones.
    pub units: Vec<UnitPlan>,
    /// Each part's demands and what covers them, by part.
    pub supplies: Vec<Supply>,
    /// Jobs, by shop in planning order.
    pub jobs: Vec<Job>,
    /// The jobs' indices in the order of their table.
    pub job_order: Vec<u32>,
    /// For each job how its material stands.
    pub materials: Vec<Material>,
    /// Pulls, in the order of their table.
    pub pulls: Vec<Pull>,
    /// The delivery runs that needs go with.
    pub runs: Runs,
    /// The day of the pull list.
    pub day: Date,
}

/// What a plan is asked to do beyond the plant itself.
#[derive(Clone, Copy, Debug, Default)]
pub struct Request {
    /// The day of the pull list; the next one by default.
    pub day: Option<Date>,
    /// Whether units whose order is wrong are set aside instead of stopping the plan.
    pub set_aside: bool,
}

/// Plans a checked plant. There is no plan where the findings hold an error that can't be set aside.
pub fn plan<'a>(plant: &'a Plant, request: &Request) -> (Option<Plan<'a>>, Findings) {
    let (mut configured, mut findings) = configure::configure(plant);
    let pace = line::pace(plant);
    if let Err(line) = pace.within_calendars(plant) {
        let message =
            format!("the calendar of line {} does not reach as far as its units do", plant.lines[line.at()].code);
        findings.add(short_calendar(plant, message));
        return (None, findings);
    }
    let mut explosions = match explode::explode(plant, &configured, &pace) {
        Ok(explosions) => explosions,
        Err(large) => return (None, too_large(plant, large, findings)),
    };
    set_aside_foreign(plant, &mut configured, &mut explosions, &mut findings);
    let blocks = |finding: &Finding| {
        finding.kind.level == crate::base::Level::Error && !(request.set_aside && finding.unit.is_some())
    };
    if findings.iter().any(blocks) {
        return (None, findings);
    }
    let mut stage = Stage { plant, pace, configured, explosions };
    let outcome = stage.needs().and_then(|needs| {
        let run = shops::run(plant, &stage.pace, &mut stage.explosions, &needs.asked)?;
        Ok((needs, run))
    });
    match outcome {
        Err(large) => (None, too_large(plant, large, findings)),
        Ok((needs, run)) => {
            report_missing_jobs(plant, &run, &mut findings);
            match stage.finish(needs, run, request) {
                Ok(plan) => (Some(plan), findings),
                Err(finding) => {
                    findings.add(finding);
                    (None, findings)
                }
            }
        }
    }
}

fn short_calendar(plant: &Plant, message: String) -> Finding {
    Finding::new(&kinds::SHORT_CALENDAR, plant.place(Table::Calendar, 0, ""), "", message)
}

fn too_large(plant: &Plant, large: TooLarge, mut findings: Findings) -> Findings {
    let part = plant.part(large.0);
    let place = plant.place(Table::Parts, part.row, "part");
    findings.add(Finding::new(
        &kinds::TOO_LARGE,
        place,
        &part.code,
        "a quantity of this part, multiplied out along the bills, is too large",
    ));
    findings
}

fn report_missing_jobs(plant: &Plant, run: &Run, findings: &mut Findings) {
    for &row in &run.no_such_job {
        let started = &plant.started[row];
        let code = &plant.part(started.part).code;
        let place = plant.place(Table::Started, started.row, "part");
        findings.add(Finding::new(
            &kinds::NO_SUCH_JOB,
            place,
            code,
            "the plan has no such job for this unit; the row is ignored",
        ));
    }
}

/// Units that need something at a station of another line are set aside, too.
fn set_aside_foreign(
    plant: &Plant,
    configured: &mut Configured,
    explosions: &mut Explosions<'_>,
    findings: &mut Findings,
) {
    for (i, unit) in plant.units.iter().enumerate() {
        let Some(configuration) = explosions.of_unit[i] else { continue };
        let stations = &explosions.configurations[configuration].stations;
        let foreign = |station: &DestId| !matches!(plant.dest(*station).what, DestKind::Station { line, .. } if line == unit.line);
        for (station, row) in stations.iter().filter(|(station, _)| foreign(station)) {
            let (code, bill) = (&plant.dest(*station).code, plant.place(Table::Bills, *row, "station"));
            let message = format!("unit {} needs material at {code}, a station of another line ({bill})", unit.code);
            let place = plant.place(Table::Sequence, unit.row, "line");
            findings.add(Finding::new(&kinds::OTHER_LINE, place, &unit.code, message).of_unit(&unit.code));
            configured[i] = None;
            explosions.of_unit[i] = None;
        }
    }
}

/// The stages after options and bills, which share what is known so far.
struct Stage<'a> {
    plant: &'a Plant,
    pace: Pace,
    configured: Configured,
    explosions: Explosions<'a>,
}

/// What units and extras ask for before the shops have run.
struct Needs {
    asked: Asked,
    /// Bought parts that bills ask for.
    bought: Vec<Demand>,
    /// Bought parts that extras ask for.
    extras: Vec<Demand>,
}

impl<'a> Stage<'a> {
    fn needs(&mut self) -> Result<Needs, TooLarge> {
        let asked = Asked { makes: Vec::new(), by_products: Vec::new(), lots: Lots::new() };
        let mut needs = Needs { asked, bought: Vec::new(), extras: Vec::new() };
        let mut there = Vec::new();
        for i in 0..self.pace.owners.len() {
            self.ask_for_unit(OwnerId::of(i), &mut needs, &mut there);
        }
        self.ask_for_extras(&mut needs);
        for (configuration, owner, part, qty) in there {
            let mut gives = Vec::new();
            self.explosions.all_gives(configuration, part, qty, &mut gives)?;
            for (part, qty) in gives {
                give(&mut needs.asked.lots, &self.pace, owner, part, (self.plant.as_of, qty));
            }
        }
        Ok(needs)
    }

    /// What a unit's bill asks for at stations; make parts at stations whose material is issued are `there` already.
    fn ask_for_unit(&self, owner: OwnerId, needs: &mut Needs, there: &mut Vec<(usize, OwnerId, PartId, Quantity)>) {
        let plant = self.plant;
        let row = &self.pace.owners[owner.at()];
        let Some(unit) = row.unit.filter(|_| row.planned) else { return };
        let Some(configuration) = self.explosions.of_unit[unit.at()] else { return };
        let found = &self.explosions.configurations[configuration];
        let issued = plant.units[unit.at()].issued;
        for stop in found.needs.chunk_by(|a, b| a.1 == b.1) {
            let DestKind::Station { position, .. } = plant.dest(stop[0].1).what else { continue };
            let Some(need) = self.pace.need(plant, unit, stop[0].1) else { continue };
            for &(part, to, qty) in stop {
                let made = matches!(plant.part(part).source, Source::Make(_));
                match plant.part(part).source {
                    _ if position <= issued && made => there.push((configuration, owner, part, qty)),
                    _ if position <= issued => {}
                    Source::Make(_) => needs.asked.makes.push(Demand { part, need, owner, to, qty }),
                    Source::ByProduct => needs.asked.by_products.push(Demand { part, need, owner, to, qty }),
                    _ => needs.bought.push(Demand { part, need, owner, to, qty }),
                }
            }
        }
        for &(part, station, qty) in &found.gives {
            let DestKind::Station { position, .. } = plant.dest(station).what else { continue };
            if let Some(leaves) = self.pace.leaves(plant, unit, position) {
                give(&mut needs.asked.lots, &self.pace, owner, part, (leaves, qty));
            }
        }
    }

    fn ask_for_extras(&self, needs: &mut Needs) {
        for (extra, &owner) in self.plant.extras.iter().zip(&self.pace.extra_owners) {
            let row = &self.pace.owners[owner.at()];
            let unit = row.unit.filter(|_| row.planned);
            if unit.is_some_and(|unit| self.configured[unit.at()].is_none()) || !extra.qty.is_positive() {
                continue;
            }
            // A checked plant gives every extra a time.
            let need = extra.needed.or_else(|| self.pace.need(self.plant, unit?, extra.to));
            let Some(need) = need else { continue };
            let demand = Demand { part: extra.part, need, owner, to: extra.to, qty: extra.qty };
            match self.plant.part(extra.part).source {
                Source::Make(_) => needs.asked.makes.push(demand),
                Source::ByProduct => needs.asked.by_products.push(demand),
                _ => needs.extras.push(demand),
            }
        }
    }

    /// Everything after the shops: covers all demands, and tells how units, jobs and pulls stand.
    fn finish(self, needs: Needs, mut run: Run, request: &Request) -> Result<Plan<'a>, Finding> {
        let plant = self.plant;
        let runs = delivery_runs(plant, &needs, &run)?;
        let supplies = self.cover(needs, &mut run, &runs);
        let pulls = all_pulls(plant, &supplies, &runs);
        let standing = Standing::of(plant, &supplies);
        let materials = run.jobs.iter().map(|job| standing.material(plant, job)).collect();
        let units = self.unit_plans(&standing);
        let job_order = job_order(plant, &run.jobs);
        let day = request.day.or_else(|| waves::next_pull_day(plant)).unwrap_or_else(|| plant.as_of.date());
        let Self { pace, .. } = self;
        Ok(Plan { plant, pace, units, supplies, jobs: run.jobs, job_order, materials, pulls, runs, day })
    }

    /// Covers each part's demands; parts one beside the other, each by itself.
    fn cover(&self, needs: Needs, run: &mut Run, runs: &Runs) -> Vec<Supply> {
        let plant = self.plant;
        let left = |demand: &Demand| {
            let delivered = plant.delivered_to.zip(runs.serving(demand.need)).is_some_and(|(to, run)| run.leaves <= to);
            !delivered
        };
        let mut demands: Vec<Vec<Demand>> = vec![Vec::new(); plant.parts.len()];
        let below = run.needs.iter().map(|need| need.demand);
        let (by_products, bought): (Vec<_>, Vec<_>) = below.partition(|demand| !plant.part(demand.part).bought());
        let from_bills = needs.bought.into_iter().chain(bought).filter(left);
        for demand in from_bills.chain(needs.extras).chain(needs.asked.by_products).chain(by_products) {
            demands[demand.part.at()].push(demand);
        }
        let mut lots: Vec<HashMap<OwnerId, Vec<Lot>>> = plant.parts.iter().map(|_| HashMap::new()).collect();
        for ((owner, part), list) in std::mem::take(&mut run.lots) {
            lots[part.at()].insert(owner, list);
        }
        let receipts = supply::receipts_by_part(plant);
        let stocks = Stocks::of_all(plant);
        let mut makes = std::mem::take(&mut run.makes);
        let parts = demands.into_iter().zip(stocks).zip(lots).enumerate();
        let parts: Vec<_> = parts
            .map(|(i, ((demands, stocks), lots))| {
                let part = PartId::of(i);
                (part, demands, stocks, lots, makes.remove(&part))
            })
            .collect();
        let cover = |(part, demands, stocks, lots, made): (
            PartId,
            _,
            _,
            _,
            Option<(Vec<Demand>, Vec<crate::netting::Peg>)>,
        )| {
            if let Some((demands, pegs)) = made {
                return Supply { demands, pegs, balances: Vec::new() };
            }
            let open = receipts.get(&part).map_or(&[][..], Vec::as_slice);
            supply::supply(plant, &self.pace.owners, part, demands, stocks, open, lots)
        };
        parts.into_par_iter().map(cover).collect()
    }

    fn unit_plans(&self, standing: &Standing) -> Vec<UnitPlan> {
        let plant = self.plant;
        let mut plans: Vec<UnitPlan> = Vec::new();
        for (i, owner) in self.pace.owners.iter().enumerate().filter(|(_, owner)| owner.planned) {
            let Some(unit) = owner.unit else { continue };
            let times = self.pace.enters(plant, unit).zip(self.pace.leaves_line(plant, unit));
            let (options, state) = match &self.configured[unit.at()] {
                Some(names) => (configure::options_of(plant, names), standing.state(OwnerId::of(i))),
                None => (Vec::new(), UnitState::SetAside),
            };
            plans.push(UnitPlan { unit, options, times, state });
        }
        let held = (0..plant.units.len()).map(UnitId::of).filter(|id| {
            let unit = &plant.units[id.at()];
            unit.hold.is_some() && !unit.done
        });
        let key = |id: &UnitId| {
            let unit = &plant.units[id.at()];
            (fold(&plant.lines[unit.line.at()].code), unit.seq)
        };
        plans.extend(held.sorted_by_cached_key(key).map(|unit| UnitPlan {
            unit,
            options: Vec::new(),
            times: None,
            state: UnitState::Hold,
        }));
        plans
    }
}

/// The delivery runs of all needs.
fn delivery_runs(plant: &Plant, needs: &Needs, run: &Run) -> Result<Runs, Finding> {
    let shop_needs = run.needs.iter().map(|need| &need.demand);
    let made = run.makes.values().flat_map(|(demands, _)| demands);
    let asked = needs.bought.iter().chain(&needs.extras).chain(&needs.asked.by_products);
    let all = asked.chain(shop_needs).chain(made).map(|demand| demand.need);
    let (first, last) = match all.minmax() {
        MinMaxResult::NoElements => (plant.as_of, plant.as_of),
        MinMaxResult::OneElement(need) => (need, need),
        MinMaxResult::MinMax(first, last) => (first, last),
    };
    let jobs = run.jobs.iter().flat_map(|job| {
        let calendar = plant.calendar(plant.shop(job.shop).calendar);
        [
            calendar.starts(job.times.release),
            calendar.starts(job.times.due),
            calendar.starts(job.slot.start),
            job.available,
        ]
    });
    let receipts = plant.receipts.iter().map(|receipt| receipt.available);
    if jobs.chain(receipts).chain([first, last]).any(|time| !time.is_real()) {
        let message = "a calendar of the line, a shop or the stores does not reach as far as the plan does";
        return Err(short_calendar(plant, message.to_owned()));
    }
    let runs = Runs::between(plant, first, last);
    if runs.serving(first).is_none_or(|run| !run.picked.is_real()) {
        let message = format!("the stores' calendar has no delivery run before the first need, {first}");
        return Err(short_calendar(plant, message));
    }
    Ok(runs)
}

fn all_pulls(plant: &Plant, supplies: &[Supply], runs: &Runs) -> Vec<Pull> {
    let locations: Vec<StorageKey> = plant.parts.iter().map(|part| StorageKey::new(&part.location)).collect();
    let per_part =
        supplies.par_iter().enumerate().map(|(i, supply)| pulls::pulls(PartId::of(i), &plant.parts[i], supply, runs));
    let mut all: Vec<Pull> = per_part.flatten_iter().collect();
    let mut order: Vec<usize> = (0..locations.len()).collect();
    order.sort_by(|a, b| locations[*a].cmp(&locations[*b]));
    let mut rank = vec![0_u32; locations.len()];
    for pair in 1..order.len() {
        let step = u32::from(locations[order[pair]] != locations[order[pair - 1]]);
        rank[order[pair]] = rank[order[pair - 1]] + step;
    }
    all.sort_unstable_by_key(|pull| (pull.run.leaves, rank[pull.part.at()], pull.part, pull.to, pull.owner));
    all
}

/// The order of the jobs' table: shop, start, crew, then as the crew takes them.
fn job_order(plant: &Plant, jobs: &[Job]) -> Vec<u32> {
    let key = |i: &u32| {
        let job = &jobs[*i as usize];
        (plant.shop(job.shop).dest, job.slot.start, job.slot.crew, job.slot.turn)
    };
    (0..jobs.len() as u32).sorted_by_key(key).collect()
}

/// The worst of what is late or short, by owner and by job.
#[derive(Default)]
struct Standing {
    owners: HashMap<OwnerId, Worst>,
    jobs: HashMap<(OwnerId, DestId, Moment), Worst>,
}

#[derive(Clone, Copy, Default)]
struct Worst {
    first_short: Option<(Moment, PartId)>,
    first_late: Option<(Moment, PartId)>,
    last: Option<Moment>,
}

impl Worst {
    fn take(&mut self, need: Moment, part: PartId, covered: Covered, available: Option<Moment>) {
        let first = match covered {
            Covered::InTime => return,
            Covered::Short => &mut self.first_short,
            Covered::Late => &mut self.first_late,
        };
        *first = Some(first.map_or((need, part), |known| known.min((need, part))));
        if covered == Covered::Late {
            self.last = self.last.max(available);
        }
    }
}

impl Standing {
    fn of(plant: &Plant, supplies: &[Supply]) -> Self {
        let mut standing = Self::default();
        for supply in supplies {
            for peg in &supply.pegs {
                let demand = &supply.demands[peg.demand as usize];
                let covered = peg.covered(demand.need);
                if covered == Covered::InTime {
                    continue;
                }
                let take = |worst: &mut Worst| worst.take(demand.need, demand.part, covered, peg.available);
                take(standing.owners.entry(demand.owner).or_default());
                if matches!(plant.dest(demand.to).what, DestKind::Shop(_)) {
                    take(standing.jobs.entry((demand.owner, demand.to, demand.need)).or_default());
                }
            }
        }
        standing
    }

    fn state(&self, owner: OwnerId) -> UnitState {
        let worst = self.owners.get(&owner).copied().unwrap_or_default();
        match (worst.first_short, worst.first_late, worst.last) {
            (Some((_, part)), ..) => UnitState::Short(part),
            (_, Some((_, part)), Some(last)) => UnitState::Late(part, last),
            _ => UnitState::Clear,
        }
    }

    fn material(&self, plant: &Plant, job: &Job) -> Material {
        if job.started {
            return Material::Issued;
        }
        let shop = plant.shop(job.shop);
        let need = plant.calendar(shop.calendar).starts(job.slot.start - shop.ahead);
        let worst = self.jobs.get(&(job.owner, shop.dest, need)).copied().unwrap_or_default();
        match (worst.first_short, worst.last) {
            (Some(_), _) => Material::Short,
            (None, Some(last)) => Material::Late(last),
            (None, None) => Material::Ready,
        }
    }
}
