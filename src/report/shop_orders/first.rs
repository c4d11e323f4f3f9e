//! The first sheet: all shops on one page, and what is wrong first.

use super::facts::{Facts, ShopFacts, count, minutes_up, whole_minutes};
use super::load::{self, missing};
use super::spare::Spare;
use super::standing::Counts;
use super::words;
use super::wrong::{self, Wrong};
use crate::base::ShopId;
use crate::plan::UnitState;
use crate::report::line_words;
use crate::report::sheet::{Column, Line, Look, Sheet, Show};
use crate::report::table::Value;
use itertools::Itertools;

const WIDTHS: [u16; 11] = [24, 11, 16, 10, 12, 11, 11, 14, 14, 16, 16];
const SHOPS: [Column; 11] = [
    Column { heading: "shop", show: Show::Wrapped },
    Column { heading: "jobs", show: Show::Whole },
    Column { heading: "to start by the day's end", show: Show::Whole },
    Column { heading: "begun", show: Show::Whole },
    Column { heading: "late", show: Show::Whole },
    Column { heading: "of them no time known", show: Show::Whole },
    Column { heading: "in time, material late", show: Show::Whole },
    Column { heading: "can lose at any time, min", show: Show::Whole },
    Column { heading: "can lose right now, min", show: Show::Whole },
    Column { heading: "extra crew-minutes needed", show: Show::Whole },
    Column { heading: "before", show: Show::Moment },
];
/// The sheet.
pub fn sheet<'p>(facts: &Facts<'p>, name: String) -> Sheet<'p> {
    let plan = facts.plan;
    let shops = (0..plan.plant.shops.len()).map(|shop| facts.shop(ShopId::of(shop))).collect_vec();
    let wrong = wrong::all(facts, &shops);
    let mut sheet = Sheet::new(name, &WIDTHS);
    sheet.text(Look::Title, "Shop orders: what each feeder shop builds, and when");
    sheet.text(Look::Large, verdict(facts, &shops, &wrong));
    sheet.fact(Look::Plain, 1, "plant", super::plant_name(plan), Show::Text);
    sheet.fact(Look::Plain, 1, "day", plan.day.long(), Show::Text);
    sheet.fact(Look::Plain, 1, "as of", plan.plant.as_of.short(), Show::Text);
    sheet.fact(Look::Plain, 1, "the book", plan.plant.book.to_string(), Show::Text);
    sheet.fact(Look::Plain, 1, "the sequence ends", sequence_end(facts), Show::Text);
    sheet.fact(Look::Plain, 1, "in all", totals(facts, &shops), Show::Text);
    line_words::put(&mut sheet, plan, 1);
    if !shops.is_empty() {
        sheet.gap();
        sheet.text(Look::Section, "Shops");
        sheet.table(Some("shops".to_owned()), &SHOPS, shops.iter().map(|shop| shop_line(facts, shop)).collect());
        sheet.repeat = None;
        sheet.freeze = None;
    }
    sheet.gap();
    wrong::table(facts, &wrong, &mut sheet);
    if !shops.is_empty() {
        sheet.gap();
        [words::SPARE, words::CREW_TIME, words::LIMITS].into_iter().for_each(|text| {
            sheet.paragraph(Look::Faint, text);
        });
    }
    sheet
}

/// One line for the day.
fn verdict(facts: &Facts<'_>, shops: &[ShopFacts<'_>], wrong: &[Wrong]) -> String {
    let end = facts.plan.day.plus(1).midnight();
    let by_end = |shop: &ShopFacts<'_>, at: usize| shop.starts(facts.job(at)) < end;
    let jobs = shops.iter().map(|shop| shop.jobs.iter().filter(|at| by_end(shop, **at)).count()).sum();
    let today = wrong.iter().filter(|wrong| by_end(&shops[wrong.shop.at()], wrong.job)).collect_vec();
    let counts = Counts::of(facts, today.iter().map(|wrong| wrong.job));
    let day = facts.plan.day.short();
    let jobs = count(jobs, "job");
    let set_aside = facts.plan.units.iter().filter(|unit| unit.state == UnitState::SetAside).count();
    let units = if set_aside > 0 { format!("; {} set aside", count(set_aside, "unit")) } else { String::new() };
    if shops.is_empty() {
        return format!("This book has no feeder shops{units}");
    }
    if !counts.wrong() {
        return format!("{day}: {jobs}, none late, all material in time{units}");
    }
    format!("{day}: {jobs}, {}{units}", counts.words())
}

fn sequence_end(facts: &Facts<'_>) -> String {
    let units = facts.plan.units.iter().filter_map(|unit| Some((unit.times?, unit)));
    let Some(((_, leaves), unit)) = units.max_by_key(|(times, unit)| (times.1, unit.unit)) else {
        return "no unit on the plan".to_owned();
    };
    format!("with unit {}, which leaves its line {}", facts.plan.plant.units[unit.unit.at()].code, leaves.short())
}

fn totals(facts: &Facts<'_>, shops: &[ShopFacts<'_>]) -> String {
    let load = facts.plan.jobs.iter().map(|job| job.times.length).sum();
    format!(
        "{}, {}, {} crew-minutes; {} on the plan",
        count(shops.len(), "shop"),
        count(facts.plan.jobs.len(), "job"),
        minutes_up(load),
        count(facts.plan.units.len(), "unit")
    )
}

fn shop_line<'p>(facts: &Facts<'p>, shop: &ShopFacts<'p>) -> Line<'p> {
    let jobs = shop.jobs.iter().map(|at| facts.job(*at)).collect_vec();
    let counts = Counts::of(facts, shop.jobs.iter().copied());
    let end = facts.plan.day.plus(1).midnight();
    let spare = Spare::of(&jobs, shop.now);
    let by_due = load::by_due(&jobs, shop.shop.crews, shop.now);
    let extra = missing(&by_due).map(|(_, most)| (minutes_up(most.missing()), shop.calendar.starts(most.due)));
    let whole = |count: usize| Value::from(i64::try_from(count).unwrap_or(i64::MAX));
    let values: Vec<Value<'p>> = vec![
        shop.dest.name.as_str().into(),
        (jobs.len() as i64).into(),
        (jobs.iter().filter(|job| shop.starts(job) < end).count() as i64).into(),
        whole(jobs.iter().filter(|job| job.started).count()),
        whole(counts.late),
        whole(counts.no_time),
        whole(counts.material_late),
        spare.before_first_late().map(whole_minutes).into(),
        spare.now.map(|now| whole_minutes(now).max(0)).into(),
        extra.map_or(0, |(extra, _)| extra).into(),
        extra.map(|(_, before)| before).into(),
    ];
    (if counts.wrong() || extra.is_some() { Look::Wrong } else { Look::Plain }, values)
}
