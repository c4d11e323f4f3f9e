//! A shop's crew arithmetic: load against crew time by day, with a chart, and by due.

use super::facts::{Facts, ShopFacts, minutes, minutes_up, whole_minutes};
use super::load::{self, ByDay, ByDue};
use super::pages::keep_together;
use super::spare::Spare;
use super::words;
use crate::base::Date;
use crate::report::sheet::{Chart, Column, Line, Look, Sheet, Show};
use crate::report::table::Value;
use itertools::Itertools;

const SCALE: u16 = 75;
const WIDTHS: [u16; 9] = [20, 12, 18, 18, 18, 18, 18, 18, 18];
const BY_DAY: [Column; 9] = [
    Column { heading: "day", show: Show::Date },
    Column { heading: "jobs due", show: Show::Whole },
    Column { heading: "load, min", show: Show::Minutes },
    Column { heading: "crew time, min", show: Show::Minutes },
    Column { heading: "load so far, min", show: Show::Minutes },
    Column { heading: "crew time so far, min", show: Show::Minutes },
    Column { heading: "left so far, min", show: Show::Minutes },
    Column { heading: "extra needed by its end, min", show: Show::Whole },
    Column { heading: "tightest job can lose, min", show: Show::Whole },
];
const BY_DUE: [Column; 7] = [
    Column { heading: "due", show: Show::Moment },
    Column { heading: "jobs", show: Show::Whole },
    Column { heading: "load, min", show: Show::Minutes },
    Column { heading: "load so far, min", show: Show::Minutes },
    Column { heading: "crew time so far, min", show: Show::Minutes },
    Column { heading: "left, min", show: Show::Minutes },
    Column { heading: "extra needed before, min", show: Show::Whole },
];
/// Rows that the chart covers.
const CHART_ROWS: u32 = 16;

/// The sheet.
pub fn sheet<'p>(facts: &Facts<'p>, shop: &ShopFacts<'p>, name: String, table: &str) -> Sheet<'p> {
    let mut sheet = Sheet::new(name, &WIDTHS);
    let jobs = shop.jobs.iter().map(|at| facts.job(*at)).collect_vec();
    let by_due = load::by_due(&jobs, shop.shop.crews, shop.now);
    sheet.text(Look::Title, format!("{}: load against crew time", shop.dest.name));
    sheet.text(Look::Plain, super::foot(facts.plan));
    sheet.text(Look::Plain, words::shop(shop));
    sheet.paragraph(Look::Strong, words::can_lose(facts.plan, shop, &Spare::of(&jobs, shop.now)));
    sheet.paragraph(Look::Strong, words::crew_time(shop, &by_due));
    sheet.paragraph(Look::Faint, words::LIMITS);
    days(shop, &load::by_day(shop, &jobs, facts.plan.plant.as_of.date()), &mut sheet, table);
    let chart = sheet.charts.last().map_or(sheet.next_row(), |chart| chart.at.0);
    let definitions = sheet.next_row();
    sheet.paragraph(Look::Faint, words::SPARE);
    sheet.paragraph(Look::Faint, words::CREW_TIME);
    let section = sheet.next_row();
    sheet.text(Look::Section, "By due");
    sheet.table(Some(format!("{table}_by_due")), &BY_DUE, by_due.iter().map(|row| due_line(shop, row)).collect());
    // The longer table is the one that runs over pages.
    sheet.repeat = sheet.tables.last().map(|span| (span.heading, span.heading));
    sheet.freeze = None;
    let rows = section + 3..sheet.next_row();
    let starts = [chart, definitions].into_iter().chain(rows).dedup().collect_vec();
    keep_together(&mut sheet, SCALE, &starts, &[definitions]);
    sheet
}

/// The table by day and the chart below it.
fn days<'p>(shop: &ShopFacts<'_>, days: &std::collections::BTreeMap<Date, ByDay>, sheet: &mut Sheet<'p>, table: &str) {
    let (mut load, mut time) = (0, 0);
    let lines = days.iter().map(|(date, day)| {
        load += day.load;
        time += day.time;
        day_line(*date, day, load, time)
    });
    let lines: Vec<Line<'p>> = lines.collect();
    let count = lines.len() as u32;
    sheet.text(Look::Section, "By day: a job counts on the day on which its last minute before the due lies");
    sheet.table(Some(format!("{table}_by_day")), &BY_DAY, lines);
    sheet.gap();
    if count == 0 {
        return;
    }
    let last = sheet.next_row() - 2;
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

fn day_line<'p>(date: Date, day: &ByDay, load: i64, time: i64) -> Line<'p> {
    let extra = Some(minutes_up(load - time)).filter(|extra| *extra > 0);
    let values: Vec<Value<'p>> = vec![
        date.into(),
        (day.jobs as i64).into(),
        minutes(day.load).into(),
        minutes(day.time).into(),
        minutes(load).into(),
        minutes(time).into(),
        minutes(time - load).into(),
        extra.into(),
        day.tightest.map(whole_minutes).into(),
    ];
    (look(extra.is_some() || day.tightest.is_some_and(|tightest| tightest < 0)), values)
}

fn due_line<'p>(shop: &ShopFacts<'_>, row: &ByDue) -> Line<'p> {
    let extra = Some(minutes_up(row.missing())).filter(|extra| *extra > 0);
    let values: Vec<Value<'p>> = vec![
        shop.calendar.starts(row.due).into(),
        (row.jobs as i64).into(),
        minutes(row.load).into(),
        minutes(row.load_so_far).into(),
        minutes(row.time_so_far).into(),
        minutes(-row.missing()).into(),
        extra.into(),
    ];
    (look(extra.is_some()), values)
}

fn look(wrong: bool) -> Look {
    if wrong { Look::Wrong } else { Look::Plain }
}
