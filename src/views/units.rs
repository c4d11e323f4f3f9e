//! A unit: its options, what it waits for and what that does to the line, its parts by station, its jobs; and why it needs a part.

use super::{Address, Looked, MOST_LINES, View, found, tell};
use crate::base::{Moment, OwnerId, PartId, UnitId, fold};
use crate::plan::words::{dest_code, outcome_word};
use crate::plan::{Consequence, Plan, There};
use crate::report;
use crate::trial;
use crate::weigh::Bills;
use crate::why::facts::{How, JobFacts, NameFacts, PartLine, Station, UnitWhy};
use itertools::Itertools;
use maud::{Markup, html};
use std::collections::BTreeSet;

/// So many parts that a unit has not in time are looked at for what they do to the line.
const MOST_PARTS: usize = 100;

fn unit_of(plan: &Plan<'_>, code: &str) -> Result<UnitId, View> {
    found("unit", code, plan.plant.units.iter().map(|unit| unit.code.as_str())).map(UnitId::of)
}

/// The view of a unit.
pub fn view(looked: Looked<'_>, code: &str) -> View {
    let plan = looked.plan;
    let unit = match unit_of(plan, code) {
        Ok(unit) => unit,
        Err(none) => return none,
    };
    let facts = crate::why::unit(plan, looked.book, unit);
    let owner = plan.pace.owners.iter().position(|owner| owner.unit == Some(unit)).map(OwnerId::of);
    let parts = not_in_time(plan, owner, &facts);
    let body = html! {
        (head(&facts))
        (weight(plan, unit))
        (trials(&facts.unit.unit))
        (does(plan, unit, owner, &parts))
        (options(&facts))
        (stations(&facts))
        (extras(&facts))
        (jobs(&facts.jobs))
    };
    View::new(format!("Unit {}, {}", facts.unit.unit, facts.unit.floorplan), body)
}

fn head(facts: &UnitWhy) -> Markup {
    let unit = &facts.unit;
    html! {
        dl .facts {
            (tell::fact("stands", &html! { (tell::state(&unit.status)) @for why in &unit.why { ": " (why) } }))
            (tell::fact("line", &html! { (unit.line) ", place " (unit.seq) }))
            @if let Some(at) = &unit.at { (tell::fact("is at", &html! { (at) })) }
            @if let Some(enters) = unit.enters { (tell::fact("enters", &html! { (enters.short()) })) }
            @if let Some(leaves) = unit.leaves { (tell::fact("leaves", &html! { (leaves.short()) })) }
            (tell::fact("stands in the book at", &html! { (unit.place) }))
        }
    }
}

/// What may be tried with a unit: the edit stands ready on the page for trials.
fn trials(code: &str) -> Markup {
    let word = trial::word(code);
    let edits = [
        ("a place free before it", format!("Sequence {word} gap=1")),
        ("it is held", format!("Sequence {word} hold=tried")),
        ("other options", format!("Sequence {word} options=")),
    ];
    html! {
        nav .choice aria-label="trials" {
            "Try: "
            @for (words, edit) in edits { a href=(Address::Try { edits: vec![edit] }) { (words) } " " }
        }
    }
}

/// What its bought parts weigh by the book, and what the scale showed where it was weighed.
fn weight(plan: &Plan<'_>, unit: UnitId) -> Markup {
    let Some(weight) = Bills::of(plan.plant, &plan.pace).weight(unit) else { return html! {} };
    let weighed = plan.plant.weighed.iter().find(|row| row.unit == unit);
    html! {
        p {
            "Its bought parts weigh " (weight.kilograms) " kg by the book"
            @if !weight.unknown.is_empty() { "; of " (weight.unknown.len()) " of them the weight is not known" }
            "."
            @if let Some(row) = weighed { " The scale showed " (row.kilograms) " kg." }
            " The scale and the certification label govern."
        }
    }
}

