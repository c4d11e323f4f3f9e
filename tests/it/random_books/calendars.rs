//! The settings, calendars and waves of a random book.

use chrono::{Duration, NaiveDate};

use super::Writer;
use super::dice::Dice;
use super::sheet::Sheet;

/// What the rest of the book must know of its time.
pub struct Times {
    pub today: NaiveDate,
    /// The as-of moment in minutes after midnight.
    pub minute: i64,
    pub calendars: Vec<String>,
    /// Whether all that the book lacks is promised, at times that often are just those at which units arrive.
    pub promised: bool,
}

impl Times {
    /// A date so many days from the as-of date.
    pub fn date(&self, days: i64) -> String {
        (self.today + Duration::days(days)).to_string()
    }

    /// A date and time so many minutes from the as-of moment.
    pub fn moment(&self, minutes: i64) -> String {
        let midnight = self.today.and_hms_opt(0, 0, 0).expect("midnight");
        let moment = midnight + Duration::minutes(self.minute + minutes);
        moment.format("%Y-%m-%d %H:%M").to_string()
    }
}

pub fn write(dice: &mut Dice, book: &mut Writer) -> Times {
    let first = NaiveDate::from_ymd_opt(2027, 9, 6).expect("a date");
    let today = first + Duration::days(dice.between(0, 200));
    let hour = dice.pick(&[0, 3, 6, 6, 8, 9, 10, 11, 14, 14, 22]);
    let minute = if hour == 0 { 0 } else { hour * 60 + dice.pick(&[0, 0, 17, 30]) };
    let calendars = ["MAIN", "LATE", "SHOP-2", "STORES"].map(str::to_string).to_vec();
    let promised = dice.chance(40);
    let times = Times { today, minute, calendars, promised };
    write_calendars(dice, &times, book);
    write_waves(dice, book);
    write_settings(dice, &times, book);
    times
}

fn write_settings(dice: &mut Dice, times: &Times, book: &mut Writer) {
    let mut sheet = Sheet::new(&["key", "value"]);
    let as_of = if times.minute == 0 { times.date(0) } else { times.moment(0) };
    sheet.add(&[("key", "plant"), ("value", "Alder Fen Works")]);
    sheet.add(&[("key", "As of"), ("value", &as_of)]);
    if dice.chance(75) {
        let calendar = dice.spelled("STORES");
        sheet.add(&[("key", "stores calendar"), ("value", &calendar)]);
    }
    if dice.chance(70) {
        let time = dice.word(&["09:30", "06:00", "12:00", "24:00", "15:45"]);
        sheet.add(&[("key", "receipts at"), ("value", &time)]);
    }
    if dice.chance(60) {
        let days = dice.between(0, 3).to_string();
        sheet.add(&[("key", "overdue receipts"), ("value", &days)]);
    }
    if dice.chance(35) {
        let minutes = dice.between(-600, 1500);
        sheet.add(&[("key", "delivered to"), ("value", &times.moment(minutes))]);
    }
    if dice.chance(60) {
        let minutes = match times.promised {
            true => dice.word(&["0", "30", "60"]),
            false => dice.word(&["0", "0", "1", "10", "20", "30", "45.5", "0.25", "120", "600"]),
        };
        sheet.add(&[("key", "hand over minutes"), ("value", &minutes)]);
    }
    book.put("Settings", &sheet);
}

fn write_waves(dice: &mut Dice, book: &mut Writer) {
    let mut sheet = Sheet::new(&["wave", "time", "pick minutes"]);
    // 08:00 lies in the working time of every calendar that may be the stores'.
    let lists: [&[&str]; 5] = [
        &[],
        &["08:00"],
        &["06:00", "08:00", "11:00"],
        &["14:30", "08:00"],
        &["00:30", "08:00", "05:00", "12:15", "23:00"],
    ];
    for (number, time) in dice.pick(&lists).iter().enumerate() {
        let pick = if dice.chance(80) { dice.minutes(5, 120) } else { String::new() };
        let wave = format!("W{}", number + 1);
        sheet.add(&[("wave", &wave), ("time", time), ("pick minutes", &pick)]);
    }
    book.put("Waves", &sheet);
}

/// One row of the calendar table: its days, start, end and `open`.
type CalendarRow<'a> = (&'a str, &'a str, &'a str, &'a str);

/// Ways to work a week; each works on Wednesdays at 08:00.
const WEEKS: [&[CalendarRow]; 7] = [
    &[("Mon-Fri", "06:00", "10:00", ""), ("Mon-Fri", "10:30", "14:30", "")],
    &[("Mon-Thu", "06:00", "16:30", "yes"), ("Mon-Thu", "09:00", "09:15", "no"), ("Mon-Thu", "12:00", "12:30", "no")],
    &[("Mon-Fri", "22:00", "06:00", ""), ("Mon-Fri", "07:00", "15:00", ""), ("Tue-Sat", "01:45", "02:15", "no")],
    &[("Mon-Fri", "06:00", "12:00", ""), ("Mon-Fri", "10:00", "15:00", ""), ("Sat", "06:00", "11:00", "")],
    &[
        ("Mon", "05:00", "23:30", ""),
        ("Tue-Thu", "06:00", "22:00", ""),
        ("Fri", "06:00", "13:15", ""),
        ("Mon-Fri", "09:45", "10:00", "no"),
    ],
    &[("Mon-Fri", "06:00", "06:00", ""), ("Mon-Sun", "23:45", "00:20", "no"), ("Sun", "", "", "no")],
    &[("Mon-Fri", "07:30", "12:00:30", ""), ("Mon-Fri", "12:30", "16:00", ""), ("Wed", "15:00", "17:00", "no")],
];

fn write_calendars(dice: &mut Dice, times: &Times, book: &mut Writer) {
    let mut sheet = Sheet::new(&["calendar", "day", "start", "end", "open"]);
    for calendar in &times.calendars {
        for (day, start, end, open) in dice.pick(&WEEKS) {
            let (calendar, day) = (dice.spelled(calendar), day.to_string());
            sheet.add(&[("calendar", &calendar), ("day", &day), ("start", start), ("end", end), ("open", open)]);
        }
        write_dates(dice, times, calendar, &mut sheet);
    }
    book.put("Calendar", &sheet);
}

/// Single dates and ranges of dates, none of them twice.
fn write_dates(dice: &mut Dice, times: &Times, calendar: &str, sheet: &mut Sheet) {
    let mut day = dice.between(-4, 3);
    while day < 30 {
        let date = times.date(day);
        let mut add = |day: &str, start: &str, end: &str, open: &str| {
            sheet.add(&[("calendar", calendar), ("day", day), ("start", start), ("end", end), ("open", open)]);
        };
        match dice.between(1, 6) {
            1 => add(&date, "", "", dice.pick(&["no", ""])),
            2 => {
                add(&date, "07:00", "11:00", "yes");
                add(&date, "11:20", "13:00", "");
            }
            3 => add(&date, "10:45", "11:05", "no"),
            4 => add(&format!("{date} to {}", times.date(day + 2)), "", "", "no"),
            5 => add(&format!("{date} to {}", times.date(day + 1)), "21:00", "05:30", ""),
            _ => {
                add(&date, "06:00", "18:00", "");
                add(&date, "08:50", "09:10", "no");
            }
        }
        day += dice.between(3, 14);
    }
}
