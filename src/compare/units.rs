//! Units that came, went or changed.

use super::code::Code;
use super::rows::{PlanRows, UnitRow};
use super::side::by_side;
use crate::base::MustBe;
use serde::Serialize;
use std::collections::BTreeMap;

/// A unit that is not the same in both plans: all of its row, before and after.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct UnitChange {
    /// Its code, by which it is found in both plans.
    pub unit: Code,
    /// Options that it has now; not told where a plan says none, as of held units.
    pub options_came: Vec<Code>,
    /// Options that it had.
    pub options_went: Vec<Code>,
    /// As it was; none where it is new.
    pub old: Option<UnitRow>,
    /// As it is; none where it is gone.
    pub new: Option<UnitRow>,
}

impl UnitChange {
    /// Whether it enters or leaves at another time, or stands elsewhere in the order.
    pub fn moved(&self) -> bool {
        let place = |row: &UnitRow| (row.line.clone(), row.seq, row.enters, row.leaves);
        self.both().is_some_and(|(old, new)| place(old) != place(new))
    }

    /// Whether it stands another way: clear, late, short, held; or waits for something else.
    pub fn stands_otherwise(&self) -> bool {
        let standing = |row: &UnitRow| (row.status.clone(), row.first_part.clone(), row.clear_at);
        self.both().is_some_and(|(old, new)| standing(old) != standing(new))
    }

    /// Whether it is built otherwise: of another floorplan, or with other options.
    pub fn built_otherwise(&self) -> bool {
        let floorplan = self.both().is_some_and(|(old, new)| old.floorplan != new.floorplan);
        floorplan || !self.options_came.is_empty() || !self.options_went.is_empty()
    }

    /// Whether all that it needs comes or goes with it: new, gone, on or off hold.
    pub fn whole(&self) -> bool {
        self.both().is_none_or(|(old, new)| old.enters.is_none() != new.enters.is_none())
    }

    /// How much it is a cause of other changes rather than a consequence, the most first: new, gone, on or off hold, built
    /// otherwise, in another place of the order, standing otherwise, moved.
    pub fn weight(&self) -> usize {
        let Some((old, new)) = self.both() else { return usize::from(self.new.is_none()) };
        let tests = [
            self.whole(),
            self.built_otherwise(),
            (&old.line, old.seq) != (&new.line, new.seq),
            self.stands_otherwise(),
        ];
        2 + tests.iter().take_while(|test| !**test).count()
    }

    /// Its rows, where it stands in both plans.
    pub fn both(&self) -> Option<(&UnitRow, &UnitRow)> {
        self.old.as_ref().zip(self.new.as_ref())
    }
}

/// All units that are not the same in both: causes first, then in the order of their plan.
pub fn differ(old: &PlanRows, new: &PlanRows) -> Vec<UnitChange> {
    let of = |rows: &PlanRows| -> BTreeMap<Code, (usize, UnitRow)> {
        let rows = rows.units.iter().enumerate();
        rows.map(|(at, row)| (row.unit.clone(), (at, row.clone()))).collect()
    };
    let mut changes: Vec<(usize, UnitChange)> = Vec::new();
    for (unit, old, new) in by_side(of(old), of(new)) {
        let place = new.as_ref().or(old.as_ref()).map(|(at, _)| *at).must("a unit stands in neither plan");
        let (old, new) = (old.map(|(_, row)| row), new.map(|(_, row)| row));
        if old != new {
            let (came, went) = options(old.as_ref(), new.as_ref());
            changes.push((place, UnitChange { unit, options_came: came, options_went: went, old, new }));
        }
    }
    changes.sort_by_key(|(place, change)| (change.weight(), *place));
    changes.into_iter().map(|(_, change)| change).collect()
}

/// The options that came and those that went.
fn options(old: Option<&UnitRow>, new: Option<&UnitRow>) -> (Vec<Code>, Vec<Code>) {
    let told = |row: &UnitRow| !["hold", "set aside"].contains(&row.status.text());
    match (old.filter(|row| told(row)), new.filter(|row| told(row))) {
        (Some(old), Some(new)) => {
            let without = |these: &[Code], those: &[Code]| -> Vec<Code> {
                these.iter().filter(|option| !those.contains(option)).cloned().collect()
            };
            (without(&new.options, &old.options), without(&old.options, &new.options))
        }
        _ => Default::default(),
    }
}
