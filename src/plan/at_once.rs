//! Hand-overs that are due at once: closer together than one takes, so that somebody must help, or one must be made before.
//!
//! Rule `outcomes`.

use super::{Consequence, Outcome, Plan};
use crate::base::{DestId, Moment, OwnerId};
use crate::check::DestKind;
use itertools::Itertools;

/// A hand-over: all that is handed over to a unit at a station by one moment.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct HandOver {
    /// The last moment at which it can be begun, so that the line waits for none of it.
    pub by: Moment,
    /// Whose material it is.
    pub owner: OwnerId,
    /// Where its unit stands then.
    pub at: DestId,
}

impl Plan<'_> {
    /// The hand-overs by hand, of pieces that miss their run and do not stop the line, that are due closer together than
    /// `hand over minutes`: in groups of two and more, each less than that behind the one before. Of the consequences that are kept.
    pub fn due_at_once(&self) -> Vec<Vec<HandOver>> {
        let takes = self.plant.hand_over;
        let due = self.effects.first.iter().filter_map(|row| self.hand_over(row)).sorted().dedup().collect_vec();
        // All of one unit at one station goes together.
        let due = due.into_iter().unique_by(|hand_over| (hand_over.owner, hand_over.at)).collect_vec();
        let close = |a: &HandOver, b: &HandOver| b.by.seconds() - a.by.seconds() < takes;
        due.chunk_by(close).filter(|group| group.len() > 1).map(<[HandOver]>::to_vec).collect()
    }

    /// The hand-over of a piece at a station: before its unit comes there or, where it can follow, as long as nothing stops.
    fn hand_over(&self, row: &Consequence) -> Option<HandOver> {
        let DestKind::Station { .. } = self.plant.dest(row.to).what else { return None };
        let by = match row.outcome {
            Outcome::SpecialRun => row.arrives.plus(-self.plant.hand_over),
            Outcome::CanFollow => row.saves_until?,
            Outcome::StopsTheLine => return None,
        };
        let at = row.hand_over_at.unwrap_or(row.to);
        (by >= self.plant.as_of).then_some(HandOver { by, owner: row.owner, at })
    }
}
