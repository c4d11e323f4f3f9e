//! What everything else is made of: ids, exact numbers, local times, working calendars, places and findings.

mod broken;
mod calendar;
mod codes;
mod finding;
pub mod measures;
mod ids;
mod quantity;
mod ratio;
mod shown;
mod time;
mod total;

pub use broken::{Broken, MustBe, broken, numbered};
pub use calendar::{Calendar, CalendarRow, DayRule};
pub use codes::{StorageKey, fold, folded, nearest, storage_order};
pub(crate) use finding::kinds;
pub use finding::{Finding, Findings, Kind, Level, Place};
pub use ids::{CalendarId, ChangeId, DestId, FloorplanId, GroupId, LineId, NameId, OwnerId, PartId, ShopId, UnitId};
pub use quantity::{Quantity, add_equals};
pub use ratio::Ratio;
pub use shown::{Shown, count, reason};
pub use time::{Date, Moment, Seconds};
pub(crate) use time::{parse_time, parse_weekday};
pub use total::Total;
