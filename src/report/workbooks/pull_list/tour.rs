//! A trip as it is walked and as its kits are packed, worked out once for all sheets.

use super::day::{Day, Trip};
use super::kits::{self, Kit};
use super::walk::{self, Stop};

/// A trip with its kits and its stops.
pub struct Tour<'a> {
    /// The trip.
    pub trip: &'a Trip,
    /// Its kits, in line order.
    pub kits: Vec<Kit<'a>>,
    /// Its stops, in walking order.
    pub stops: Vec<Stop<'a>>,
}

impl<'a> Tour<'a> {
    /// Of a trip of a day.
    pub fn of(day: &'a Day<'_>, trip: &'a Trip) -> Self {
        let (kits, stops) = rayon::join(|| kits::of_trip(day.plan, trip), || walk::stops(day, trip));
        Self { trip, kits, stops }
    }
}
