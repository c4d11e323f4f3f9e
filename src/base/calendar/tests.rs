//! Clock time to working seconds and back.

use super::*;

fn date(text: &str) -> Date {
    Date::parse(text).unwrap()
}

fn row(days: DayRule, hours: Option<(i64, i64)>, open: bool) -> CalendarRow {
    CalendarRow { days, hours: hours.map(|(start, end)| (start * 60, end * 60)), open }
}

const WORKDAYS: DayRule = DayRule::Weekdays(0b1_1111);

fn two_halves() -> Calendar {
    Calendar::new(&[row(WORKDAYS, Some((360, 600)), true), row(WORKDAYS, Some((630, 870)), true)])
}

#[test]
fn starts_is_the_latest_and_ends_the_earliest_moment() {
    let calendar = two_halves();
    let tuesday = date("2027-09-14");
    let origin = calendar.worked(tuesday.midnight());
    assert_eq!(calendar.starts(origin).to_string(), "2027-09-14T06:00:00");
    assert_eq!(calendar.ends(origin).to_string(), "2027-09-13T14:30:00");
    assert_eq!(calendar.starts(origin + 240 * 60).to_string(), "2027-09-14T10:30:00");
    assert_eq!(calendar.ends(origin + 240 * 60).to_string(), "2027-09-14T10:00:00");
    assert_eq!(calendar.starts(origin + 4 * 480 * 60).to_string(), "2027-09-20T06:00:00");
    assert_eq!(calendar.starts(origin - 1).to_string(), "2027-09-13T14:29:59");
}

#[test]
fn a_week_repeats_for_ever_in_both_directions() {
    let calendar = two_halves();
    for start in ["1999-06-15", "2150-03-04"] {
        let monday = monday_of(date(start));
        let work = calendar.worked(monday.midnight());
        assert_eq!(calendar.starts(work), Moment::at(monday, 6 * 3600));
        assert_eq!(calendar.worked(monday.plus(7).midnight()) - work, 5 * 8 * 3600);
    }
}

#[test]
fn a_dates_own_rows_replace_the_weekdays_and_breaks_are_taken_out() {
    let tuesday = DayRule::Dates(date("2027-09-14"), date("2027-09-14"));
    let closed = DayRule::Dates(date("2027-09-15"), date("2027-09-16"));
    let calendar = Calendar::new(&[
        row(WORKDAYS, Some((360, 870)), true),
        row(WORKDAYS, Some((600, 630)), false),
        row(tuesday, Some((480, 720)), true),
        row(closed, None, false),
    ]);
    let worked = |day: &str| calendar.worked(date(day).plus(1).midnight()) - calendar.worked(date(day).midnight());
    assert_eq!(worked("2027-09-13"), 480 * 60);
    assert_eq!(worked("2027-09-14"), 210 * 60);
    assert_eq!(worked("2027-09-15"), 0);
    assert_eq!(worked("2027-09-17"), 480 * 60);
    assert!(!calendar.open_on(date("2027-09-16")));
    assert_eq!(calendar.nth_open_day_after(date("2027-09-14"), 2), Some(date("2027-09-20")));
    assert_eq!(calendar.nth_open_day_after(date("2027-09-14"), 0), Some(date("2027-09-14")));
    // Wed and Thu are closed, Sat and Sun are.
    let days = ["2027-09-14", "2027-09-16", "2027-09-19"].map(date);
    assert_eq!(days.map(|day| calendar.open_day_by(day)), ["2027-09-14", "2027-09-14", "2027-09-17"].map(date));
    assert_eq!(days.map(|day| calendar.open_day_from(day)), ["2027-09-14", "2027-09-17", "2027-09-20"].map(date));
}

#[test]
fn a_night_shift_runs_into_the_next_day() {
    let calendar = Calendar::new(&[row(WORKDAYS, Some((22 * 60, 30 * 60)), true)]);
    let saturday = date("2027-09-18");
    assert_eq!(calendar.worked(saturday.plus(1).midnight()) - calendar.worked(saturday.midnight()), 6 * 3600);
    assert!(calendar.works_or_just_stopped(Moment::at(saturday, 6 * 3600)));
    assert!(!calendar.works_or_just_stopped(Moment::at(saturday, 6 * 3600 + 1)));
}

#[test]
fn dates_alone_come_to_an_end() {
    let calendar =
        Calendar::new(&[row(DayRule::Dates(date("2027-09-14"), date("2027-09-15")), Some((360, 420)), true)]);
    let work = calendar.worked(date("2027-09-14").midnight());
    assert_eq!(calendar.starts(work + 3600).to_string(), "2027-09-15T06:00:00");
    assert_eq!(calendar.starts(work + 7200), Moment::NEVER);
    assert_eq!(calendar.ends(work + 7200).to_string(), "2027-09-15T07:00:00");
    assert_eq!(calendar.starts(work - 1), Moment::BEFORE_ALL);
    assert!(calendar.works());
}

/// Source: numpy's business-day documentation (run): the first business day on or after 2011-10-01 is 2011-10-03, the
/// one before 2012-03-01 is 2012-02-29, and 2011-01 has 21 business days, 2011 has 260.
#[test]
fn business_days_agree_with_numpy() {
    let calendar = two_halves();
    let days = |from: &str, to: &str| {
        (calendar.worked(date(to).midnight()) - calendar.worked(date(from).midnight())) / (8 * 3600)
    };
    assert_eq!(calendar.starts(calendar.worked(date("2011-10-01").midnight())).date(), date("2011-10-03"));
    assert_eq!(calendar.ends(calendar.worked(date("2012-03-01").midnight())).date(), date("2012-02-29"));
    assert_eq!(days("2011-01-01", "2011-02-01"), 21);
    assert_eq!(days("2011-01-01", "2012-01-01"), 260);
    let wednesdays = Calendar::new(&[row(DayRule::Weekdays(0b100), Some((360, 870)), true)]);
    let first = wednesdays.worked(date("2011-01-01").midnight());
    assert_eq!(wednesdays.starts(first + 2 * 510 * 60).date(), date("2011-01-19"));
}
