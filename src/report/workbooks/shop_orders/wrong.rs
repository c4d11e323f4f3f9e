//! What is wrong first: units set aside and held, jobs that are late, and those whose material is missing.

use super::facts::{Facts, ShopFacts};
use super::standing::{self, Standing};
use crate::base::{Moment, MustBe, ShopId};
use crate::plan::{Late, UnitState};
use crate::report::listing::{Line, listing};
use crate::report::names::{dest_code, job_name};
use crate::report::sheet::{Look, Sheet};
use crate::report::table::Value;
use std::cmp::Reverse;

/// Over how many of the sheet's columns each of them reaches.
const SPANS: [u16; 7] = [1, 1, 1, 1, 1, 2, 4];
/// Jobs listed on this page before the rest is only counted.
const LISTED: usize = 10;

/// A job that is late, short of material or waiting for it.
pub struct Wrong {
    /// Its shop.
    pub shop: ShopId,
    /// It by its index.
    pub job: usize,
    /// How late what it builds is, its late material waited for.
    pub late: Late,
}

/// Late jobs, those with no time known first, then by how late they are; then those whose material alone is late, by need.
pub fn all(facts: &Facts<'_>, shops: &[ShopFacts<'_>]) -> Vec<Wrong> {
    let mut wrong = Vec::new();
    for shop in shops {
        for &job in &shop.jobs {
            if standing::wrong(facts, job) {
                wrong.push(Wrong { shop: shop.id, job, late: facts.plan.job_late(job) });
            }
        }
    }
    wrong.sort_by_key(|wrong| {
        let job = facts.job(wrong.job);
        (Reverse(wrong.late), job.need, job.owner, job.part, job.to)
    });
    wrong
}

/// Units set aside and held, then jobs: the table of what is wrong, as long as a page bears it.
pub fn table<'p>(facts: &Facts<'p>, wrong: &[Wrong], sheet: &mut Sheet<'p>) {
    let mut lines: Vec<Line<'p, WrongFirst>> = Vec::new();
    for unit in &facts.plan.units {
        let row = &facts.plan.plant.units[unit.unit.at()];
        let (state, why) = match unit.state {
            UnitState::SetAside => ("set aside", "its order is wrong: it keeps its place, and nothing is built for it"),
            UnitState::Hold => ("hold", row.hold.as_deref().must("what is on hold has no reason")),
            _ => continue,
        };
        lines.push(unit_line(facts, row, state, why));
    }
    lines.sort_by_key(|line| line.values()[0] == Value::from("hold"));
    let rest = wrong.len().saturating_sub(LISTED);
    lines.extend(wrong.iter().take(LISTED).map(|wrong| job_line(facts, wrong)));
    sheet.text(Look::Section, "What is wrong first");
    if lines.is_empty() {
        sheet.text(Look::Plain, "No unit is set aside or held, no job is late, and all material is in time.");
        return;
    }
    let from = sheet.next_row();
    sheet.table(None, lines);
    super::spread(sheet, from, &SPANS);
    if rest > 0 {
        sheet.text(Look::Strong, format!("and {rest} more jobs: see the sheets of the shops"));
    }
}

fn unit_line<'p>(facts: &Facts<'p>, row: &'p crate::check::Unit, state: &str, why: &'p str) -> Line<'p, WrongFirst> {
    let at = facts.plan.plant.lines[row.line.at()].code.as_str();
    told_line(state.to_owned(), at, None, &row.code, "", String::new(), why.to_owned())
}

fn job_line<'p>(facts: &Facts<'p>, wrong: &Wrong) -> Line<'p, WrongFirst> {
    let job = facts.job(wrong.job);
    let standing = Standing::of(facts, &facts.shop(wrong.shop), wrong.job);
    let calendar = facts.plan.plant.calendar(facts.plan.plant.shop(job.shop).calendar);
    let state = match standing.late {
        Late::InTime => format!("in time; material {}", standing.material),
        late => late.words(),
    };
    let at = facts.plan.plant.shop_dest(job.shop).code.as_str();
    let (due, to) = (calendar.starts(job.times.due), dest_code(facts.plan, job.to));
    told_line(state, at, Some(due), facts.owner(job.owner), to, job_name(facts.plan, job), standing.why)
}

listing! {
    /// A unit or a job that is wrong; what does not apply is blank.
    WrongFirst: fn told_line<'p>(state: String, at: &'p str, due: Option<Moment>, unit: &'p str, to: &'p str, what: String, why: String) {}
    look: Look::Wrong;
    "how it stands", Wrapped => state;
    "at", Text => at;
    "due", Moment => due;
    "unit", Text => unit;
    "to", Text => to;
    "what", Text => what;
    "why", Wrapped => why;
}
