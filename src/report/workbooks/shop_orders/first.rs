//! The first sheet: all shops on one page, and what is wrong first.

use super::facts::{Facts, ShopFacts, minutes_up, whole_minutes};
use super::load::{self, missing};
use super::spare::Spare;
use super::standing::Counts;
use super::words;
use super::wrong::{self, Wrong};
use crate::base::{ShopId, count};
use crate::plan::UnitState;
use crate::report::line_words;
use crate::report::listing::{listing, widths};
use crate::report::sheet::{Look, Paper, Sheet, Show};
use crate::report::table::Value;
use itertools::Itertools;

pub fn sheet<'p>(facts: &Facts<'p>, name: String) -> Sheet<'p> {
    let plan = facts.plan;
    let shops = (0..plan.plant.shops.len()).map(|shop| facts.shop(ShopId::of(shop))).collect_vec();
    let wrong = wrong::all(facts, &shops);
    let mut sheet = Sheet::new(name, &widths::<Shops>());
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
        sheet.table(Some("shops".to_owned()), shops.iter().map(|shop| shop_line(facts, shop)).collect());
        sheet.repeat = None;
        sheet.freeze = None;
    }
    sheet.gap();
    wrong::table(facts, &wrong, &mut sheet);
    line_words::of_the_book(&mut sheet, plan);
    if !shops.is_empty() {
        sheet.gap();
        [words::SPARE, words::CREW_TIME, words::LIMITS].into_iter().for_each(|text| {
            sheet.paragraph(Look::Faint, text);
        });
    }
    // However many shops and mistakes there are.
    sheet.paper = Paper::OnePage;
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
    let jobs = count(jobs, "job", "jobs");
    let set_aside = facts.plan.units.iter().filter(|unit| unit.state == UnitState::SetAside).count();
    let units =
        if set_aside > 0 { format!("; {} set aside", count(set_aside, "unit", "units")) } else { String::new() };
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
        count(shops.len(), "shop", "shops"),
        count(facts.plan.jobs.len(), "job", "jobs"),
        minutes_up(load),
        count(facts.plan.units.len(), "unit", "units")
    )
}

listing! {
    /// A shop, and how its jobs stand.
    Shops: fn shop_line<'p>(facts: &Facts<'p>, shop: &ShopFacts<'p>) {
        let jobs = shop.jobs.iter().map(|at| facts.job(*at)).collect_vec();
        let counts = Counts::of(facts, shop.jobs.iter().copied());
        let end = facts.plan.day.plus(1).midnight();
        let timed = shop.timed(facts);
        let spare = Spare::of(&timed, shop.now);
        let by_due = load::by_due(&timed, shop.shop.crews, shop.now);
        let extra = missing(&by_due).map(|(_, most)| (minutes_up(most.missing()), shop.calendar.starts(most.due)));
        let whole = |count: usize| Value::from(i64::try_from(count).unwrap_or(i64::MAX));
    }
    look: if counts.wrong() || extra.is_some() { Look::Wrong } else { Look::Plain };
    "shop", 24, Wrapped => shop.dest.name.as_str();
    "jobs", 11, Whole => jobs.len() as i64;
    "to start by the day's end", 16, Whole => jobs.iter().filter(|job| shop.starts(job) < end).count() as i64;
    "begun", 10, Whole => whole(jobs.iter().filter(|job| job.started).count());
    "late", 12, Whole => whole(counts.late);
    "of them no time known", 11, Whole => whole(counts.no_time);
    "in time, material late", 11, Whole => whole(counts.material_late);
    "can lose at any time, min", 14, Whole => spare.before_first_late().map(whole_minutes);
    "can lose right now, min", 14, Whole => spare.now.map(|now| whole_minutes(now).max(0));
    "extra crew-minutes needed", 16, Whole => extra.map_or(0, |(extra, _)| extra);
    "before", 16, Moment => extra.map(|(_, before)| before);
}