/// The parts of which something is not there when its run is picked, at its stations and in its jobs.
fn not_in_time(plan: &Plan<'_>, owner: Option<OwnerId>, facts: &UnitWhy) -> Vec<PartId> {
    let after_picking = |need: Option<Moment>, line: &PartLine| {
        let picked = need.and_then(|need| plan.runs.serving(need)).map(|run| run.picked);
        wrong(line) || line.available.is_some_and(|at| picked.is_none_or(|picked| at > picked))
    };
    let at_stations = facts.stations.iter().flat_map(|station| station.parts.iter().map(|line| (station.need, line)));
    let at_stations = at_stations.filter(|(need, line)| after_picking(*need, line)).map(|(_, line)| line.part.as_str());
    let extras = facts.extras.iter().map(|line| line.part.as_str());
    let codes: BTreeSet<String> = at_stations.chain(extras).map(fold).collect();
    let jobs = plan.jobs.iter().zip(0..).filter(|(job, _)| Some(job.owner) == owner);
    let of_jobs = jobs.flat_map(|(_, number)| plan.doubts_of_job(number)).map(|doubt| doubt.demand.part);
    let named = plan.plant.parts.iter().enumerate().filter(|(_, part)| codes.contains(&fold(&part.code)));
    named.map(|(i, _)| PartId::of(i)).chain(of_jobs).sorted().dedup().collect()
}

fn wrong(line: &PartLine) -> bool {
    matches!(line.status, "late" | "short")
}

/// What a unit's pieces that are not there do to the line.
fn does(plan: &Plan<'_>, unit: UnitId, owner: Option<OwnerId>, parts: &[PartId]) -> Markup {
    let rows = parts.iter().take(MOST_PARTS).flat_map(|part| plan.consequences_of(*part));
    let rows: Vec<Consequence> = rows.filter(|row| Some(row.owner) == owner).collect();
    let rows =
        rows.into_iter().sorted_by_key(|row| (std::cmp::Reverse(row.outcome), row.arrives, row.part)).collect_vec();
    let code = &plan.plant.units[unit.at()].code;
    let line = |row: &Consequence| {
        let part = plan.plant.part(row.part);
        html! {
            td { (tell::part_code(&part.code)) " " (part.description) " (" (tell::why(code, &part.code)) ")" }
            td .number { (row.qty) " " (part.uom) }
            td { (dest_code(plan, row.to)) }
            td { (row.arrives.short()) }
            td { @match row.there { There::At(at) => (at.short()), There::Unknown => "nothing says when" } }
            td { (tell::outcome(row.outcome, row.stop_minutes)) }
            td { @match row.saves_until { Some(at) => (at.short()), None => @if outcome_word(row.outcome) == "stops the line" { "no moment is soon enough" } } }
        }
    };
    let headings = ["part", "how many", "for", "unit arrives", "there", "what it does", "saves the line until"];
    html! {
        h2 { "What it waits for" }
        (tell::first("Pieces that are not there when their run is picked", &headings, &rows, line))
        @if parts.len() > MOST_PARTS { p { (parts.len() - MOST_PARTS) " parts more are not there when their run is picked; what they do is in the table consequences." } }
    }
}

fn options(facts: &UnitWhy) -> Markup {
    html! {
        h2 { "Options" }
        @if facts.options.is_empty() { p .none { "none" } }
        dl .facts {
            @for group in &facts.options {
                (tell::fact(if group.group.is_empty() { "others" } else { &group.group }, &html! {
                    @for (number, name) in group.options.iter().enumerate() { @if number > 0 { "; " } (option(name)) }
                }))
            }
            @if !facts.taken_away.is_empty() { (tell::fact("taken away", &html! { (facts.taken_away.join(", ")) })) }
        }
    }
}

fn option(name: &NameFacts) -> Markup {
    html! {
        (name.name)
        @if !name.meaning.is_empty() { " " (name.meaning) }
        " ("
        @match &name.how {
            How::Ordered => "ordered",
            How::Package { package } => { "in package " (package) },
            How::Standard => "standard",
            How::Rule { message } => { "by a rule" @if !message.is_empty() { ": " (message) } },
            _ => "otherwise",
        }
        ")"
    }
}

