//! Working days from the as-of date on: Monday to Friday, 480 minutes each.

use chrono::{Days, NaiveDate};

/// Working minutes of a day.
pub const DAY: i64 = 480;

/// The date of a working day; day 0 is the as-of date, a Monday.
pub fn date(day: i64) -> String {
    let start = NaiveDate::from_ymd_opt(2027, 9, 13).expect("a date");
    let plain = day.div_euclid(5) * 7 + day.rem_euclid(5);
    let date =
        if plain < 0 { start - Days::new(plain.unsigned_abs()) } else { start + Days::new(plain.unsigned_abs()) };
    date.format("%Y-%m-%d").to_string()
}
