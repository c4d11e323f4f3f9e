//! A shop's material by delivery run on the plan's day, and what comes to it from other shops and off its units.

use super::cover::{Piece, piece};
use super::facts::{Facts, ShopFacts, count};
use super::material::{how_it_comes, how_it_stands};
use super::pages::keep_together;
use crate::base::{OwnerId, PartId, Quantity};
use crate::check::Source;
use crate::pulls::{Pull, Status};
use crate::report::names::{issue_word, pull_status};
use crate::report::sheet::{Column, Line, Look, Sheet, Show};
use crate::report::table::Value;
use itertools::Itertools;

const SCALE: u16 = 80;
const WIDTHS: [u16; 10] = [15, 14, 15, 34, 9, 8, 10, 34, 13, 6];
const BY_RUN: [Column; 10] = [
    Column { heading: "run", show: Show::Moment },
    Column { heading: "location", show: Show::Text },
    Column { heading: "part", show: Show::Text },
    Column { heading: "description", show: Show::Wrapped },
    Column { heading: "qty", show: Show::Quantity },
    Column { heading: "uom", show: Show::Text },
    Column { heading: "issue", show: Show::Text },
    Column { heading: "for", show: Show::Wrapped },
    Column { heading: "how it stands", show: Show::Wrapped },
    Column { heading: "came", show: Show::Box },
];
const FROM_SHOPS: [Column; 10] = [
    Column { heading: "needed", show: Show::Moment },
    Column { heading: "comes from", show: Show::Wrapped },
    Column { heading: "part", show: Show::Text },
    Column { heading: "description", show: Show::Wrapped },
    Column { heading: "qty", show: Show::Quantity },
    Column { heading: "uom", show: Show::Text },
    Column { heading: "unit", show: Show::Text },
    Column { heading: "there at", show: Show::Moment },
    Column { heading: "how it stands", show: Show::Wrapped },
    Column { heading: "came", show: Show::Box },
];

/// The sheet.
pub fn sheet<'p>(facts: &Facts<'p>, shop: &ShopFacts<'p>, name: String, table: &str) -> Sheet<'p> {
    let plan = facts.plan;
    let to_here = plan.pulls.iter().filter(|pull| pull.to == shop.shop.dest && pull.run.leaves.date() == plan.day);
    let pulls = to_here.collect_vec();
    let together = pulls.chunk_by(|a, b| (a.run, a.part) == (b.run, b.part)).collect_vec();
    let mut sheet = Sheet::new(name, &WIDTHS);
    sheet.text(Look::Title, format!("{}: material by run, {}", shop.dest.name, plan.day.long()));
    sheet.text(Look::Plain, super::foot(plan));
    sheet.text(Look::Plain, format!("{} on the day's runs.", count(together.len(), "line")));
    sheet.gap();
    sheet.table(Some(format!("{table}_by_run")), &BY_RUN, together.iter().map(|pulls| line(facts, pulls)).collect());
    let first = sheet.next_row() - together.len() as u32;
    let mut starts = (first..sheet.next_row()).collect_vec();
    let runs = together.iter().tuple_windows().positions(|(a, b)| a[0].run != b[0].run);
    let mut fresh = runs.map(|i| first + i as u32 + 1).collect_vec();
    let others = from_other_shops(facts, shop);
    if !others.is_empty() {
        starts.push(sheet.next_row());
        fresh.push(sheet.next_row());
        sheet.gap();
        sheet.text(Look::Section, "From other shops, from stock of made parts, and by-products: soonest need first");
        let real = Some(format!("{table}_from_shops"));
        sheet.table(real, &FROM_SHOPS, others.iter().map(|piece| piece_line(facts, piece)).collect());
        starts.extend(sheet.next_row() - others.len() as u32..sheet.next_row());
    }
    keep_together(&mut sheet, SCALE, &starts, &fresh);
    sheet
}

/// One part with one run: all of it together, and for whom.
fn line<'p>(facts: &Facts<'p>, pulls: &[&Pull]) -> Line<'p> {
    let part = facts.plan.plant.part(pulls[0].part);
    let status = pulls.iter().map(|pull| pull.status).max().unwrap_or(Status::Ready);
    let owners = pulls.iter().filter_map(|pull| pull.owner).unique();
    let values: Vec<Value<'p>> = vec![
        pulls[0].run.leaves.into(),
        part.location.as_str().into(),
        part.code.as_str().into(),
        part.description.as_str().into(),
        pulls.iter().map(|pull| pull.qty).sum::<Quantity>().into(),
        part.uom.as_str().into(),
        issue_word(part.issue).into(),
        owners.map(|owner: OwnerId| facts.owner(owner)).join(" ").into(),
        pull_status(status).into(),
        Value::Blank,
    ];
    (if status >= Status::SpecialRun { Look::Wrong } else { Look::Plain }, values)
}

/// Made parts and by-products that this shop needs by the end of the plan's day, soonest need first.
fn from_other_shops<'p>(facts: &Facts<'p>, shop: &ShopFacts<'p>) -> Vec<Piece<'p>> {
    let plan = facts.plan;
    let end = plan.day.plus(1).midnight();
    let made = |part: &PartId| matches!(plan.plant.part(*part).source, Source::Make(_) | Source::ByProduct);
    let mut found = Vec::new();
    for part in (0..plan.plant.parts.len()).map(PartId::of).filter(made) {
        let demands = plan.supplies[part.at()].demands.iter().zip(0_u32..);
        let here = demands.filter(|(demand, _)| demand.to == shop.shop.dest && demand.need < end);
        found.extend(here.map(|(_, number)| piece(plan, part, number)));
    }
    found.sort_by_key(|piece| (piece.demand.need, piece.demand.owner, piece.demand.part));
    found
}

fn piece_line<'p>(facts: &Facts<'p>, piece: &Piece<'p>) -> Line<'p> {
    let part = facts.plan.plant.part(piece.demand.part);
    let stands = how_it_stands(facts, piece);
    let values: Vec<Value<'p>> = vec![
        piece.demand.need.into(),
        how_it_comes(facts, piece).into(),
        part.code.as_str().into(),
        part.description.as_str().into(),
        piece.demand.qty.into(),
        part.uom.as_str().into(),
        facts.owner(piece.demand.owner).into(),
        piece.available().into(),
        stands.into(),
        Value::Blank,
    ];
    (if matches!(stands, "late" | "short") { Look::Wrong } else { Look::Plain }, values)
}
