//! A trip as it is walked and as its kits are packed, worked out once for all sheets.

use super::day::{Day, Trip};
use super::kits::{self, Kit};
use super::walk::{self, Stop};
use super::walks::{self, Walk};
use crate::base::{DestId, OwnerId};
use crate::pulls::Pull;

/// A trip with its kits and its stops.
pub struct Tour<'a> {
    /// Its delivery run, or what is overdue.
    pub trip: &'a Trip,
    /// Its kits, in line order.
    pub kits: Vec<Kit<'a>>,
    /// Its stops, in walking order.
    pub stops: Vec<Stop<'a>>,
    /// Its walks, in the same order.
    pub walks: Vec<Walk<'a>>,
}

impl<'a> Tour<'a> {
    /// Of a trip of a day.
    pub fn of(day: &'a Day<'_>, trip: &'a Trip) -> Self {
        let (kits, stops) = rayon::join(|| kits::of_trip(day.plan, trip), || walk::stops(day, trip));
        let walks = walks::walks(day.plan, trip.run, &stops, &trip.picked);
        Self { trip, kits, stops, walks }
    }
}

/// What tells one kit of a run from another: where it goes, and whose it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct KitKey {
    /// The station or shop.
    pub to: DestId,
    /// Whose material it is.
    pub owner: OwnerId,
}

impl KitKey {
    /// The kit that a pull belongs to; bulk belongs to none.
    pub fn of(pull: &Pull) -> Option<Self> {
        pull.owner.map(|owner| Self { to: pull.to, owner })
    }
}
