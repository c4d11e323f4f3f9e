//! By-products that a shop gives or takes: free when, taken by whom, needed by when, and what is left between.

use super::super::weight;
use super::cover::material_need;
use super::facts::{Facts, ShopFacts, whole_minutes};
use crate::base::{Moment, OwnerId, PartId};
use crate::check::{DestKind, Source};
use crate::netting::{Cover, Demand, Peg};
use crate::plan::{Late, There};
use crate::report::listing::{Line, listing, widths};
use crate::report::names::{dest_code, job_name};
use crate::report::sheet::{Look, Sheet};
use itertools::Itertools;
use std::collections::BTreeMap;

/// Jobs by whom they are for and the by-product they give or take.
type Jobs = BTreeMap<(OwnerId, PartId), Vec<usize>>;

/// A line, with what it is put in order by and when the piece is there.
struct Row<'p> {
    key: (Moment, OwnerId, PartId),
    there: Option<Moment>,
    line: Line<'p, ByProducts>,
}

/// The sheets of the plan's day, on paper, and of later days, for the screen; each `None` where it would be empty. `name` is asked for
/// their names.
pub fn sheets<'p>(
    facts: &Facts<'p>,
    shop: &ShopFacts<'p>,
    mut name: impl FnMut(&str) -> String,
    table: &str,
) -> [Option<Sheet<'p>>; 2] {
    let end = facts.plan.day.plus(1).midnight();
    let of_day = |row: &Row<'_>| row.key.0 < end || row.there.is_some_and(|there| there < end);
    let (day, later): (Vec<_>, Vec<_>) = rows(facts, shop).into_iter().partition(of_day);
    let mut make = |rows: Vec<Row<'p>>, behind: &str, title: String, table: String| {
        // The name is taken though the sheet is not made, so that another shop of the same name has the same number on all of its sheets.
        let name = name(behind);
        (!rows.is_empty()).then(|| sheet(facts, shop, rows, name, title, table))
    };
    let on_paper = make(day, "by-products", facts.plan.day.long(), table.to_owned());
    let on_screen = make(later, "later pieces", "later days, for the screen".to_owned(), format!("{table}_later"));
    [on_paper, on_screen]
}

fn sheet<'p>(
    facts: &Facts<'p>,
    shop: &ShopFacts<'p>,
    rows: Vec<Row<'p>>,
    name: String,
    title: String,
    table: String,
) -> Sheet<'p> {
    let mut sheet = Sheet::new(name, &widths::<ByProducts>());
    sheet.text(Look::Title, format!("{}: by-products, {title}", shop.dest.name));
    sheet.text(Look::Plain, super::foot(facts.plan));
    let told = "Free at: when the piece is there, the way from the shop included. Must be there by: when its taker needs it. \
                Slack: this shop's working minutes between the two, rounded down. What nobody takes is not listed.";
    sheet.paragraph(Look::Plain, told);
    sheet.gap();
    sheet.table(Some(table), rows.into_iter().map(|row| row.line).collect());
    sheet
}

/// All pegs covered by a by-product that this shop gives or takes, by the moment it must be there, then unit and piece.
fn rows<'p>(facts: &Facts<'p>, shop: &ShopFacts<'p>) -> Vec<Row<'p>> {
    let plant = facts.plan.plant;
    let by_products =
        (0..plant.parts.len()).map(PartId::of).filter(|part| plant.part(*part).source == Source::ByProduct);
    let by_products = by_products.collect_vec();
    if by_products.is_empty() {
        return Vec::new();
    }
    let gives = jobs(facts, |job| job.below.gives.iter().map(|give| give.0).collect());
    let takes = jobs(facts, |job| job.below.needs.iter().map(|need| need.0).collect());
    let mut rows = Vec::new();
    for part in by_products {
        let pegged = facts.plan.made(part).pegged();
        for (demand, peg) in pegged.pieces().filter(|(_, peg)| peg.cover == Cover::ByProduct) {
            let key = (demand.owner, part);
            let givers = gives.get(&key).into_iter().flatten().copied();
            let givers = givers.filter(|at| Some(facts.job(*at).available) == peg.available).collect_vec();
            let given = givers.iter().any(|at| facts.job(*at).shop == shop.id);
            let taken = demand.to == shop.shop.dest;
            if given || taken {
                let takers = takes.get(&key).map_or(&[][..], Vec::as_slice);
                let line = line(facts, shop, (demand, peg), &givers, takers, given);
                let there = facts.plan.piece_there(demand, peg.cover, peg.available).and_then(There::moment);
                rows.push(Row { key: (demand.need, demand.owner, part), there, line });
            }
        }
    }
    rows.sort_by_key(|row| row.key);
    rows
}

fn jobs(facts: &Facts<'_>, parts: impl Fn(&crate::shops::Job) -> Vec<PartId>) -> Jobs {
    let mut found = Jobs::new();
    for (at, job) in facts.plan.jobs.iter().enumerate() {
        for part in parts(job).into_iter().filter(|part| facts.plan.plant.part(*part).source == Source::ByProduct) {
            found.entry((job.owner, part)).or_default().push(at);
        }
    }
    found
}

listing! {
    /// A piece that comes off a job or goes into one.
    ByProducts: fn line<'p>(facts: &Facts<'p>, shop: &ShopFacts<'p>, (demand, peg): (&Demand, &Peg), givers: &[usize], takers: &[usize], given: bool,) {
        let part = facts.plan.plant.part(demand.part);
        let there = facts.plan.piece_there(demand, peg.cover, peg.available).and_then(There::moment);
        let slack = there.map(|free| shop.calendar.worked(demand.need) - shop.calendar.worked(free));
        let late = facts.plan.piece_late(demand, peg);
        let state = if late > Late::InTime { late.words() } else { "in time".to_owned() };
    }
    look: if late > Late::InTime { Look::Wrong } else { Look::Plain };
    "here", 7, Text => if given { "given" } else { "taken" };
    "unit", 10, Text => facts.owner(demand.owner);
    "piece", 12, Text => part.code.as_str();
    "description", 34, Wrapped => weight::heavy_only(facts.plan.plant, part, peg.qty);
    "qty", 5, Quantity => weight::measured(part, peg.qty);
    "comes off", 20, Wrapped => giver(facts, givers, peg);
    "free at", 16, Moment => there;
    "taken by", 21, Wrapped => taker(facts, demand, takers);
    "must be there by", 16, Moment => demand.need;
    "slack, min", 7, Whole => slack.map(whole_minutes);
    "how it stands", 12, Wrapped => state;
}

/// The jobs it comes off; without one it comes off on the line or is there already.
fn giver(facts: &Facts<'_>, givers: &[usize], peg: &Peg) -> String {
    match givers {
        [] if peg.available == Some(facts.plan.plant.as_of) => "there already".to_owned(),
        [] => "the line".to_owned(),
        jobs => jobs.iter().map(|at| job_name(facts.plan, facts.job(*at))).join(", "),
    }
}

/// The job or station that takes it, with the shop's code.
fn taker(facts: &Facts<'_>, demand: &Demand, takers: &[usize]) -> String {
    let code = dest_code(facts.plan, demand.to);
    let DestKind::Shop(shop) = facts.plan.plant.dest(demand.to).what else { return code.to_owned() };
    let jobs = takers.iter().map(|at| facts.job(*at)).filter(|job| job.shop == shop && !job.started);
    let jobs = jobs.filter(|job| material_need(facts.plan, job) == demand.need);
    let names = jobs.map(|job| job_name(facts.plan, job)).join(", ");
    if names.is_empty() { code.to_owned() } else { names }
}
