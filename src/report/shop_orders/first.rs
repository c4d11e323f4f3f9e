//! The first sheet: all shops on one page, and what is wrong first.

use super::facts::{Facts, ShopFacts, count, minutes_up, whole_minutes};
use super::load::{self, missing};
use super::spare::Spare;
use super::standing::Standing;
use super::words;
use crate::base::ShopId;
use crate::plan::{Material, UnitState};
use crate::report::names::{dest_code, job_name};
use crate::report::sheet::{Column, Line, Look, Sheet, Show};
use crate::report::table::Value;
use itertools::Itertools;

const WIDTHS: [u16; 11] = [26, 12, 15, 11, 9, 11, 11, 13, 13, 14, 18];
const SHOPS: [Column; 11] = [
    Column { heading: "shop", show: Show::Wrapped },
    Column { heading: "jobs", show: Show::Whole },
    Column { heading: "to start by the day's end", show: Show::Whole },
    Column { heading: "begun", show: Show::Whole },
    Column { heading: "late", show: Show::Whole },
    Column { heading: "short of material", show: Show::Whole },
    Column { heading: "waiting for material", show: Show::Whole },
    Column { heading: "can lose at any time, min", show: Show::Whole },
    Column { heading: "can lose right now, min", show: Show::Whole },
    Column { heading: "extra crew-minutes needed", show: Show::Whole },
    Column { heading: "before", show: Show::Moment },
];
const WRONG: [Column; 7] = [
    Column { heading: "how it stands", show: Show::Wrapped },
    Column { heading: "at", show: Show::Text },
    Column { heading: "due", show: Show::Moment },
    Column { heading: "unit", show: Show::Text },
    Column { heading: "to", show: Show::Text },
    Column { heading: "what", show: Show::Text },
    Column { heading: "why", show: Show::Wrapped },
];
/// Over how many of the sheet's columns each of them reaches.
const WRONG_SPANS: [u16; 7] = [1, 1, 1, 1, 1, 2, 4];
/// Jobs listed on this page before the rest is only counted.
const LISTED: usize = 60;

/// A job that is late, short or waiting, and its shop.
struct Wrong {
    shop: ShopId,
    job: usize,
    standing: Standing,
}

/// The sheet.
pub fn sheet<'p>(facts: &Facts<'p>, name: String) -> Sheet<'p> {
    let plan = facts.plan;
    let shops = (0..plan.plant.shops.len()).map(|shop| facts.shop(ShopId::of(shop))).collect_vec();
    let wrong = wrong(facts, &shops);
    let mut sheet = Sheet::new(name, &WIDTHS);
    sheet.text(Look::Title, "Shop orders: what each feeder shop builds, and when");
    sheet.text(Look::Large, verdict(facts, &shops, &wrong));
    sheet.fact(Look::Plain, 1, "plant", super::plant_name(plan), Show::Text);
    sheet.fact(Look::Plain, 1, "day", plan.day.long(), Show::Text);
    sheet.fact(Look::Plain, 1, "as of", plan.plant.as_of.short(), Show::Text);
    sheet.fact(Look::Plain, 1, "the book", plan.plant.book.to_string(), Show::Text);
    sheet.fact(Look::Plain, 1, "the sequence ends", sequence_end(facts), Show::Text);
    sheet.fact(Look::Plain, 1, "in all", totals(facts, &shops), Show::Text);
    sheet.gap();
    sheet.text(Look::Section, "Shops");
    sheet.table(Some("shops".to_owned()), &SHOPS, shops.iter().map(|shop| shop_line(facts, shop)).collect());
    sheet.repeat = None;
    sheet.freeze = None;
    sheet.gap();
    what_is_wrong(facts, &wrong, &mut sheet);
    sheet.gap();
    sheet.paragraph(Look::Faint, words::SPARE);
    sheet.paragraph(Look::Faint, words::CREW_TIME);
    sheet.paragraph(Look::Faint, words::LIMITS);
    sheet
}

/// Late jobs by how late they are, then short ones and those waiting for material, by due.
fn wrong(facts: &Facts<'_>, shops: &[ShopFacts<'_>]) -> Vec<Wrong> {
    let mut wrong = Vec::new();
    for shop in shops {
        for &job in &shop.jobs {
            let standing = Standing::of(facts, shop, job);
            if standing.wrong() {
                wrong.push(Wrong { shop: shop.id, job, standing });
            }
        }
    }
    let short = |wrong: &Wrong| facts.plan.materials[wrong.job] == Material::Short;
    wrong.sort_by_key(|wrong| {
        let job = facts.job(wrong.job);
        (-wrong.standing.late, !short(wrong), job.need, job.owner, job.part, job.to)
    });
    wrong
}

