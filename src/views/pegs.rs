//! Who takes which piece from what, drawn on a stretch of time: what comes above, what is needed below, a line from the one to the other.

use super::axis::{Axis, LEFT, LabelRows, TOP, picture};
use super::{MOST_LINES, tell, units};
use crate::base::{Moment, PartId};
use crate::netting::{Cover, Demand, Peg};
use crate::plan::words::{cover_word, dest_code, job_name};
use crate::plan::{Late, Plan};
use crate::supply::Supply;
use itertools::Itertools;
use maud::{Markup, html};
use std::collections::BTreeMap;

/// So many pieces are drawn: what is wrong, and what comes first.
const MOST_DRAWN: usize = 60;
/// The lane of what there is, and that of what is needed, in points from above.
const LANES: (i64, i64) = (TOP + 40, TOP + 190);

/// What a piece comes from, for who reads it.
fn source(plan: &Plan<'_>, peg: &Peg) -> String {
    match peg.cover {
        Cover::Receipt(receipt) => format!("order {}", plan.plant.receipts[receipt as usize].order),
        Cover::Job(job) => job_name(plan, &plan.jobs[job as usize]),
        cover => cover_word(cover).to_owned(),
    }
}

fn late(plan: &Plan<'_>, demand: &Demand, peg: &Peg) -> &'static str {
    match (peg.cover, plan.piece_late(demand, peg)) {
        (Cover::None, _) => "short",
        (_, Late::InTime) => "in time",
        _ => "late",
    }
}

/// The pieces of a part that are shown: those that are wrong first, then as they are taken; in the order in which they are taken.
fn shown<'s>(plan: &Plan<'_>, supply: &'s Supply, most: usize) -> (Vec<(&'s Demand, &'s Peg)>, usize) {
    let all = supply.pegged().pieces();
    let of = supply.pegs.len();
    let wrong = |(demand, peg): &(&Demand, &Peg)| late(plan, demand, peg) != "in time";
    let wrong_ones = all.clone().filter(wrong).take(most).collect_vec();
    let rest = most - wrong_ones.len();
    let others = all.filter(|piece| !wrong(piece)).take(rest);
    let shown =
        wrong_ones.into_iter().chain(others).sorted_by_key(|(demand, _)| (demand.need, demand.owner, demand.to));
    (shown.collect(), of)
}

/// The picture, and the same in a table.
pub fn pegs(plan: &Plan<'_>, part: PartId, supply: &Supply) -> Markup {
    let (drawn, of) = shown(plan, supply, MOST_DRAWN);
    let (told, _) = shown(plan, supply, MOST_LINES);
    let line = |(demand, peg): &(&Demand, &Peg)| {
        let owner = &plan.pace.owners[demand.owner.at()];
        html! {
            td { (tell::owner(plan, demand.owner)) }
            td { (dest_code(plan, demand.to)) }
            td { (demand.need.short()) }
            td .number { (peg.qty) " " (plan.plant.part(part).uom) }
            td { (source(plan, peg)) }
            td { @if let Some(at) = plan.piece_there(demand, peg.cover, peg.available).and_then(crate::plan::There::moment) { (at.short()) } }
            td { (tell::state(late(plan, demand, peg))) }
            td { @if owner.unit.is_some() { (tell::why(&owner.code, &plan.plant.part(part).code)) } }
        }
    };
    let lines = told.iter().map(line).collect_vec();
    let headings = ["unit", "to", "needed", "how many", "covered by", "there", "stands", "why"];
    html! {
        h2 { "Who takes which piece from what" }
        (drawing(plan, &drawn))
        @if of > drawn.len() { p { "Drawn: " (drawn.len()) " pieces of " (of) ", those that are late or short first." } }
        (tell::table("Pieces, those that are late or short before others", &headings, &lines, of))
    }
}

fn drawing(plan: &Plan<'_>, pieces: &[(&Demand, &Peg)]) -> Markup {
    let as_of = plan.plant.as_of;
    let needs = pieces.iter().map(|(demand, _)| demand.need);
    let comes = pieces.iter().filter_map(|(_, peg)| peg.available);
    let moments = needs.chain(comes).chain([as_of]);
    let Some(axis) = Axis::over(moments).filter(|_| !pieces.is_empty()) else { return html! {} };
    // What lies there already stands at the left.
    let from = |peg: &Peg| peg.available.map_or(LEFT, |at| axis.x(at));
    let mut sources: BTreeMap<(i64, String), Option<Moment>> = BTreeMap::new();
    for (_, peg) in pieces.iter().filter(|(_, peg)| peg.cover != Cover::None) {
        sources.insert((from(peg), source(plan, peg)), peg.available);
    }
    let (above, below) = LANES;
    let height = below + 70;
    let mut rows = LabelRows::new(2);
    let labels = sources.keys().map(|(x, source)| (*x, source.as_str(), rows.row(*x, source))).collect_vec();
    // Who waits is named first, then others as far as there is room.
    let mut rows = LabelRows::new(4);
    let wrong = |piece: &&(&Demand, &Peg)| late(plan, piece.0, piece.1) != "in time";
    let named = pieces
        .iter()
        .filter(wrong)
        .chain(pieces.iter().filter(|piece| !wrong(piece)).take(if pieces.len() > 20 { 0 } else { 20 }));
    let takers = named.filter_map(|(demand, _)| {
        let owner = &plan.pace.owners[demand.owner.at()];
        owner.unit?;
        let x = axis.x(demand.need);
        Some((x, rows.row(x, &owner.code)?, owner.code.as_str()))
    });
    let takers = takers.collect_vec();
    let wrong = pieces.iter().filter(wrong).count();
    let words = format!("{} pieces, {wrong} of them late or short; the table below tells each.", pieces.len());
    let content = html! {
        (axis.marks(height))
        text .lane x="4" y=(above + 4) { "there" }
        text .lane x="4" y=(below + 4) { "needed" }
        @for (x, label, row) in &labels {
            circle .source cx=(x) cy=(above) r="5" {}
            @if let Some(row) = row { text .label x=(x + 6) y=(above - 8 - row * 13) { (label) } }
        }
        @for (demand, peg) in pieces {
            @let (x, stands) = (axis.x(demand.need), late(plan, demand, peg));
            @if peg.cover == Cover::None {
                text .stop-mark x=(x - 4) y=(below - 8) { "◆" }
            } @else {
                line class=(if stands == "in time" { "peg" } else { "peg late" }) x1=(from(peg)) y1=(above) x2=(x) y2=(below) {}
            }
            circle class=(if stands == "in time" { "need" } else { "need late" }) cx=(x) cy=(below) r="4" {}
        }
        @for (x, row, code) in takers {
            a href=(units::address(code)) { text .label x=(x - 4) y=(below + 18 + row * 13) { (code) } }
        }
    };
    picture("Pieces from what there is to who needs them", &words, height, &content)
}
