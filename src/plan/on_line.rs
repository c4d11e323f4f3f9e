//! When a piece comes to a unit on its line, and what it does there.

use super::Settled;
use super::consequences::{Consequence, Outcome};
use super::delays::There;
use crate::base::{DestId, LineId, Moment, OwnerId, PartId, Quantity, Seconds, UnitId};
use crate::check::{DestKind, Plant};
use crate::line::Pace;
use crate::netting::Demand;
use std::cmp::Reverse;

/// A plant and the pace of its lines: all that pieces at stations are judged by.
#[derive(Clone, Copy)]
pub(super) struct OnLine<'p> {
    pub(super) plant: &'p Plant,
    pub(super) pace: &'p Pace,
}

impl Settled<'_> {
    /// The plant with the pace of its lines.
    pub(super) fn on_line(&self) -> OnLine<'_> {
        OnLine { plant: self.plant, pace: &self.pace }
    }
}

impl OnLine<'_> {
    /// The unit of an owner that is on the plan.
    pub(super) fn unit(self, owner: OwnerId) -> Option<UnitId> {
        let owner = &self.pace.owners[owner.at()];
        owner.unit.filter(|_| owner.planned)
    }

    /// Until when a piece of a demand at a station may be there without stopping the line; `None` where it can't stop it.
    pub(super) fn until(self, demand: &Demand) -> Option<Moment> {
        let unit = self.unit(demand.owner)?;
        let (_, last, _) = self.positions(unit, demand.to, demand.part)?;
        let (arrives, leaves) = self.pace.stay(self.plant, unit, last)?;
        (leaves > self.plant.as_of).then(|| arrives.plus(-self.plant.hand_over))
    }

    /// The position at which a unit needs a piece, the last one at which it can be fitted, and the station there.
    pub(super) fn positions(self, unit: UnitId, to: DestId, part: PartId) -> Option<(u32, u32, DestId)> {
        let plant = self.plant;
        let line = plant.units[unit.at()].line;
        let position = |dest: DestId| match plant.dest(dest).what {
            DestKind::Station { line: own, position, .. } if own == line => Some(position),
            _ => None,
        };
        let own = position(to)?;
        let fit_by = plant.part(part).fit_by.filter(|station| position(*station) > Some(own)).unwrap_or(to);
        Some((own, position(fit_by)?, fit_by))
    }

    /// Whether a place is a station of a line.
    pub(super) fn is_station(self, to: DestId) -> bool {
        self.plant.position(to).is_some()
    }

    /// When the unit of an owner arrives at a station of its line and when it leaves it.
    pub(super) fn stay(self, owner: OwnerId, station: DestId) -> Option<(Moment, Moment)> {
        let DestKind::Station { line, position, .. } = self.plant.dest(station).what else { return None };
        let unit = self.unit(owner).filter(|unit| self.plant.units[unit.at()].line == line)?;
        self.pace.stay(self.plant, unit, position)
    }

    /// A line's working seconds before a moment.
    pub(super) fn worked(self, line: LineId, at: Moment) -> Seconds {
        self.plant.calendar(self.plant.lines[line.at()].calendar).worked(at)
    }

    /// When a unit arrives at a position.
    pub(super) fn arrives(self, unit: UnitId, position: u32) -> Option<Moment> {
        Some(self.pace.stay(self.plant, unit, position)?.0)
    }

    /// Whether a unit has left a position by now. The line waits for nothing that could be fitted no later than there.
    pub(super) fn has_left(self, unit: UnitId, position: u32) -> bool {
        self.pace.stay(self.plant, unit, position).is_some_and(|(_, leaves)| leaves <= self.plant.as_of)
    }

    /// Of some positions one behind the other the one at which a unit stands at a moment: the last that it has reached.
    fn standing_at(self, unit: UnitId, (first, last): (u32, u32), at: Moment) -> Option<u32> {
        let reached = |position: u32| self.arrives(unit, position).is_some_and(|arrives| arrives <= at);
        let (mut low, mut high) = (first, last);
        while low < high {
            let middle = high - (high - low) / 2;
            if reached(middle) { low = middle } else { high = middle - 1 }
        }
        Some(low).filter(|position| reached(*position))
    }

    /// The station at a position of a line, the first by code where several share it; where there is none, the last before it. With
    /// its own position.
    fn station_at(self, line: LineId, position: u32) -> Option<(u32, DestId)> {
        let of_line = |what: DestKind| match what {
            DestKind::Station { line: own, position: at, .. } if own == line && at <= position => Some(at),
            _ => None,
        };
        let stations =
            self.plant.dests.iter().enumerate().filter_map(|(i, dest)| Some((of_line(dest.what)?, Reverse(i))));
        stations.max().map(|(at, Reverse(i))| (at, DestId::of(i)))
    }
}

