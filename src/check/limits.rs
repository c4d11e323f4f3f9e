//! How much a plan can hold: generous for any real plant, and small enough that no book makes the program slow or huge.
//!
//! All limits of numbers and lists stand here, but for those of files, which stand in `book/guard.rs`.

use crate::base::{Quantity, Seconds};

/// What a book has of one part and asks of it, all added up, is below this: so is every sum of its quantities, and each fits
/// in a decimal of 18 digits.
pub const MOST_OF_A_PART: Quantity = Quantity::from_millionths(1_000_000_000_000_000_000);

/// The longest lead time, cover or wait for an overdue receipt: ten years of days.
pub const MOST_DAYS: i64 = 3_660;

/// The most units of a floorplan that a row of Forecast says.
pub const MOST_FORECAST: i64 = 100_000;

/// The most crews of a shop.
pub const MOST_CREWS: i64 = 10_000;

/// The most positions of a line.
pub const MOST_POSITIONS: i64 = 10_000;

/// The most moves left empty before a unit.
pub const MOST_GAP: i64 = 100_000;

/// The most delivery runs of a day.
pub const MOST_WAVES: usize = 100;

/// The most working intervals and breaks of a calendar from its first date to its last, each counted on each of its days.
pub const MOST_CALENDAR_DAYS: usize = 2_000_000;

/// The most bill lines below one floorplan or part, each counted wherever it is used.
pub const MOST_PATHS: u64 = 1_000_000;

/// The most bill lines below all floorplans together, each counted wherever it is used: about 90 bytes each.
pub const MOST_PATHS_IN_ALL: u64 = 5_000_000;

/// The most bits for conditions and units: one for each condition (and each set of them that stands on one path), option,
/// floorplan, series, line or change, and each unit. Eight make a byte.
pub const MOST_TRUTHS: u64 = 8_000_000_000;

/// The most floorplans times options: a byte each.
pub const MOST_OFFERS: u64 = 100_000_000;

/// The most places and owners, one for each station or shop and each unit: twelve bytes each.
pub const MOST_SLOTS: u64 = 100_000_000;

/// The most jobs of all shops: about 250 bytes each.
pub const MOST_JOBS: usize = 4_000_000;

/// The most parts in the lists of what is below different jobs, all lists together: sixteen bytes each.
pub const MOST_BELOW_JOBS: usize = 40_000_000;

/// The most demands for bought parts: about twelve bytes each.
pub const MOST_DEMANDS: u64 = 250_000_000;

/// The longest job: four hundred years of working seconds, as long as a plan may reach.
pub const LONGEST_JOB: Seconds = 400 * 366 * 86_400;

/// The least and the most kilograms that a finished unit can weigh: grams or tons in a column of kilograms lie outside.
pub const LIGHTEST: Quantity = Quantity::whole(10);
/// In kilograms: the most that one of a part may weigh.
pub const HEAVIEST: Quantity = Quantity::whole(100_000);
