//! A unit as it is built: its options and where each comes from, its parts by station and how they stand, its jobs.

use super::asked::Asked;
use super::facts::{DemandFacts, ExtraLine, GroupFacts, PartLine, Station, UnitWhy};
use super::walk;
use super::way::{End, Path};
use super::{cover, jobs, names, unit_facts};
use crate::base::{DestId, Moment, NameId, PartId, Quantity, UnitId};
use crate::book::{Book, Table};
use crate::check::ExtraFor;
use crate::configure;
use crate::netting::{Cover, Demand, Peg};
use crate::plan::words::{cover_word, dest_code};
use crate::plan::{Late, Plan};
use itertools::Itertools;
use rayon::prelude::*;

/// A unit as it is built.
pub fn unit(plan: &Plan<'_>, book: &Book, unit: UnitId) -> UnitWhy {
    let asked = Asked::new(plan, book, unit);
    let plant = plan.plant;
    let paths = walk::at_stations(&asked);
    let is_wrong = |demand: &DemandFacts| {
        demand.covers.iter().any(|cover| cover.cover == "none" || cover.late_minutes > 0 || cover.not_known)
    };
    let wrong = parts(&asked, &paths).into_par_iter().filter(|part| in_doubt(&asked, *part));
    let wrong = wrong.flat_map_iter(|part| cover::demands(&asked, part));
    let in_order = plan.job_order.iter().map(|i| (*i, &plan.jobs[*i as usize]));
    let own = in_order.filter(|(_, job)| Some(job.owner) == asked.owner);
    let away = plant.units[unit.at()].ordered.iter().filter(|(_, away)| *away);
    UnitWhy {
        book: book.name.to_string(),
        as_of: plant.as_of,
        unit: unit_facts(&asked),
        options: options(&asked),
        taken_away: away.map(|(option, _)| plant.options[option.at()].code.clone()).collect(),
        stations: stations(&asked, paths),
        extras: extras(&asked),
        jobs: own.map(|(i, job)| jobs::facts(&asked, i, job)).collect(),
        wrong: wrong.filter(is_wrong).collect(),
    }
}

/// The parts of which it may have demands: at its stations, below its jobs, and of its extras.
fn parts(asked: &Asked<'_>, paths: &[Path]) -> Vec<PartId> {
    let at_stations = paths.iter().map(|path| path.part);
    let below_jobs = asked.jobs().flat_map(|(_, job)| job.below.needs.iter().map(|(part, _)| *part));
    let extras = asked.plant.extras.iter().zip(&asked.plan.pace.extra_owners);
    let extras = extras.filter(|(_, owner)| Some(**owner) == asked.owner).map(|(extra, _)| extra.part);
    at_stations.chain(below_jobs).chain(extras).sorted().dedup().collect()
}

/// Whether some of a part may not be there in time for it: of others no demand need be looked at.
fn in_doubt(asked: &Asked<'_>, part: PartId) -> bool {
    asked.plan.doubts(part).iter().any(|doubt| Some(doubt.demand.owner) == asked.owner)
}

/// The extras for it, in the order of the book.
fn extras(asked: &Asked<'_>) -> Vec<ExtraLine> {
    let (plan, plant) = (asked.plan, asked.plant);
    let own = plant.extras.iter().filter(|extra| extra.owner == ExtraFor::Unit(asked.unit));
    own.map(|extra| {
        let part = plant.part(extra.part);
        ExtraLine {
            part: part.code.clone(),
            description: part.description.clone(),
            qty: extra.qty,
            uom: part.uom.clone(),
            to: dest_code(plan, extra.to).to_owned(),
            need: extra.needed.or_else(|| plan.pace.need(plant, asked.unit, extra.to)),
            reason: extra.reason.clone(),
            place: asked.row(Table::Extras, extra.row),
        }
    })
    .collect()
}

