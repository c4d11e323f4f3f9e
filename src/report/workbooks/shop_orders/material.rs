//! A shop's material by job: what each job of the day needs, how it comes, and what is missing.

use super::cover::{JobMaterial, material_need};
use super::facts::{Facts, ShopFacts};
use super::pages::keep_together;
use crate::base::{Moment, PartId, Quantity, count};
use crate::check::Issue;
use crate::netting::Cover;
use crate::plan::{Late, There};
use crate::report::limits::{ON_THE_SCREEN, first_groups};
use crate::report::listing::{Line, listing, widths};
use crate::report::names::job_name;
use crate::report::sheet::{Look, Sheet};
use crate::report::table::Value;
use crate::shops::Job;
use itertools::Itertools;

const SCALE: u16 = 74;
/// The sheet: jobs whose material is needed by the end of the plan's day.
pub fn sheet<'p>(facts: &Facts<'p>, shop: &ShopFacts<'p>, name: String, table: String) -> Sheet<'p> {
    let end = facts.plan.day.plus(1).midnight();
    let jobs = shop.jobs.iter().map(|at| facts.job(*at)).filter(|job| !job.started);
    let jobs = jobs.filter(|job| material_need(facts.plan, job) < end).collect_vec();
    let mut sheet = Sheet::new(name, &widths::<Material>());
    sheet.of_a_day = true;
    sheet.text(Look::Title, format!("{}: material by job, for the screen", shop.dest.name));
    sheet.text(Look::Plain, super::foot(facts.plan));
    let told = format!(
        "{} whose material is needed by the end of {}, in build order. Later days: tables/demands and tables/pegs. Material \
         of jobs already begun is issued.",
        count(jobs.len(), "job", "jobs"),
        facts.plan.day.short()
    );
    sheet.text(Look::Plain, told);
    let shown = first_groups(&jobs, ON_THE_SCREEN, |job| job.below.needs.len());
    let groups = shown.iter().map(|job| lines(facts, shop, job)).collect_vec();
    let sizes = groups.iter().map(Vec::len).collect_vec();
    sheet.gap();
    sheet.table(Some(table), groups.into_iter().flatten().collect());
    let mut row = sheet.next_row() - sizes.iter().sum::<usize>() as u32;
    let mut starts = Vec::new();
    for size in sizes.into_iter().filter(|size| *size > 0) {
        starts.push(row);
        begin_job(&mut sheet, row, size);
        row += size as u32;
    }
    let more = jobs.len() - shown.len();
    if more > 0 {
        let jobs = count(more, "job", "jobs");
        sheet.text(
            Look::Strong,
            format!("and {jobs} more, further down in the build order: see tables/demands and tables/pegs"),
        );
    }
    keep_together(&mut sheet, SCALE, &starts, &[]);
    sheet
}

/// The job stands strong in the first of its rows and faintly in the others.
fn begin_job(sheet: &mut Sheet<'_>, first: u32, rows: usize) {
    for (i, row) in sheet.rows[first as usize..first as usize + rows].iter_mut().enumerate() {
        for cell in row.cells.iter_mut().filter(|cell| cell.column < 3 && cell.look != Look::Wrong) {
            cell.look = if i == 0 { Look::Strong } else { Look::Faint };
        }
    }
}

fn lines<'p>(facts: &Facts<'p>, shop: &ShopFacts<'p>, job: &'p Job) -> Vec<Line<'p, Material>> {
    let pieces = facts.of_day.of_job(facts.plan, job);
    let of_part = |part: PartId| pieces.iter().copied().find(|piece| piece.demand.part == part);
    job.below.needs.iter().map(|(part, qty)| line(facts, shop, job, (*part, *qty), of_part(*part))).collect()
}

listing! {
    /// What a job takes.
    Material: fn line<'p>(facts: &Facts<'p>, shop: &ShopFacts<'p>, job: &'p Job, (part, qty): (PartId, Quantity), piece: Option<&JobMaterial>,) {
        let known = facts.plan.plant.part(part);
        let stands = piece.map_or("delivered", |piece| how_it_stands(facts, piece));
    }
    look: if matches!(stands, "late" | "short") { Look::Wrong } else { Look::Plain };
    "crew", 5, Whole => i64::from(job.slot.crew) + 1;
    "latest start", 16, Moment => shop.starts(job);
    "job", 22, Text => job_name(facts.plan, job);
    "part", 15, Text => known.code.as_str();
    "description", 36, Wrapped => known.description.as_str();
    "location", 11, Text => known.location.as_str();
    "qty", 9, Quantity => qty;
    "uom", 6, Text => known.uom.as_str();
    "how it comes", 16, Wrapped => piece.map(|piece| how_it_comes(facts, piece));
    "there at", 16, Moment => piece.and_then(|piece| there_at(facts, piece));
    "how it stands", 14, Wrapped => stands;
    "here", 5, Box => Value::Blank;
}

/// In a word.
pub fn how_it_stands(facts: &Facts<'_>, piece: &JobMaterial) -> &'static str {
    let now = There::At(facts.plan.plant.as_of);
    match piece.late(facts.plan) {
        _ if piece.is_short() => "short",
        Late::By(_) | Late::NotKnown => "late",
        Late::InTime if piece.there(facts.plan).is_some_and(|there| there > now) => "arriving",
        Late::InTime => "ready",
    }
}

/// What brings it: a run, another shop, a by-product, or what lies in the shop already.
pub fn how_it_comes(facts: &Facts<'_>, piece: &JobMaterial) -> String {
    let bulk = facts.plan.plant.part(piece.demand.part).issue == Issue::Bulk;
    let run = || match (bulk, facts.plan.runs.serving(piece.demand.need)) {
        (true, _) | (_, None) => "in packs".to_owned(),
        (false, Some(run)) if run.leaves.date() == facts.plan.day => format!("the {} run", run.leaves.clock()),
        (false, Some(run)) => format!("run {}", run.leaves.short()),
    };
    let way = |cover: Cover| match cover {
        Cover::ByProduct => "by-product".to_owned(),
        Cover::Lineside => "lies in the shop".to_owned(),
        Cover::Job(job) => {
            let shop = facts.plan.plant.shop_dest(facts.job(job as usize).shop);
            format!("from {}", shop.code)
        }
        Cover::Reserved | Cover::Stock | Cover::Receipt(_) | Cover::None => run(),
    };
    piece.pegs.iter().map(|peg| way(peg.cover)).dedup().join(", ")
}

/// When it is in the shop: by its run, or when what brings it is there.
fn there_at(facts: &Facts<'_>, piece: &JobMaterial) -> Option<Moment> {
    piece.there(facts.plan)?.moment().filter(|at| *at > facts.plan.plant.as_of)
}
