//! What a rule, a package or a bill line says of a build, put together from conditions and options.

use crate::base::NameId;
use crate::check::Plant;
use crate::expression::NameSet;

/// Something that is true of a build or not.
#[derive(Clone, Debug)]
pub enum Says {
    /// The build has an option, or is of a floorplan, series or line.
    Name(NameId),
    /// A condition of the book holds, by its index.
    When(u32),
    /// It is not so.
    Not(Box<Says>),
    /// All of these; true where there are none.
    All(Vec<Says>),
    /// Any of these; false where there are none.
    Any(Vec<Says>),
}

impl Says {
    /// That one thing brings another with it.
    pub fn brings(first: Self, then: Self) -> Self {
        Self::Any(vec![Self::Not(Box::new(first)), then])
    }

    /// Notes the names it speaks of.
    pub fn names(&self, plant: &Plant, noted: &mut Vec<NameId>) {
        match self {
            Self::Name(name) => noted.push(*name),
            Self::When(when) => noted.extend(plant.conditions[*when as usize].names()),
            Self::Not(inner) => inner.names(plant, noted),
            Self::All(all) | Self::Any(all) => all.iter().for_each(|inner| inner.names(plant, noted)),
        }
    }

    /// Whether it is so where these names are true.
    pub fn holds(&self, plant: &Plant, names: &NameSet) -> bool {
        match self {
            Self::Name(name) => names.contains(*name),
            Self::When(when) => plant.conditions[*when as usize].holds(names),
            Self::Not(inner) => !inner.holds(plant, names),
            Self::All(all) => all.iter().all(|inner| inner.holds(plant, names)),
            Self::Any(any) => any.iter().any(|inner| inner.holds(plant, names)),
        }
    }
}
