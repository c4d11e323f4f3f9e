//! An order that nobody has placed, put together from what is offered: what it would have, its parts by station and what they weigh, or
//! what forbids it.

use super::{Address, Looked, View, found, tell};
use crate::base::{ChangeId, FloorplanId, LineId, NameId, PartId, Total, UnitId, fold};
use crate::check::{Plant, Unit};
use crate::configure::{Placing, options_of};
use crate::every_order::{Bill, Way};
use crate::plan::Plan;
use itertools::Itertools;
use maud::{Markup, html};
use std::collections::{BTreeMap, BTreeSet};

/// What was chosen.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Chosen {
    /// The floorplan; none is chosen yet where it is blank.
    pub floorplan: String,
    /// Options ordered.
    pub with: Vec<String>,
    /// Standard options taken away.
    pub without: Vec<String>,
}

pub fn view(looked: Looked<'_>, chosen: &Chosen) -> View {
    let (plan, plant) = (looked.plan, looked.plan.plant);
    if chosen.floorplan.is_empty() {
        return View::new("An order", floorplans(plant, ""));
    }
    let at =
        match found("floorplan", &chosen.floorplan, plant.floorplans.iter().map(|floorplan| floorplan.code.as_str())) {
            Ok(at) => at,
            Err(none) => return none,
        };
    let code = |code: &String| found("option", code, plant.options.iter().map(|option| option.code.as_str()));
    let names = |codes: &[String]| codes.iter().map(code).collect::<Result<BTreeSet<usize>, View>>();
    let (with, without) = match (names(&chosen.with), names(&chosen.without)) {
        (Ok(with), Ok(without)) => (with, without),
        (Err(none), _) | (_, Err(none)) => return none,
    };
    let ordered = |names: &BTreeSet<usize>, away: bool| names.iter().map(move |i| (NameId::of(*i), away)).collect_vec();
    let ordered = ordered(&with, false).into_iter().chain(ordered(&without, true)).collect_vec();
    let (floorplan, like) = (FloorplanId::of(at), like(plan, FloorplanId::of(at)));
    let line = like.map_or(LineId(0), |unit| plant.units[unit.at()].line);
    let (placed, wrong) = Placing::of(plant).placed(floorplan, line, ordered);
    let body = html! {
        (floorplans(plant, &chosen.floorplan))
        (form(plant, at, &with, &without))
        @if placed.right {
            h2 { "What it has" }
            p { @for (number, option) in options_of(plant, &placed.names).iter().enumerate() { @if number > 0 { ", " } (plant.options[option.at()].code) } }
            (build(plan, at, like, &placed.names))
        } @else {
            h2 { "What forbids it" }
            ul { @for finding in &wrong { li { (tell::shape("stops the line")) " " (finding.message) } } }
        }
    };
    View::new(format!("An order of {}", plant.floorplans[at].code), body)
}

/// The last unit of a floorplan, else of the plant, that is on the plan: what is ordered now is built as this one or later.
fn like(plan: &Plan<'_>, floorplan: FloorplanId) -> Option<UnitId> {
    let on_plan = plan.plant.units.iter().enumerate().filter(|(_, unit)| unit.on_plan());
    let last = |units: &mut dyn Iterator<Item = (usize, &Unit)>| {
        units.max_by_key(|(_, unit)| unit.seq).map(|(i, _)| UnitId::of(i))
    };
    last(&mut on_plan.clone().filter(|(_, unit)| unit.floorplan == Ok(floorplan)))
        .or_else(|| last(&mut on_plan.clone()))
}

fn floorplans(plant: &Plant, here: &str) -> Markup {
    html! {
        nav .choice aria-label="floorplans" {
            @for floorplan in &plant.floorplans {
                @let chosen = Chosen { floorplan: floorplan.code.clone(), ..Chosen::default() };
                a href=(Address::Order { chosen }) aria-current=[(fold(&floorplan.code) == fold(here)).then_some("page")] { (floorplan.code) }
                " "
            }
        }
    }
}

