//! How much a plan can hold: generous for any real plant, and small enough that no book makes the program slow or huge.

/// The longest lead time, cover or wait for an overdue receipt: ten years of days.
pub const MOST_DAYS: i64 = 3_660;

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