/// One line for the day.
fn verdict(facts: &Facts<'_>, shops: &[ShopFacts<'_>], wrong: &[Wrong]) -> String {
    let end = facts.plan.day.plus(1).midnight();
    let by_end = |shop: &ShopFacts<'_>, at: usize| shop.starts(facts.job(at)) < end;
    let jobs = shops.iter().map(|shop| shop.jobs.iter().filter(|at| by_end(shop, **at)).count()).sum();
    let today = wrong.iter().filter(|wrong| by_end(&shops[wrong.shop.at()], wrong.job)).collect_vec();
    let late = today.iter().filter(|wrong| wrong.standing.late > 0).count();
    let short = today.iter().filter(|wrong| facts.plan.materials[wrong.job] == Material::Short).count();
    let waits = today.iter().filter(|wrong| matches!(facts.plan.materials[wrong.job], Material::Late(_))).count();
    let day = facts.plan.day.short();
    let jobs = count(jobs, "job");
    if today.is_empty() {
        return format!("{day}: {jobs}, none late, all material in time");
    }
    format!("{day}: {jobs}, {late} late, {short} short of material, {waits} waiting for it")
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
    let materials = shop.jobs.iter().map(|at| facts.plan.materials[*at]).collect_vec();
    let how_many = |is: fn(&Material) -> bool| materials.iter().filter(|material| is(material)).count() as i64;
    let (short, waits) = (how_many(|m| *m == Material::Short), how_many(|m| matches!(m, Material::Late(_))));
    let late = jobs.iter().filter(|job| job.available > job.need).count() as i64;
    let end = facts.plan.day.plus(1).midnight();
    let spare = Spare::of(&jobs, shop.now);
    let by_due = load::by_due(&jobs, shop.shop.crews, shop.now);
    let extra = missing(&by_due).map(|(_, most)| (minutes_up(most.missing()), shop.calendar.starts(most.due)));
    let values: Vec<Value<'p>> = vec![
        shop.dest.name.as_str().into(),
        (jobs.len() as i64).into(),
        (jobs.iter().filter(|job| shop.starts(job) < end).count() as i64).into(),
        how_many(|m| *m == Material::Issued).into(),
        late.into(),
        short.into(),
        waits.into(),
        spare.before_first_late().map(whole_minutes).into(),
        spare.now.map(|now| whole_minutes(now).max(0)).into(),
        extra.map_or(0, |(extra, _)| extra).into(),
        extra.map(|(_, before)| before).into(),
    ];
    (if late + short + waits > 0 || extra.is_some() { Look::Wrong } else { Look::Plain }, values)
}

/// Units set aside and held, then jobs: the table of what is wrong, as long as a page bears it.
fn what_is_wrong<'p>(facts: &Facts<'p>, wrong: &[Wrong], sheet: &mut Sheet<'p>) {
    let mut lines: Vec<Line<'p>> = Vec::new();
    for unit in &facts.plan.units {
        let row = &facts.plan.plant.units[unit.unit.at()];
        let (state, why) = match unit.state {
            UnitState::SetAside => ("set aside", "its order is wrong: it keeps its place, and nothing is built for it"),
            UnitState::Hold => ("hold", row.hold.as_deref().unwrap_or_default()),
            _ => continue,
        };
        lines.push((Look::Wrong, unit_line(facts, row, state, why)));
    }
    lines.sort_by_key(|line| line.1[0] == Value::from("hold"));
    let rest = wrong.len().saturating_sub(LISTED);
    lines.extend(wrong.iter().take(LISTED).map(|wrong| (Look::Wrong, job_line(facts, wrong))));
    sheet.text(Look::Section, "What is wrong first");
    if lines.is_empty() {
        sheet.text(Look::Plain, "No unit is set aside or held, no job is late, and all material is in time.");
        return;
    }
    let from = sheet.next_row();
    sheet.table(None, &WRONG, lines);
    super::spread(sheet, from, &WRONG_SPANS);
    if rest > 0 {
        sheet.text(Look::Strong, format!("and {rest} more jobs: see the sheets of the shops"));
    }
}

fn unit_line<'p>(facts: &Facts<'p>, row: &'p crate::check::Unit, state: &'static str, why: &'p str) -> Vec<Value<'p>> {
    vec![
        state.into(),
        facts.plan.plant.lines[row.line.at()].code.as_str().into(),
        Value::Blank,
        row.code.as_str().into(),
        Value::Blank,
        Value::Blank,
        why.into(),
    ]
}

fn job_line<'p>(facts: &Facts<'p>, wrong: &Wrong) -> Vec<Value<'p>> {
    let job = facts.job(wrong.job);
    let calendar = facts.plan.plant.calendar(facts.plan.plant.shop(job.shop).calendar);
    let state = if wrong.standing.late > 0 {
        format!("late {} min", wrong.standing.late)
    } else {
        wrong.standing.material.clone()
    };
    vec![
        state.into(),
        facts.plan.plant.shop_dest(job.shop).code.as_str().into(),
        calendar.starts(job.times.due).into(),
        facts.owner(job.owner).into(),
        dest_code(facts.plan, job.to).into(),
        job_name(facts.plan, job).into(),
        wrong.standing.why.clone().into(),
    ]
}
