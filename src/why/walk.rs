//! Every way from a unit's floorplan, its jobs and its extras to a part, multiplied out line by line as the plan does.

use super::asked::Asked;
use super::way::{Begin, End, Link, Path};
use crate::base::{DestId, Moment, PartId, Quantity, ShopId, Total};
use crate::check::follow::{self, Stands, stands};
use crate::check::{BillLine, ExtraFor, Source};
use crate::netting::Cover;
use crate::plan::UnitState;
use std::ops::Range;

/// How lines are followed down.
#[derive(Clone, Copy)]
enum Mode {
    /// At stations: make parts are demands.
    Station,
    /// In a job: make parts of other shops are demands.
    Job(u32, ShopId),
    /// Below what is there already, or is not supplied: through all.
    There(End),
}

#[derive(Clone, Copy)]
struct Here {
    qty: Option<Total>,
    to: Option<DestId>,
    mode: Mode,
    /// The part below which it stands; none below a floorplan.
    parent: Option<PartId>,
    /// How many lines lead there.
    depth: usize,
}

/// A walk to one part, or to all that stations ask for.
struct PathWalk<'a, 'p> {
    asked: &'a Asked<'p>,
    /// The part asked about; none for all that is no phantom.
    part: Option<PartId>,
    /// For each part whether it is the one asked about or has it below.
    holding: &'a [bool],
    begin: Begin,
    start: Quantity,
    links: Vec<Link>,
    found: Vec<Path>,
}

/// All ways of a unit to a part.
pub fn paths(asked: &Asked<'_>, part: PartId, holding: &[bool]) -> Vec<Path> {
    let mut walk = PathWalk::new(asked, Some(part), holding);
    walk.begin_at_floorplan();
    walk.begin_at_jobs();
    walk.begin_at_stock();
    walk.begin_at_extras();
    walk.found
}

/// All that the unit's stations ask for, lines that do not hold left out.
pub fn at_stations(asked: &Asked<'_>) -> Vec<Path> {
    let all = vec![true; asked.plant.parts.len()];
    let mut walk = PathWalk::new(asked, None, &all);
    walk.begin_at_floorplan();
    walk.found.retain(|path| !matches!(path.end, End::NotActive(_) | End::Nothing(_)));
    walk.found
}

impl<'a, 'p> PathWalk<'a, 'p> {
    fn new(asked: &'a Asked<'p>, part: Option<PartId>, holding: &'a [bool]) -> Self {
        let (begin, start) = (Begin::Floorplan, Quantity::whole(1));
        Self { asked, part, holding, begin, start, links: Vec::new(), found: Vec::new() }
    }

    fn begin_at_floorplan(&mut self) {
        let plant = self.asked.plant;
        let Ok(floorplan) = plant.units[self.asked.unit.at()].floorplan else { return };
        if self.asked.has.is_none() {
            return;
        }
        let mode = if self.asked.supplied() { Mode::Station } else { Mode::There(End::NotSupplied) };
        let here = Here { qty: Some(self.start.into()), to: None, mode, parent: None, depth: 0 };
        self.descend(plant.floorplans[floorplan.at()].bill.clone(), here);
    }

    fn begin_at_jobs(&mut self) {
        let (asked, part, holding) = (self.asked, self.part, self.holding);
        for (i, job) in asked.jobs().filter(|(_, job)| Some(job.part) != part && holding[job.part.at()]) {
            (self.begin, self.start) = (Begin::Job(i), job.qty);
            self.below(job.part, job.qty, job.shop, Mode::Job(i, job.shop));
        }
    }

    /// Below make parts that stock covers nothing is required.
    fn begin_at_stock(&mut self) {
        let asked = self.asked;
        let parts = (0..asked.plant.parts.len()).map(PartId::of);
        let above = parts.filter(|part| Some(*part) != self.part && self.holding[part.at()]).collect::<Vec<_>>();
        for part in above {
            let Source::Make(shop) = asked.plant.part(part).source else { continue };
            let supply = asked.supply(part);
            for (i, demand) in supply.demands.iter().enumerate().filter(|(_, d)| Some(d.owner) == asked.owner) {
                let of_demand = supply.pegs.iter().filter(|peg| peg.demand as usize == i);
                let there: Quantity =
                    of_demand.filter(|peg| !matches!(peg.cover, Cover::Job(_))).map(|peg| peg.qty).sum();
                if there.is_positive() {
                    (self.begin, self.start) = (Begin::Stock(part, demand.to), there);
                    self.below(part, there, shop, Mode::There(End::Covered(part)));
                }
            }
        }
    }

    fn begin_at_extras(&mut self) {
        let asked = self.asked;
        let aside = asked.plan.units.iter().any(|u| u.unit == asked.unit && u.state == UnitState::SetAside);
        for (i, extra) in asked.plant.extras.iter().enumerate() {
            let made = matches!(asked.plant.part(extra.part).source, Source::Make(_));
            let leads = Some(extra.part) == self.part || made && self.holding[extra.part.at()];
            if extra.owner != ExtraFor::Unit(asked.unit) || !leads || !extra.qty.is_positive() {
                continue;
            }
            let need = extra.needed.or_else(|| asked.plan.pace.need(asked.plant, asked.unit, extra.to));
            let end = if aside { End::NotSupplied } else { End::Needed };
            let (begin, links) = (Begin::Extra(i), Vec::new());
            let (start, part, qty, to) = (extra.qty, extra.part, Some(extra.qty.into()), Some(extra.to));
            self.found.push(Path { begin, start, links, part, qty, to, need, end });
        }
    }

