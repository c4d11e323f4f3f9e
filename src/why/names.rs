//! Names of conditions: whether each is true for a unit, and where that comes from.

use super::asked::Asked;
use super::facts::{How, NameFacts, When};
use crate::base::NameId;
use crate::book::Table;
use crate::check::Choose;
use crate::check::written;
use crate::configure::Origin;
use itertools::Itertools;

/// A condition of a unit, as the book writes it; none where it always holds.
pub fn when(asked: &Asked<'_>, condition: u32, text: &str) -> Option<When> {
    if asked.plant.always(condition) {
        return None;
    }
    let names = asked.plant.conditions[condition as usize].names().unique();
    let names = names.map(|id| name(asked, id)).collect();
    Some(When { text: text.to_owned(), holds: asked.holds(condition), names })
}

/// A name, whether it is true, and why.
pub fn name(asked: &Asked<'_>, id: NameId) -> NameFacts {
    let how = how(asked, id);
    let option = asked.plant.options.get(id.at());
    let meaning = option.filter(|option| option.name != option.code).map_or("", |option| option.name.as_str());
    NameFacts {
        name: asked.plant.name_codes[id.at()].clone(),
        meaning: meaning.to_owned(),
        holds: asked.is(id),
        place: place(asked, id, &how),
        how,
    }
}

fn how(asked: &Asked<'_>, id: NameId) -> How {
    let plant = asked.plant;
    if id.at() >= plant.options.len() {
        return How::Built { what: kind(asked, id) };
    }
    let origin = asked.has.as_ref().filter(|_| asked.is(id)).and_then(|(_, origins)| origins.of(id));
    match origin {
        Some(Origin::Ordered) => How::Ordered,
        Some(Origin::Package(package)) => How::Package { package: plant.options[package.at()].code.clone() },
        Some(Origin::Standard) => How::Standard,
        Some(Origin::Rule(rule)) => How::Rule { message: plant.rules[rule].message.clone() },
        None => absent(asked, id),
    }
}

/// What a name is that is no option.
fn kind(asked: &Asked<'_>, id: NameId) -> &'static str {
    let plant = asked.plant;
    if plant.lines.iter().any(|line| line.as_name == id) {
        "line"
    } else if plant.floorplans.iter().any(|floorplan| floorplan.as_name == id) {
        "floorplan"
    } else {
        "series"
    }
}

/// Why a unit does not have an option.
fn absent(asked: &Asked<'_>, id: NameId) -> How {
    let plant = asked.plant;
    let unit = &plant.units[asked.unit.at()];
    let Ok(floorplan) = unit.floorplan else { return How::NotOffered };
    let floorplan = &plant.floorplans[floorplan.at()];
    if unit.ordered.contains(&(id, true)) {
        return How::TakenAway;
    }
    let group = plant.options[id.at()].group.filter(|group| plant.groups[group.at()].choose != Choose::Any);
    let others = plant.options.iter().enumerate().filter(|(_, option)| group.is_some() && option.group == group);
    let mut had = others.filter(|(i, _)| asked.is(NameId::of(*i)));
    match (had.next(), group) {
        _ if !floorplan.offers[id.at()] => How::NotOffered,
        (Some((_, has)), Some(group)) => {
            How::Instead { group: plant.groups[group.at()].code.clone(), has: has.code.clone() }
        }
        _ => How::NotOrdered,
    }
}

/// The row that decides it.
fn place(asked: &Asked<'_>, id: NameId, how: &How) -> Option<crate::base::Place> {
    let plant = asked.plant;
    let unit = plant.units[asked.unit.at()].row;
    let code = plant.name_codes[id.at()].as_str();
    let floorplan = asked.floorplan();
    let in_sequence = |column| Some(plant.place(Table::Sequence, unit, column));
    match how {
        How::Ordered | How::TakenAway => in_sequence("options"),
        How::Built { what: "line" } => in_sequence("line"),
        How::Built { .. } => in_sequence("floorplan"),
        How::Package { package } => {
            written::package_row(asked.book, package, code).map(|row| plant.place(Table::Packages, row, "includes"))
        }
        How::Rule { .. } => {
            let Some(Origin::Rule(rule)) = asked.has.as_ref()?.1.of(id) else { return None };
            Some(plant.place(Table::Rules, plant.rules[rule].row, "adds"))
        }
        How::Standard | How::Instead { .. } | How::NotOrdered | How::NotOffered => {
            written::offer_row(asked.book, floorplan, code).map(|row| plant.place(Table::Offers, row, "offer"))
        }
    }
}
