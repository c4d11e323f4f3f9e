//! Numbers, quantities and times as plain text, written a million times: the same as their `Display`.

use crate::base::{Date, Moment, MustBe};
use chrono::{Datelike, NaiveDate, Timelike};

/// A whole number.
pub fn push_whole(number: i64, text: &mut Vec<u8>) {
    if number < 0 {
        text.push(b'-');
    }
    push_digits(number.unsigned_abs(), 1, text);
}

/// A quantity of so many millionths, without trailing zeros.
pub fn push_quantity(millionths: i64, text: &mut Vec<u8>) {
    if millionths < 0 {
        text.push(b'-');
    }
    let (whole, rest) = (millionths.unsigned_abs() / 1_000_000, millionths.unsigned_abs() % 1_000_000);
    push_digits(whole, 1, text);
    if rest > 0 {
        text.push(b'.');
        push_digits(rest, 6, text);
        let zeros = text.iter().rev().take_while(|digit| **digit == b'0').count();
        text.truncate(text.len() - zeros);
    }
}

/// A date of so many days after 1970-01-01, as `YYYY-MM-DD`.
pub fn push_date(days: i64, text: &mut Vec<u8>) {
    push_day(Date::from_days(i32::try_from(days).must("a date is out of reach")).to_chrono(), text);
}

/// A moment of so many seconds after 1970-01-01 00:00, as `YYYY-MM-DDTHH:MM:SS`.
pub fn push_moment(seconds: i64, text: &mut Vec<u8>) {
    let moment = Moment::from_seconds(seconds).to_chrono();
    push_day(moment.date(), text);
    for (before, number) in [(b'T', moment.hour()), (b':', moment.minute()), (b':', moment.second())] {
        text.push(before);
        push_digits(number.into(), 2, text);
    }
}

fn push_day(day: NaiveDate, text: &mut Vec<u8>) {
    match u64::try_from(day.year()) {
        Ok(year) if year < 10_000 => push_digits(year, 4, text),
        // Further years have a sign.
        _ => text.extend_from_slice(day.format("%Y").to_string().as_bytes()),
    }
    for number in [day.month(), day.day()] {
        text.push(b'-');
        push_digits(number.into(), 2, text);
    }
}

/// A number in so many digits at least.
fn push_digits(mut number: u64, least: usize, text: &mut Vec<u8>) {
    let mut room = [b'0'; 20];
    let mut first = room.len();
    while number > 0 {
        first -= 1;
        room[first] = b'0' + (number % 10) as u8;
        number /= 10;
    }
    text.extend_from_slice(&room[first.min(room.len() - least)..]);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::base::Quantity;

    fn shown(push: impl Fn(i64, &mut Vec<u8>), number: i64) -> String {
        let mut text = Vec::new();
        push(number, &mut text);
        String::from_utf8(text).unwrap()
    }

    #[test]
    fn everything_reads_as_it_is_displayed() {
        let mut random = fastrand::Rng::with_seed(3);
        let edges = [0, 1, -1, 9, 10, 999_999, 1_000_000, -1_000_000, 10_500_000, i64::MAX, i64::MIN, i64::MIN / 4];
        let of_all_sizes = (0..20_000).map(|_| random.i64(..) >> random.u32(..64));
        for number in edges.into_iter().chain(of_all_sizes) {
            assert_eq!(shown(push_whole, number), number.to_string());
            assert_eq!(shown(push_quantity, number), Quantity::from_millionths(number).to_string());
            // As far as the calendar library reaches: a quarter of a million years.
            let seconds = number % 8_000_000_000_000;
            assert_eq!(shown(push_moment, seconds), Moment::from_seconds(seconds).to_string());
            let days = number % 90_000_000;
            assert_eq!(shown(push_date, days), Date::from_days(days as i32).to_string());
        }
    }
}
