//! A shop's first page: how it stands, what is wrong and what that costs the line, what is not there, and what a crew less does.

use super::super::weight;
use super::cover::JobMaterial;
use super::facts::{Facts, ShopFacts};
use super::load;
use super::spare::Spare;
use super::standing::{self, Counts, Standing};
use super::words;
use crate::base::{Moment, OwnerId, PartId, Quantity, count};
use crate::netting::Demand;
use crate::plan::{Late, There};
use crate::report::limits::WORST;
use crate::report::line_words;
use crate::report::listing::{listing, widths};
use crate::report::names::{dest_code, job_name};
use crate::report::prose::few;
use crate::report::sheet::{Look, Paper, Sheet};
use crate::report::table::Value;
use itertools::Itertools;
use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet};

/// So many units are named that wait for a part.
const MOST_UNITS: usize = 6;
/// Over how many columns of the jobs above them those of the material reach.
const SPANS: [u16; 6] = [2, 1, 1, 1, 1, 2];

pub fn sheet<'p>(facts: &Facts<'p>, shop: &ShopFacts<'p>, name: String) -> Sheet<'p> {
    let mut sheet = Sheet::new(name, &widths::<WrongFirst>());
    sheet.paper = Paper::OnePage;
    sheet.text(Look::Title, format!("{}: {}", shop.dest.name, facts.plan.day.long()));
    sheet.text(Look::Plain, format!("{}; {}", super::foot(facts.plan), words::shop(shop)));
    let days = shop.days(facts);
    let soon = shop.jobs.iter().copied().filter(|at| days.contains(&shop.day_of(facts, *at))).collect_vec();
    let of_day = soon.iter().filter(|at| shop.day_of(facts, **at) <= facts.plan.day).count();
    let counts = Counts::of(facts, soon.iter().copied());
    let told = format!(
        "{} by the end of the day, {} by the end of {}: {}.",
        count(of_day, "job", "jobs"),
        soon.len(),
        days.last().map(|day| day.short()).unwrap_or_default(),
        counts.words()
    );
    sheet.paragraph(if counts.wrong() { Look::Wrong } else { Look::Strong }, told);
    let timed = shop.timed(facts);
    sheet.paragraph(Look::Strong, words::can_lose(facts.plan, shop, &Spare::of(&timed, shop.now)));
    sheet.paragraph(Look::Strong, words::crew_time(shop, &load::by_due(&timed, shop.shop.crews, shop.now)));
    put_wrong(facts, shop, &soon, &mut sheet);
    put_missing(facts, &soon, &mut sheet);
    super::crew_less::put(&mut sheet, facts, shop);
    sheet.gap();
    [words::TAKE_THE_LOWEST, words::HOW_TO_READ, words::LIMITS, line_words::NOT_A_FORECAST].into_iter().for_each(
        |text| {
            sheet.paragraph(Look::Faint, text);
        },
    );
    sheet.repeat = None;
    sheet.freeze = None;
    sheet
}

/// The worst jobs, those with no known end first, then those that are latest.
fn put_wrong<'p>(facts: &Facts<'p>, shop: &ShopFacts<'p>, soon: &[usize], sheet: &mut Sheet<'p>) {
    let wrong = soon.iter().copied().filter(|at| standing::wrong(facts, *at));
    let wrong = wrong.sorted_by_key(|at| (Reverse(facts.plan.job_late(*at)), facts.job(*at).need, *at)).collect_vec();
    sheet.gap().text(Look::Section, "What is wrong first");
    if wrong.is_empty() {
        sheet.text(Look::Plain, "No job is late, and all material is in time.");
        return;
    }
    let lines = wrong.iter().take(WORST).map(|at| wrong_line(facts, shop, *at, &Standing::of(facts, shop, *at)));
    sheet.table(None, lines.collect());
    more(sheet, wrong.len(), ["job", "jobs"]);
}

