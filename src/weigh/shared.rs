//! Options that some units share and others do not.

use crate::base::NameId;
use itertools::Itertools;

/// What the odd units of a floorplan share.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Shared {
    /// Options that each of them has, and none of the others, in code order.
    pub have: Vec<NameId>,
    /// Options that none of them has, and each of the others, in code order.
    pub lack: Vec<NameId>,
}

impl Shared {
    /// What units with these options share, against others; nothing where there are none of the one or of the other.
    pub fn of(these: &[&[NameId]], others: &[&[NameId]]) -> Self {
        if these.is_empty() || others.is_empty() {
            return Self::default();
        }
        Self { have: only_of(these, others), lack: only_of(others, these) }
    }
}

/// What all of the one have and none of the other.
fn only_of(these: &[&[NameId]], others: &[&[NameId]]) -> Vec<NameId> {
    let everywhere = |option: &&NameId| these.iter().all(|has| has.contains(option));
    let nowhere = |option: &&NameId| !others.iter().any(|has| has.contains(option));
    let of_first = these.iter().take(1).flat_map(|has| has.iter());
    of_first.filter(everywhere).filter(nowhere).copied().collect_vec()
}
