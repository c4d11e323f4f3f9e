//! What a piece that is not there in time does to the line.

use crate::base::{Moment, Quantity};
use serde::Serialize;

/// What one piece of the part does.
#[derive(Debug, Serialize)]
pub struct EffectFacts {
    /// The station, or the shop whose job waits for it.
    pub to: String,
    /// Whether that is a shop.
    pub at_shop: bool,
    /// How much of the part.
    pub qty: Quantity,
    /// When the unit arrives where it, or what is made of it, is needed.
    pub arrives: Moment,
    /// When it is really there, late material of jobs below it counted; nothing where nothing says when.
    pub there: Option<Moment>,
    /// `special run`, `can follow` or `stops the line`.
    pub what: &'static str,
    /// The line's working minutes that it stops by itself, where that is known.
    pub stop_minutes: Option<i64>,
    /// The seconds by which it lengthens what the line loses, each date begun on its times; nothing at a shop.
    pub adds_seconds: Option<i64>,
    /// Whose piece the line waits for already where it adds nothing.
    pub behind: Option<String>,
    /// The last moment at which it may be there without stopping the line.
    pub saves_until: Option<Moment>,
    /// The station at which it is handed over; nothing where no time is known, or the unit has left its line by then.
    pub hand_over_at: Option<String>,
    /// At a station: the last one at which it could be fitted, where the unit has left that already.
    pub left: Option<String>,
    /// Material of jobs that makes the same unit stop as long: `CTP-18-MO-01 at CABSHOP`.
    pub because: Vec<String>,
}