/// Its options with their groups.
fn options(asked: &Asked<'_>) -> Vec<GroupFacts> {
    let plant = asked.plant;
    let Some((has, _)) = &asked.has else { return Vec::new() };
    let group = |option: &NameId| plant.options[option.at()].group;
    let order = |option: &NameId| (group(option).is_none(), group(option));
    let options = configure::options_of(plant, has).into_iter().sorted_by_key(order);
    let groups = options.chunk_by(group);
    let told = groups.into_iter().map(|(group, options)| {
        let code = group.map_or(String::new(), |group| plant.groups[group.at()].code.clone());
        GroupFacts { group: code, options: options.map(|option| names::name(asked, option)).collect() }
    });
    told.collect()
}

/// What its stations ask for.
fn stations(asked: &Asked<'_>, paths: Vec<Path>) -> Vec<Station> {
    let plant = asked.plant;
    // Shops, which have no position, come last.
    let position = |to: Option<DestId>| to.and_then(|to| plant.position(to)).unwrap_or(u32::MAX);
    let key = |path: &Path| (position(path.to), path.to, path.part, path.end != End::Needed);
    let paths = paths.into_iter().sorted_by_key(key).collect_vec();
    let by_station = paths.chunk_by(|a, b| a.to == b.to).collect_vec();
    by_station.into_par_iter().filter_map(|paths| station(asked, paths[0].to?, paths)).collect()
}

fn station(asked: &Asked<'_>, to: DestId, paths: &[Path]) -> Option<Station> {
    let dest = asked.plant.dest(to);
    let by_part = paths.chunk_by(|a, b| a.part == b.part && same_end(a.end, b.end));
    Some(Station {
        station: dest.code.clone(),
        name: dest.name.clone(),
        need: asked.plan.pace.need(asked.plant, asked.unit, to),
        issued: asked.supplied() && asked.issued(to),
        parts: by_part.collect_vec().into_par_iter().map(|paths| line(asked, to, paths)).collect(),
    })
}

fn same_end(a: End, b: End) -> bool {
    std::mem::discriminant(&a) == std::mem::discriminant(&b)
}

/// The lines of one part at one station, added up.
fn line(asked: &Asked<'_>, to: DestId, paths: &[Path]) -> PartLine {
    let (path, part) = (&paths[0], asked.plant.part(paths[0].part));
    let demands = match (path.end, path.need) {
        (End::Needed, Some(need)) => pegs(asked, path.part, to, need),
        _ => Vec::new(),
    };
    let late = |need, owner| {
        let demand = Demand { part: path.part, need, owner, to, qty: Quantity::ZERO };
        demands.iter().any(|peg| asked.plan.piece_late(&demand, peg) > Late::InTime)
    };
    let late = path.need.zip(asked.owner).is_some_and(|(need, owner)| late(need, owner));
    let short = demands.iter().any(|peg| peg.cover == Cover::None);
    let status = match path.end {
        End::Issued(_) => "issued",
        End::Delivered(_) => "delivered",
        End::Free(_) => "comes off",
        End::Needed if short => "short",
        End::Needed if late => "late",
        End::Needed => "in time",
        _ => "not supplied",
    };
    let words = demands.iter().map(|peg| cover_word(peg.cover));
    PartLine {
        part: part.code.clone(),
        description: part.description.clone(),
        qty: paths.iter().map(|path| path.qty).sum(),
        uom: part.uom.clone(),
        status,
        covers: words.unique().collect(),
        available: demands.iter().filter_map(|peg| peg.available).max(),
    }
}

/// What covers the unit's demand for a part at a station.
fn pegs(asked: &Asked<'_>, part: PartId, to: DestId, need: Moment) -> Vec<Peg> {
    let supply = asked.supply(part);
    let pegged = supply.pegged();
    let number = asked.owner.and_then(|owner| pegged.find(need, owner, to));
    number.map_or_else(Vec::new, |number| pegged.pegs_of(number).to_vec())
}