/// What is offered, by group: to order what is not standard, and to take away what is.
fn form(plant: &Plant, at: usize, with: &BTreeSet<usize>, without: &BTreeSet<usize>) -> Markup {
    let floorplan = &plant.floorplans[at];
    let standards: BTreeSet<usize> = floorplan.standards.iter().map(|option| option.at()).collect();
    let offered = (0..plant.options.len()).filter(|option| floorplan.offers[*option]);
    let mut groups: BTreeMap<Option<usize>, Vec<usize>> = BTreeMap::new();
    offered
        .for_each(|option| groups.entry(plant.options[option].group.map(|group| group.at())).or_default().push(option));
    // Groups in the order of the book, then what is in none.
    let groups = groups.into_iter().sorted_by_key(|(group, _)| (group.is_none(), *group)).collect_vec();
    html! {
        form .order action="/order" method="get" {
            input type="hidden" name="floorplan" value=(floorplan.code);
            @for (group, options) in &groups {
                fieldset {
                    legend { @match group { Some(group) => (plant.groups[*group].code), None => "others" } }
                    @for option in options {
                        @let (row, standard) = (&plant.options[*option], standards.contains(option));
                        label {
                            @if standard {
                                input type="checkbox" name="without" value=(row.code) checked[without.contains(option)];
                                " without " (row.code)
                            } @else {
                                input type="checkbox" name="with" value=(row.code) checked[with.contains(option)];
                                " " (row.code)
                            }
                            @if row.name != row.code { " " (row.name) }
                            @if standard { " (standard)" }
                        }
                    }
                }
            }
            button { "see its build" }
        }
    }
}

/// Its parts by station, each way to them, and what the bought ones weigh.
fn build(plan: &Plan<'_>, at: usize, like: Option<UnitId>, names: &crate::expression::NameSet) -> Markup {
    let plant = plan.plant;
    let bill = Bill::of(plant, at, &vec![true; plant.parts.len()]);
    let reached = |change: ChangeId| like.is_some_and(|unit| plan.pace.reached(plant, unit, change));
    let holds = bill.guards.iter().map(|guard| guard.holds(plant, names, reached)).collect_vec();
    let ways = bill.ways.iter().enumerate().filter(|(_, way)| holds[way.guard as usize]).collect_vec();
    let bought = || ways.iter().map(|(_, way)| *way).filter(|way| !way.gives && plant.part(way.part).bought());
    let mut kilograms = Total::ZERO;
    let mut unknown: BTreeSet<PartId> = BTreeSet::new();
    for way in bought() {
        match plant.part(way.part).weight {
            Some(each) => kilograms += Total::at(each, way.qty),
            None => _ = unknown.insert(way.part),
        }
    }
    let mut stations: BTreeMap<String, Vec<(usize, &Way)>> = BTreeMap::new();
    for (number, way) in ways.iter().copied() {
        let place = way.station.map_or_else(|| "within a shop".to_owned(), |station| plant.dest(station).code.clone());
        stations.entry(place).or_default().push((number, way));
    }
    let line = |(number, way): &(usize, &Way)| {
        let part = plant.part(way.part);
        let through =
            bill.lines(*number).into_iter().map(|line| plant.part(plant.bills[line as usize].part).code.as_str());
        let through = through.collect_vec();
        html! {
            td { (tell::part(plan, way.part)) }
            td .number { @if way.gives { "gives " } (way.qty) " " (part.uom) }
            td { (through[..through.len().saturating_sub(1)].join(", ")) }
        }
    };
    html! {
        h2 { "Its build" }
        @if let Some(unit) = like { p { "Changes as " (tell::unit(&plant.units[unit.at()].code)) " has reached them." } }
        p {
            "Its bought parts weigh " (kilograms) " kg by the book"
            @if !unknown.is_empty() { "; of " (unknown.len()) " of them the weight is not known" }
            ". The scale and the certification label govern."
        }
        @for (station, ways) in &stations {
            details {
                summary { (station) " · " (ways.len()) " parts" }
                @let lines = ways.iter().map(line).collect_vec();
                (tell::table(&format!("Parts at {station}"), &["part", "how many", "through"], &lines, ways.len()))
            }
        }
        p .small { "The same on a terminal: lineward why BOOK --order 'FLOORPLAN: OPTIONS', which plans it behind all other units, too." }
    }
}
