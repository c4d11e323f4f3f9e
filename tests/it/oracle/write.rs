//! Writes the plan as CSV text, a table at a time.

use std::collections::BTreeMap;

use super::Tables;
use super::balances::Balance;
use super::clock::{print as moment, print_day};
use super::consequences::Consequence;
use super::loss::Loss;
use super::numbers::print as quantity;
use super::pulls::{Pull, Standing as PullStanding};
use super::shelf_order::pieces;
use super::shops::Run;
use super::stock::Lying;
use super::supply::{Cover, JobNames, Peg};
use super::wants::{DemandKey, Demands, View};
use super::{write_consequences, write_jobs, write_units};

/// All that was found out.
pub struct Plan<'a> {
    pub view: &'a View<'a>,
    pub run: Run,
    pub names: JobNames,
    pub demands: Demands,
    pub pegs: Vec<Peg>,
    pub pulls: Vec<Pull>,
    pub balances: Vec<Balance>,
    pub consequences: Vec<Consequence>,
    pub loss: Loss,
    /// For each job when what it builds is there, by its demand; none: nothing says when.
    pub there: BTreeMap<DemandKey, Option<i64>>,
}

pub fn tables(plan: &Plan) -> Tables {
    Tables {
        units: table(
            "unit,line,seq,floorplan,options,enters,leaves,status,first_part,clear_at",
            write_units::units(plan),
        ),
        demands: table("unit,part,to,need,qty,uom", demands(plan)),
        pegs: table("unit,part,to,need,qty,cover,source,available,late_minutes", pegs(plan)),
        jobs: table(
            "job,shop,crew,unit,part,to,qty,release,due,earliest,start,finish,late_minutes,material,material_at,there_at",
            write_jobs::jobs(plan),
        ),
        pulls: table("wave,pick_start,location,part,description,qty,uom,to,unit,issue,need,status", pulls(plan)),
        balances: table("part,date,gross,receipts,available,planned_receipt,planned_release", balances(plan)),
        consequences: table(
            "unit,part,to,qty,arrives,there_at,word,stop_minutes,adds_seconds,saves_until,hand_over_at",
            write_consequences::consequences(plan),
        ),
        loss: loss(plan),
        loss_cases: plan.loss.cases.clone(),
        cases: plan.consequences.iter().flat_map(|row| row.cases.iter().copied()).collect(),
    }
}

/// What the lines lose, by the code of the line.
fn loss(plan: &Plan) -> Vec<(String, Option<String>, i64)> {
    let by_day = plan.loss.by_day.iter().map(|((line, day), lost)| (line.clone(), Some(print_day(*day)), *lost));
    by_day.chain(plan.loss.in_all.iter().map(|(line, lost)| (line.clone(), None, *lost))).collect()
}

/// Cells as CSV text; quotes only where they are needed.
fn table(headings: &str, rows: Vec<Vec<String>>) -> String {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(headings.split(',')).expect("room for a row");
    for row in rows {
        writer.write_record(row).expect("room for a row");
    }
    String::from_utf8(writer.into_inner().expect("all is written")).expect("text")
}

/// Unit, part, destination and need.
fn whose(plan: &Plan, demand: &DemandKey) -> Vec<String> {
    let view = plan.view;
    vec![
        view.crowd.takers[demand.rank].name.clone(),
        view.plant.parts[&demand.part].code.clone(),
        view.plant.place_code(&demand.to).to_string(),
        moment(demand.need),
    ]
}

fn demands(plan: &Plan) -> Vec<Vec<String>> {
    let row = |(demand, qty): (&DemandKey, &i128)| {
        let uom = plan.view.plant.parts[&demand.part].uom.clone();
        [whose(plan, demand), vec![quantity(*qty), uom]].concat()
    };
    plan.demands.iter().map(row).collect()
}

fn pegs(plan: &Plan) -> Vec<Vec<String>> {
    let row = |peg: &Peg| {
        let (cover, source) = match &peg.cover {
            Cover::ByProduct => ("by-product", ""),
            Cover::Lying(Lying::Reserved) => ("reserved", ""),
            Cover::Lying(Lying::Lineside) => ("lineside", ""),
            Cover::Lying(Lying::Stores) => ("stock", ""),
            Cover::Receipt(order) => ("receipt", order.as_str()),
            Cover::Job(name) => ("job", name.as_str()),
            Cover::Nothing => ("none", ""),
        };
        let available = peg.available.map_or(String::new(), moment);
        let late = peg.late_minutes().to_string();
        let rest = vec![quantity(peg.qty), cover.to_string(), source.to_string(), available, late];
        [whose(plan, &peg.demand), rest].concat()
    };
    plan.pegs.iter().map(row).collect()
}

fn pulls(plan: &Plan) -> Vec<Vec<String>> {
    let mut pulls: Vec<&Pull> = plan.pulls.iter().collect();
    pulls.sort_by_key(|pull| {
        let location = pieces(&plan.view.plant.parts[&pull.part].location);
        (pull.wave, location, pull.part.clone(), pull.to.clone(), pull.rank)
    });
    pulls.iter().map(|pull| pull_row(plan, pull)).collect()
}

fn pull_row(plan: &Plan, pull: &Pull) -> Vec<String> {
    let part = &plan.view.plant.parts[&pull.part];
    let unit = pull.rank.map_or("", |rank| &plan.view.crowd.takers[rank].name);
    let standing = match pull.standing {
        PullStanding::Ready => "ready",
        PullStanding::Arriving => "arriving",
        PullStanding::SpecialRun => "special run",
        PullStanding::Late => "late",
        PullStanding::Short => "short",
    };
    vec![
        moment(pull.wave.clock),
        moment(pull.wave.pick_start),
        part.location.clone(),
        part.code.clone(),
        part.description.clone(),
        quantity(pull.qty),
        part.uom.clone(),
        plan.view.plant.place_code(&pull.to).to_string(),
        unit.to_string(),
        part.issue.clone(),
        moment(pull.need),
        standing.to_string(),
    ]
}

fn balances(plan: &Plan) -> Vec<Vec<String>> {
    let row = |balance: &Balance| {
        let release = if balance.planned > 0 { print_day(balance.release_day) } else { String::new() };
        vec![
            plan.view.plant.parts[&balance.part].code.clone(),
            print_day(balance.day),
            quantity(balance.gross),
            quantity(balance.receipts),
            quantity(balance.available),
            quantity(balance.planned),
            release,
        ]
    };
    plan.balances.iter().map(row).collect()
}
