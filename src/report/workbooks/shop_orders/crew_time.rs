//! A shop's crew arithmetic: load against crew time by day, with a chart, and by due.

use super::facts::{Facts, ShopFacts, minutes, minutes_up, whole_minutes};
use super::load::{self, ByDay, ByDue};
use super::spare::Spare;
use super::words;
use crate::base::Date;
use crate::report::listing::{Line, listing, widths};
use crate::report::sheet::{Chart, Look, Paper, Sheet};

/// So many days stand on the page.
const DAYS: usize = 20;
/// Rows that the chart covers.
const CHART_ROWS: u32 = 16;

pub fn sheet<'p>(facts: &Facts<'p>, shop: &ShopFacts<'p>, name: String, table: &str) -> Sheet<'p> {
    let mut sheet = Sheet::new(name, &widths::<LoadByDay>());
    let jobs = shop.timed(facts);
    let by_due = load::by_due(&jobs, shop.shop.crews, shop.now);
    sheet.text(Look::Title, format!("{}: load against crew time", shop.dest.name));
    sheet.text(Look::Plain, super::foot(facts.plan));
    sheet.text(Look::Plain, words::shop(shop));
    sheet.paragraph(Look::Strong, words::can_lose(facts.plan, shop, &Spare::of(&jobs, shop.now)));
    sheet.paragraph(Look::Strong, words::crew_time(shop, &by_due));
    sheet.paragraph(Look::Faint, words::LIMITS);
    days(shop, &load::by_day(shop, &jobs, facts.plan.plant.as_of.date()), &mut sheet, table);
    sheet.paragraph(Look::Faint, words::SPARE);
    sheet.paragraph(Look::Faint, words::CREW_TIME);
    sheet.repeat = None;
    sheet.freeze = None;
    sheet.paper = Paper::OnePage;
    sheet.fix_heights();
    sheet
}

/// The arithmetic by due, all of it: for the screen.
pub fn by_due<'p>(facts: &Facts<'p>, shop: &ShopFacts<'p>, name: String, table: &str) -> Sheet<'p> {
    let mut sheet = Sheet::new(name, &widths::<LoadByDue>());
    let rows = load::by_due(&shop.timed(facts), shop.shop.crews, shop.now);
    sheet.text(Look::Title, format!("{}: load against crew time by due, for the screen", shop.dest.name));
    sheet.text(Look::Plain, super::foot(facts.plan));
    sheet.paragraph(Look::Plain, words::crew_time(shop, &rows));
    sheet.paragraph(Look::Faint, words::CREW_TIME);
    sheet.gap();
    sheet.table(Some(format!("{table}_by_due")), rows.iter().map(|row| due_line(shop, row)).collect());
    sheet
}

/// The table by day and the chart below it.
fn days<'p>(shop: &ShopFacts<'_>, days: &std::collections::BTreeMap<Date, ByDay>, sheet: &mut Sheet<'p>, table: &str) {
    let (mut load, mut time) = (0, 0);
    let lines = days.iter().take(DAYS).map(|(date, day)| {
        load += day.load;
        time += day.time;
        day_line(*date, day, load, time)
    });
    let lines: Vec<Line<'p, LoadByDay>> = lines.collect();
    let count = lines.len() as u32;
    sheet.text(Look::Section, "By day: a job counts on the day on which its last minute before the due lies");
    sheet.table(Some(format!("{table}_by_day")), lines);
    sheet.gap();
    if count == 0 {
        return;
    }
    let last = sheet.next_row() - 2;
    let more = days.len().saturating_sub(DAYS);
    if more > 0 {
        sheet.text(Look::Strong, format!("and {more} days more: see the sheet 'by due'"));
    }
    sheet.charts.push(Chart {
        title: format!("{}: load against crew time by day", shop.dest.name),
        at: (sheet.next_row(), 0),
        rows: (last + 1 - count, last),
        categories: 0,
        series: vec![("load".to_owned(), 2), ("crew time".to_owned(), 3)],
        unit: "crew-minutes".to_owned(),
        size: (1100, CHART_ROWS * 20),
    });
    (0..CHART_ROWS).for_each(|_| {
        sheet.gap();
    });
}

listing! {
    /// The load of a day.
    LoadByDay: fn day_line<'p>(date: Date, day: &ByDay, load: i64, time: i64) {
        let extra = Some(minutes_up(load - time)).filter(|extra| *extra > 0);
    }
    look: look(extra.is_some() || day.tightest.is_some_and(|tightest| tightest < 0));
    "day", 20, Date => date;
    "jobs due", 12, Whole => day.jobs as i64;
    "load, min", 18, Minutes => minutes(day.load);
    "crew time, min", 18, Minutes => minutes(day.time);
    "load so far, min", 18, Minutes => minutes(load);
    "crew time so far, min", 18, Minutes => minutes(time);
    "left so far, min", 18, Minutes => minutes(time - load);
    "extra needed by its end, min", 18, Whole => extra;
    "tightest job can lose, min", 18, Whole => day.tightest.map(whole_minutes);
}

listing! {
    /// The load up to a due.
    LoadByDue: fn due_line<'p>(shop: &ShopFacts<'_>, row: &ByDue) {
        let extra = Some(minutes_up(row.missing())).filter(|extra| *extra > 0);
    }
    look: look(extra.is_some());
    "due", 18, Moment => shop.calendar.starts(row.due);
    "jobs", 8, Whole => row.jobs as i64;
    "load, min", 14, Minutes => minutes(row.load);
    "load so far, min", 16, Minutes => minutes(row.load_so_far);
    "crew time so far, min", 18, Minutes => minutes(row.time_so_far);
    "left, min", 14, Minutes => minutes(-row.missing());
    "extra needed before, min", 18, Whole => extra;
}

fn look(wrong: bool) -> Look {
    if wrong { Look::Wrong } else { Look::Plain }
}
