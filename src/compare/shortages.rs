//! Shortages that came and went: what nothing covers, and what comes too late.

use super::code::Code;
use super::rows::{PegRow, PlanRows};
use super::side::by_side;
use crate::base::{Moment, Quantity};
use serde::Serialize;
use std::collections::BTreeMap;

/// How something is missing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Missing {
    /// Nothing covers it.
    Short,
    /// It comes after it is needed.
    Late,
}

impl Missing {
    /// In a word.
    pub fn word(self) -> &'static str {
        match self {
            Self::Short => "short",
            Self::Late => "late",
        }
    }

    fn of(peg: &PegRow) -> Option<Self> {
        match (peg.cover.text(), peg.late_minutes) {
            ("none", _) => Some(Self::Short),
            (_, 0) => None,
            _ => Some(Self::Late),
        }
    }
}

/// How much of a part is missing for a unit, and how late the last of it is.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Lack {
    /// How much.
    pub qty: Quantity,
    /// When the first of it is needed.
    pub need: Option<Moment>,
    /// When the last of it comes; none where nothing covers it.
    pub comes: Option<Moment>,
    /// How many minutes late the latest piece is.
    pub late_minutes: i64,
}

/// A shortage that is not the same in both plans.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct ShortageChange {
    /// Who lacks it.
    pub unit: Code,
    /// What is lacked.
    pub part: Code,
    /// How it is missing.
    pub missing: Missing,
    /// As it was; none where it is new.
    pub old: Option<Lack>,
    /// As it is; none where it is gone.
    pub new: Option<Lack>,
}

impl ShortageChange {
    /// Whether it came, went, or changed, in a word.
    pub fn word(&self) -> &'static str {
        match (&self.old, &self.new) {
            (None, _) => "came",
            (_, None) => "went",
            (Some(old), Some(new)) => match (new.qty.cmp(&old.qty), new.late_minutes.cmp(&old.late_minutes)) {
                (std::cmp::Ordering::Greater, _) => "more",
                (std::cmp::Ordering::Less, _) => "less",
                (_, std::cmp::Ordering::Greater) => "later",
                (_, std::cmp::Ordering::Less) => "sooner",
                _ => "at another time",
            },
        }
    }
}

/// All shortages of which the quantity or the lateness is another: the short ones first, each by unit and part.
pub fn differ(old: &PlanRows, new: &PlanRows) -> Vec<ShortageChange> {
    let of = |rows: &PlanRows| {
        let mut lacks: BTreeMap<(Missing, Code, Code), Lack> = BTreeMap::new();
        for peg in &rows.pegs {
            let Some(missing) = Missing::of(peg) else { continue };
            let lack = lacks.entry((missing, peg.unit.clone(), peg.part.clone())).or_default();
            lack.qty += peg.qty;
            lack.need = Some(lack.need.map_or(peg.need, |need| need.min(peg.need)));
            lack.comes = lack.comes.max(peg.available);
            lack.late_minutes = lack.late_minutes.max(peg.late_minutes);
        }
        lacks
    };
    let same = |lack: &Option<Lack>| lack.as_ref().map(|lack| (lack.qty, lack.late_minutes));
    let pairs = by_side(of(old), of(new)).filter(|(_, old, new)| same(old) != same(new));
    pairs.map(|((missing, unit, part), old, new)| ShortageChange { unit, part, missing, old, new }).collect()
}
