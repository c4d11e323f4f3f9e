//! The lists that the codes and texts of a table's columns are taken from: rows hold places in them instead of text.

use crate::plan::Plan;
use crate::report::names::job_name;
use itertools::Itertools;
use std::borrow::Cow;

/// A list that the cells of a column are taken from, each named by its place in the list.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum List {
    /// Owners, then the units on the plan.
    Units,
    /// Lines.
    Lines,
    /// Floorplans, then what each unit of the sequence names as its own.
    Floorplans,
    /// Parts.
    Parts,
    /// Stations and shops.
    Places,
    /// Each part's unit of measure.
    Uoms,
    /// Each part's storage location.
    Locations,
    /// Each part's description.
    Descriptions,
    /// The options of each unit on the plan, with spaces between.
    Options,
    /// The names of the jobs.
    Jobs,
    /// What pegs are covered by: the orders of the receipts, then the names of the jobs.
    Sources,
    /// A few words.
    Words(&'static [&'static str]),
}

impl List {
    /// The texts, by place. The same may stand at several places; nothing is an empty text.
    pub fn texts<'p>(self, plan: &'p Plan<'_>) -> Vec<Cow<'p, str>> {
        let plant = plan.plant;
        let of_parts = |text: fn(&'p crate::check::Part) -> &'p String| plain(plant.parts.iter().map(text));
        let jobs = || plan.jobs.iter().map(|job| job_name(plan, job).into());
        match self {
            Self::Units => {
                let owners = plan.pace.owners.iter().map(|owner| &owner.code);
                plain(owners.chain(plan.units.iter().map(|unit| &plant.units[unit.unit.at()].code)))
            }
            Self::Lines => plain(plant.lines.iter().map(|line| &line.code)),
            Self::Floorplans => {
                let code = |floorplan: crate::base::FloorplanId| &plant.floorplans[floorplan.at()].code;
                let of_units = plant.units.iter().map(|unit| match &unit.floorplan {
                    Ok(floorplan) => code(*floorplan),
                    Err(wrong) => wrong,
                });
                plain(plant.floorplans.iter().map(|floorplan| &floorplan.code).chain(of_units))
            }
            Self::Parts => of_parts(|part| &part.code),
            Self::Places => plain(plant.dests.iter().map(|dest| &dest.code)),
            Self::Uoms => of_parts(|part| &part.uom),
            Self::Locations => of_parts(|part| &part.location),
            Self::Descriptions => of_parts(|part| &part.description),
            Self::Options => {
                let code = |option: &crate::base::NameId| plant.options[option.at()].code.as_str();
                plan.units.iter().map(|unit| unit.options.iter().map(code).join(" ").into()).collect()
            }
            Self::Jobs => jobs().collect(),
            Self::Sources => {
                plain(plant.receipts.iter().map(|receipt| &receipt.order)).into_iter().chain(jobs()).collect()
            }
            Self::Words(words) => words.iter().map(|word| Cow::Borrowed(*word)).collect(),
        }
    }
}

fn plain<'p>(texts: impl Iterator<Item = &'p String>) -> Vec<Cow<'p, str>> {
    texts.map(|text| Cow::Borrowed(text.as_str())).collect()
}