/// What some of the jobs take and what is not there in time, by need.
fn put_missing<'p>(facts: &Facts<'p>, soon: &[usize], sheet: &mut Sheet<'p>) {
    let mut parts: BTreeMap<PartId, Missing> = BTreeMap::new();
    // Jobs of a unit that start at once share a demand.
    let mut told: BTreeSet<(PartId, OwnerId, Moment)> = BTreeSet::new();
    for at in soon {
        let pieces = facts.of_day.of_job(facts.plan, facts.job(*at)).into_iter();
        for piece in pieces.filter(|piece| piece.late(facts.plan) != Late::InTime) {
            let Demand { part, owner, need, .. } = piece.demand;
            if told.insert((part, owner, need)) {
                parts.entry(part).or_default().add(facts, piece);
            }
        }
    }
    let missing = parts.into_iter().sorted_by_key(|(part, missing)| (missing.first, *part)).collect_vec();
    sheet.gap().text(Look::Section, "Material that is not there");
    if missing.is_empty() {
        sheet.text(Look::Plain, "All of it is there when it is needed.");
        return;
    }
    let from = sheet.next_row();
    sheet.table(None, missing.iter().take(WORST).map(|(part, missing)| missing_line(facts, *part, missing)).collect());
    super::spread(sheet, from, &SPANS);
    more(sheet, missing.len(), ["part", "parts"]);
}

/// How many more there are than are listed, and where.
fn more(sheet: &mut Sheet<'_>, all: usize, [one, many]: [&str; 2]) {
    let more = all.saturating_sub(WORST);
    if more > 0 {
        sheet.text(Look::Strong, format!("and {} more: on the build order", count(more, one, many)));
    }
}

/// Pieces of a part that are not there when they are needed.
#[derive(Default)]
struct Missing {
    qty: Quantity,
    /// The most of it for one unit at once.
    most: Quantity,
    /// The first moment at which one is needed.
    first: Option<Moment>,
    /// When the last is there; `None` before there is any.
    there: Option<There>,
    units: Vec<String>,
}

impl Missing {
    fn add(&mut self, facts: &Facts<'_>, piece: &JobMaterial) {
        let late = |peg: &&crate::netting::Peg| facts.plan.piece_late(&piece.demand, peg) != Late::InTime;
        let pegs = || piece.pegs.iter().filter(late);
        let unit = facts.owner(piece.demand.owner).to_owned();
        let need = piece.demand.need;
        let qty = pegs().map(|peg| peg.qty).sum::<Quantity>();
        self.qty += qty;
        self.most = self.most.max(qty);
        self.first = Some(self.first.map_or(need, |first| first.min(need)));
        let there = pegs().filter_map(|peg| facts.plan.piece_there(&piece.demand, peg.cover, peg.available)).max();
        self.there = self.there.max(there);
        self.units.push(unit);
    }
}

listing! {
    /// A job that is late, or whose material is.
    WrongFirst: fn wrong_line<'p>(facts: &Facts<'p>, shop: &ShopFacts<'p>, at: usize, standing: &Standing) {
        let job = facts.job(at);
        let number = shop.jobs.iter().position(|other| *other == at).map_or(0, |at| at + 1);
        let state = match standing.late {
            Late::InTime => format!("in time; material {}", standing.material),
            late => late.words(),
        };
        let cost = facts.cost(at);
    }
    look: Look::Wrong;
    "no.", 5, Whole => number as i64;
    "start by", 16, Moment => if job.started { Value::from("begun") } else { shop.starts(job).into() };
    "what", 24, Wrapped => job_name(facts.plan, job);
    "to", 12, Text => dest_code(facts.plan, job.to);
    "needed", 16, Moment => job.need;
    "how it stands", 22, Wrapped => state;
    "costs the line", 24, Wrapped => cost;
    "why", 46, Wrapped => standing.why.clone();
}

listing! {
    /// A part of which some is not there in time.
    MissingMaterial: fn missing_line<'p>(facts: &Facts<'p>, part: PartId, missing: &Missing) {
        let part = facts.plan.plant.part(part);
        let units = missing.units.iter().unique().cloned();
    }
    look: Look::Wrong;
    "part", Text => part.code.as_str();
    "description", Wrapped => weight::marked(facts.plan.plant, part, missing.most);
    "qty", Text => format!("{} {}", weight::measured(part, missing.qty), part.uom);
    "first needed", Moment => missing.first;
    "all there", Text => match missing.there {
        Some(There::At(at)) => at.short(),
        _ => "no time known".to_owned(),
    };
    "for", Wrapped => few(units, MOST_UNITS);
}