/// What a piece that is there at some moment does to a unit.
#[derive(Clone, Copy, Debug)]
pub(super) struct Effect {
    /// When the unit arrives at the station.
    pub(super) arrives: Moment,
    /// What it does.
    pub(super) outcome: Outcome,
    /// The line's working minutes that it stops, where that is known.
    pub(super) stop: Option<i64>,
    /// Until when it saves the line.
    pub(super) saves_until: Option<Moment>,
    /// The station at which it is handed over.
    pub(super) hand_over_at: Option<DestId>,
}

impl Effect {
    /// Of a piece for a station; `None` for who is not on its line.
    pub(super) fn of(on: OnLine<'_>, unit: UnitId, to: DestId, part: PartId, there: There) -> Option<Self> {
        let plant = on.plant;
        let line = plant.units[unit.at()].line;
        let (own, last, fit_by) = on.positions(unit, to, part)?;
        let (latest, leaves) = on.pace.stay(plant, unit, last)?;
        let arrives = if own == last { latest } else { on.arrives(unit, own)? };
        let left = leaves <= plant.as_of;
        let late = if left { Outcome::CanFollow } else { Outcome::StopsTheLine };
        let saves_until = (!left).then(|| latest.plus(-plant.hand_over));
        let There::At(there) = there else {
            return Some(Self { arrives, outcome: late, stop: None, saves_until, hand_over_at: None });
        };
        let handed = Moment::from_seconds(there.seconds() + plant.hand_over);
        // A station of its own before others at the same position.
        let station = |position: u32| match on.station_at(line, position)? {
            (at, _) if at == own => Some(to),
            (at, _) if at == last => Some(fit_by),
            (_, other) => Some(other),
        };
        let (outcome, stop, hand_over_at) = if handed <= arrives {
            (Outcome::SpecialRun, None, Some(to))
        } else if handed <= latest {
            let at = on.standing_at(unit, (own, last), handed)?;
            (Outcome::CanFollow, None, station(at))
        } else if left {
            let end = plant.lines[line.at()].positions;
            let on_line = on.pace.leaves_line(plant, unit)? > handed;
            let at = on_line.then(|| on.standing_at(unit, (last, end), handed)).flatten();
            (Outcome::CanFollow, None, at.and_then(station))
        } else {
            let seconds = on.worked(line, handed) - on.worked(line, latest);
            (Outcome::StopsTheLine, Some(minutes(seconds)), Some(fit_by))
        };
        Some(Self { arrives, outcome, stop, saves_until, hand_over_at })
    }

    /// As the consequence of a piece of a demand.
    pub(super) fn row(self, demand: &Demand, qty: Quantity, there: There) -> Consequence {
        let Self { arrives, outcome, stop, saves_until, hand_over_at } = self;
        let (owner, part, to) = (demand.owner, demand.part, demand.to);
        Consequence { owner, part, to, qty, arrives, there, outcome, stop_minutes: stop, saves_until, hand_over_at }
    }
}

/// Seconds as minutes, rounded up.
pub(super) fn minutes(seconds: Seconds) -> i64 {
    (seconds + 59).div_euclid(60)
}