fn stations(facts: &UnitWhy) -> Markup {
    html! {
        h2 { "Its parts by station" }
        @if facts.stations.is_empty() { p .none { "none" } }
        @for station in &facts.stations { (self::station(&facts.unit.unit, station)) }
    }
}

fn station(unit: &str, station: &Station) -> Markup {
    let wrong = station.parts.iter().filter(|line| wrong(line)).count();
    let line = |line: &PartLine| {
        html! {
            td { (tell::part_code(&line.part)) " " (line.description) }
            td .number { @if let Some(qty) = &line.qty { (qty) " " (line.uom) } }
            td { (tell::state(line.status)) }
            td { (line.covers.join(", ")) @if let Some(at) = line.available { ", there " (at.short()) } }
            td { (tell::why(unit, &line.part)) }
        }
    };
    let lines = station.parts.iter().sorted_by_key(|line| !self::wrong(line)).take(MOST_LINES).map(line).collect_vec();
    html! {
        details open[wrong > 0] {
            summary {
                (station.station) " " @if station.name != station.station { (station.name) " " }
                "· " (station.parts.len()) " parts"
                @if wrong > 0 { " · " (wrong) " late or short" }
                @if station.issued { " · issued" } @else if let Some(need) = station.need { " · needed " (need.short()) }
            }
            (tell::table(&format!("Parts at {}", station.station), &["part", "how many", "stands", "covered by", "why"], &lines, station.parts.len()))
        }
    }
}

fn extras(facts: &UnitWhy) -> Markup {
    let line = |line: &crate::why::facts::ExtraLine| {
        html! {
            td { (tell::part_code(&line.part)) " " (line.description) }
            td .number { (line.qty) " " (line.uom) }
            td { (line.to) }
            td { @if let Some(need) = line.need { (need.short()) } }
            td { (line.reason) }
        }
    };
    html! {
        @if !facts.extras.is_empty() {
            h2 { "What extras ask for" }
            (tell::first("Extras", &["part", "how many", "to", "needed", "reason"], &facts.extras, line))
        }
    }
}

fn jobs(jobs: &[JobFacts]) -> Markup {
    let line = |job: &JobFacts| {
        html! {
            td { (tell::part_code(&job.part)) }
            td { (tell::shop(&job.shop)) ", crew " (job.crew) }
            td { (job.start.short()) }
            td { (job.finish.short()) }
            td { (job.to) ", needed " (job.need.short()) }
            td { (tell::state(job.material)) @if let Some(at) = job.material_at { " until " (at.short()) } }
            td { @match (job.there, job.late_minutes) {
                (None, _) => { (tell::state("late")) ", nothing says when it is there" },
                (Some(_), None | Some(0)) => (tell::state("in time")),
                (Some(at), Some(late)) => { (tell::state("late")) " " (late) " min, there " (at.short()) },
            } }
        }
    };
    let headings = ["builds", "shop", "start at the latest", "finished", "for", "material", "stands"];
    html! { h2 { "Its jobs" } (tell::first("Jobs", &headings, jobs, line)) }
}

/// The view of why a unit needs a part.
pub fn why(looked: Looked<'_>, unit: &str, part: &str) -> View {
    let plan = looked.plan;
    let part = found("part", part, plan.plant.parts.iter().map(|part| part.code.as_str())).map(PartId::of);
    let (unit, part) = match (unit_of(plan, unit), part) {
        (Ok(unit), Ok(part)) => (unit, part),
        (Err(none), _) | (_, Err(none)) => return none,
    };
    let text = report::why::text(&crate::why::why(plan, looked.book, unit, part));
    let (unit, part) = (&plan.plant.units[unit.at()].code, &plan.plant.part(part).code);
    let body = html! {
        p { "Unit " (tell::unit(unit)) ", part " (tell::part_code(part)) }
        pre .answer { (text) }
        p .small { "The same on a terminal: lineward why BOOK --unit '" (unit) "' --part '" (part) "'" }
    };
    View::new(format!("Why {unit} needs {part}"), body)
}

/// Where a unit can be looked at, for lists that name it.
pub fn address(code: &str) -> Address {
    Address::Unit { unit: code.to_owned() }
}
