//! Where units are built and when: lines, stations, shops, their calendars' closed dates, and the runs that bring material.

use crate::base::{CalendarId, Date, DestId, LineId, Moment, NameId, Seconds, ShopId};

/// A stretch of time in which a shop has one crew less.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CrewLess {
    /// Where a crew is away.
    pub shop: ShopId,
    /// From when on.
    pub from: Moment,
    /// Until when.
    pub until: Moment,
}

/// A row of a calendar that closes dates for whole days.
#[derive(Clone, Copy, Debug)]
pub struct Closing {
    /// Whose dates are closed.
    pub calendar: CalendarId,
    /// From this date on.
    pub first: Date,
    /// Up to and with this date.
    pub last: Date,
    /// The row it stands on.
    pub row: u32,
}

/// A paced line.
#[derive(Clone, Debug)]
pub struct Line {
    /// Its code.
    pub code: String,
    /// Its name, or the code.
    pub name: String,
    /// Its calendar.
    pub calendar: CalendarId,
    /// When the last move was made.
    pub last_move: Option<Moment>,
    /// Takt from a date on, in order of date; never empty.
    pub takt: Vec<(Date, Seconds)>,
    /// How many positions it has: that of its last station.
    pub positions: u32,
    /// It as a name in expressions.
    pub as_name: NameId,
}

/// A station or a shop.
#[derive(Clone, Debug)]
pub struct Dest {
    /// Its code.
    pub code: String,
    /// Its name, or the code.
    pub name: String,
    /// Which of the two it is.
    pub what: DestKind,
}

/// A place material is delivered to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DestKind {
    /// A station of a line.
    Station {
        /// Whose station it is.
        line: LineId,
        /// The position on it, from 1.
        position: u32,
        /// How long before the unit arrives its material is wanted.
        ahead: Seconds,
    },
    /// A feeder shop.
    Shop(ShopId),
}

/// A feeder shop.
#[derive(Clone, Debug)]
pub struct Shop {
    /// It as a place of delivery.
    pub dest: DestId,
    /// Its calendar.
    pub calendar: CalendarId,
    /// How many jobs it works on at a time.
    pub crews: u32,
    /// From finish to the line, in its working seconds.
    pub transit: Seconds,
    /// How long before a job starts its material is wanted.
    pub ahead: Seconds,
}

/// A delivery run.
#[derive(Clone, Debug)]
pub struct Wave {
    /// Its code.
    pub code: String,
    /// When it leaves, in seconds after 00:00.
    pub time: Seconds,
    /// How long before that picking starts, in stores working time.
    pub pick: Seconds,
}

impl Closing {
    /// Its dates as a row of the calendar may have them.
    pub fn dates(&self) -> String {
        if self.first == self.last { self.first.to_string() } else { format!("{} to {}", self.first, self.last) }
    }
}