    /// What is below so much of a make part.
    fn below(&mut self, part: PartId, qty: Quantity, shop: ShopId, mode: Mode) {
        let plant = self.asked.plant;
        let to = Some(plant.shop(shop).dest);
        let here = Here { qty: Some(qty.into()), to, mode, parent: Some(part), depth: 0 };
        self.descend(plant.part(part).bill.clone(), here);
    }

    fn descend(&mut self, bill: Range<usize>, here: Here) {
        follow::down(self.asked.plant, bill, here, |at, line, above| self.meet(at, line, above));
    }

    fn meet(&mut self, at: usize, line: &BillLine, above: Here) -> Option<Here> {
        if !self.holding[line.part.at()] {
            return None;
        }
        // What does not hold may be larger than any quantity of the plan.
        let after = above.qty.and_then(|qty| qty.by(line.factor));
        self.links.truncate(above.depth);
        self.links.push(Link {
            line: at,
            parent: above.parent,
            before: above.qty,
            after,
            active: self.asked.active(line),
        });
        let at_station = above.parent.is_none() || matches!(above.mode, Mode::Station);
        let to = if at_station { line.station.or(above.to) } else { above.to };
        let here = Here { qty: after, to, mode: above.mode, parent: Some(line.part), depth: self.links.len() };
        self.arrive(line.part, line.gives, here)
    }

    fn alive(&self) -> bool {
        self.links.iter().all(|link| link.active && !link.leaves_nothing())
    }

    /// What becomes of a line; gives how it goes on below it.
    fn arrive(&mut self, part: PartId, gives: bool, here: Here) -> Option<Here> {
        let known = self.asked.plant.part(part);
        let leaf = self.part.is_none() && matches!(known.source, Source::Buy | Source::ByProduct);
        if leaf || Some(part) == self.part {
            self.arrived(part, gives, here);
            return None;
        }
        let job_of = match here.mode {
            Mode::Job(_, shop) => Some(shop),
            Mode::Station | Mode::There(_) => None,
        };
        match (known.source, stands(self.asked.plant, part, job_of)) {
            (Source::Make(shop), Stands::ForItself) => {
                let to = Some(self.asked.plant.shop(shop).dest);
                let mode = if self.alive() { self.boundary(part, here) } else { Some(here.mode) };
                Some(Here { to, mode: mode?, ..here })
            }
            _ => Some(here),
        }
    }

    /// A make part that is a demand of its own is where a path ends; below one that is there already it goes on.
    fn boundary(&mut self, part: PartId, here: Here) -> Option<Mode> {
        match here.mode {
            Mode::There(_) => Some(here.mode),
            Mode::Job(job, _) if self.asked.plan.jobs[job as usize].started => Some(Mode::There(End::Begun(job))),
            Mode::Station | Mode::Job(..) => {
                let end = self.landing(part, here);
                self.emit(part, here, end);
                (self.part.is_some() && matches!(end, End::Issued(_))).then_some(Mode::There(end))
            }
        }
    }

    fn arrived(&mut self, part: PartId, gives: bool, here: Here) {
        let fails = self.links.iter().position(|link| !link.active);
        let nothing = self.links.iter().position(Link::leaves_nothing);
        let end = match (fails, nothing) {
            (Some(step), _) => End::NotActive(step),
            (None, Some(step)) => End::Nothing(step),
            (None, None) if gives => self.free(here),
            (None, None) => self.landing(part, here),
        };
        self.emit(part, here, end);
    }

    /// When what comes off is free.
    fn free(&self, here: Here) -> End {
        let (plan, plant) = (self.asked.plan, self.asked.plant);
        match here.mode {
            Mode::There(End::NotSupplied) => End::NotSupplied,
            Mode::There(_) => End::Free(plant.as_of),
            Mode::Job(job, _) => End::Free(plan.jobs[job as usize].available),
            Mode::Station => {
                let leaves = here.to.and_then(|to| plan.pace.leaves(plant, self.asked.unit, plant.position(to)?));
                leaves.map_or(End::NotSupplied, End::Free)
            }
        }
    }

    /// What becomes of a quantity that holds.
    fn landing(&self, part: PartId, here: Here) -> End {
        let known = self.asked.plant.part(part);
        match here.mode {
            Mode::There(end) => end,
            _ if known.source == Source::Phantom => End::Phantom,
            Mode::Job(job, shop) if known.source == Source::Make(shop) => End::Inside(job),
            Mode::Job(job, _) if self.asked.plan.jobs[job as usize].started => End::Begun(job),
            _ => match (here.to, self.need(here)) {
                (Some(to), _) if matches!(here.mode, Mode::Station) && self.asked.issued(to) => End::Issued(to),
                (_, Some(need)) => self.asked.delivered(known, need).map_or(End::Needed, End::Delivered),
                _ => End::NotSupplied,
            },
        }
    }

    /// When a quantity is needed where it is.
    fn need(&self, here: Here) -> Option<Moment> {
        match here.mode {
            Mode::Station => self.asked.plan.pace.need(self.asked.plant, self.asked.unit, here.to?),
            Mode::Job(job, _) => Some(self.asked.job_need(&self.asked.plan.jobs[job as usize])),
            Mode::There(_) => None,
        }
    }

    fn emit(&mut self, part: PartId, here: Here, end: End) {
        let (begin, start, links) = (self.begin, self.start, self.links.clone());
        let need = self.need(here);
        self.found.push(Path { begin, start, links, part, qty: here.qty, to: here.to, need, end });
    }
}
