//! Cures in words: what to do as one says it on the phone or by radio, what it costs others, and how sure it is.

use super::facts::Facts;
use super::text::{few, supplier_name};
use crate::base::{Moment, MustBe, OwnerId, PartId, Quantity};
use crate::check::Receipt;
use crate::cures::{Advice, Change, Cost, Cure, Cures, Given, Kind, Piece};
use itertools::Itertools;

/// For so many pieces it is told on the first sheet what is taken.
const TAKEN: usize = 2;

/// What to do.
pub fn to_do(facts: &Facts<'_>, cures: &Cures, piece: &Piece, advice: &Advice) -> String {
    match advice {
        Advice::Do(cure) if cure.works => act(facts, piece, cure),
        Advice::Do(cure) => {
            format!("Nothing works without a unit standing. The least of it: {}", act(facts, piece, cure))
        }
        Advice::With(others) => with(facts, cures, others),
        Advice::Nothing if piece.made() => "Nothing found that cures it alone: it waits for its job.".to_owned(),
        Advice::Nothing => "Nothing found that brings it in time.".to_owned(),
    }
}

fn with(facts: &Facts<'_>, cures: &Cures, others: &[usize]) -> String {
    let named = others.iter().map(|other| {
        let (piece, _) = &cures.pieces[*other];
        format!("{} for {}", facts.part(piece.part).code, owner(facts, piece.owner))
    });
    format!("Nothing more: what is done about {} serves it.", few(named.unique(), 3).replace("; ", ", "))
}

fn owner<'p>(facts: &Facts<'p>, owner: OwnerId) -> &'p str {
    let code = facts.plan.pace.owners[owner.at()].code.as_str();
    if code.is_empty() { "no unit" } else { code }
}

fn act(facts: &Facts<'_>, piece: &Piece, cure: &Cure) -> String {
    let part = &facts.part(piece.part).code;
    let qty = piece.qty;
    match cure.candidate.kind {
        Kind::OnHold => {
            let (held, loose): (Vec<_>, Vec<_>) = kept(facts, piece, cure).partition(|(_, row)| row.hold.is_some());
            let from = few(held.into_iter().map(|(qty, row)| on_hold(qty, row)), 3);
            let words = format!("Ask quality about {part} on hold: {from}. Quality decides{}.", by_when(piece));
            let rest = few(loose.into_iter().map(|(qty, row)| lies(facts, qty, row)), 3);
            if rest.is_empty() { words } else { format!("{words} And take {part} for this unit: {rest}.") }
        }
        Kind::LooseStock | Kind::Reservation => {
            let from = few(kept(facts, piece, cure).map(|(qty, row)| lies(facts, qty, row)), 3);
            let given = cure.given.iter().map(|given| refill(facts, given));
            format!("Take {qty} {part} for this unit: {from}. {}", sentence(given))
        }
        Kind::MakeFirst => {
            let parts = cure.candidate.changes.iter().filter_map(|change| match change {
                Change::First { part, .. } => Some(made_in(facts, *part)),
                _ => None,
            });
            format!("Ask the lead to take first, for this unit: {}.", few(parts, 4))
        }
        Kind::PartShipment => {
            let words = few(cure.candidate.changes.iter().filter_map(|change| shipment(facts, piece, change)), 3);
            format!("{words}.{}", ahead(part, cure.candidate.ahead))
        }
        Kind::Order => {
            let words = few(cure.candidate.changes.iter().filter_map(|change| order(facts, change)), 3);
            words + &ahead(part, cure.candidate.ahead)
        }
    }
}

/// `1 for AF3446 at WSH: 1 of 4 lineside at FLR. Nobody else needs it in this sequence.`: what is on hand taken for pieces, by their
/// places in the list of cures.
pub fn taken(facts: &Facts<'_>, cures: &Cures, pieces: &[usize]) -> String {
    let one = |number: &usize| {
        let (piece, advice) = &cures.pieces[*number];
        let cure = advice.working()?;
        let from = few(kept(facts, piece, cure).map(|(qty, row)| lies(facts, qty, row)), 3);
        let given = sentence(cure.given.iter().map(|given| refill(facts, given)));
        let at = &facts.plan.plant.dest(piece.to).code;
        Some(format!("{} for {} at {at}: {from}. {given}", piece.qty, owner(facts, piece.owner)))
    };
    let told = pieces.iter().take(TAKEN).filter_map(one).join(" ");
    let more = pieces.len().saturating_sub(TAKEN);
    if more > 0 { format!("{told} And for {more} more: see 'cures'.") } else { told }
}

/// Whom else it goes to.
fn ahead(part: &str, qty: Quantity) -> String {
    if qty.is_zero() {
        String::new()
    } else {
        format!(" So many of these go to others, who need {part} before: {qty}.")
    }
}

/// `, by Tue 14 Sep 06:30`
fn by_when(piece: &Piece) -> String {
    piece.by.map_or(String::new(), |by| format!(", by {}", by.short()))
}

/// The rows of stock that the piece itself takes.
fn kept<'f, 'p: 'f>(
    facts: &'f Facts<'p>,
    piece: &'f Piece,
    cure: &'f Cure,
) -> impl Iterator<Item = (Quantity, &'p crate::check::Stock)> + 'f {
    cure.candidate.changes.iter().filter_map(|change| match change {
        Change::Keep { stock, qty, unit } if *unit == piece.unit => Some((*qty, &facts.plan.plant.stock[*stock])),
        _ => None,
    })
}

fn at(location: &str) -> String {
    if location.is_empty() { String::new() } else { format!(" at {location}") }
}

/// `1 of 6 at Q-01-1 (glass scratched)`
fn on_hold(qty: Quantity, row: &crate::check::Stock) -> String {
    let why = row.hold.as_deref().must("what is on hold has no reason");
    format!("{qty} of {}{} ({why})", row.qty, at(&row.location))
}

/// `1 of 4 lineside at FLR`, `1 of 2 at C-4 reserved for U5`
fn lies(facts: &Facts<'_>, qty: Quantity, row: &crate::check::Stock) -> String {
    let plant = facts.plan.plant;
    let lineside = row.lineside.map(|place| format!(" lineside at {}", plant.dest(place).code));
    let reserved = row.reserved.map(|unit| format!(", reserved for {}", plant.units[unit.at()].code));
    let place = lineside.unwrap_or_else(|| at(&row.location));
    format!("{qty} of {}{place}{}", row.qty, reserved.unwrap_or_default())
}

/// `It is U5's at SL; 8001 refills it Thu 16 Sep 10:00`
fn refill(facts: &Facts<'_>, given: &Given) -> String {
    let place = &facts.plan.plant.dest(given.to).code;
    let whose = format!("{} of them {} at {place} would have had", given.qty, owner(facts, given.owner));
    match &given.refilled {
        Some((order, when)) if order.is_empty() => format!("{whose}; the shop's job refills it {}", when.short()),
        Some((order, when)) => format!("{whose}; {order} refills it {}", when.short()),
        None => format!("{whose}; nothing refills it"),
    }
}

/// Sentences joined, nobody's where there are none.
fn sentence(parts: impl Iterator<Item = String>) -> String {
    let words = few(parts, 3);
    if words.is_empty() { "Nobody else needs it in this sequence.".to_owned() } else { format!("{words}.") }
}

/// `DINETTE-18 in CABSHOP`
fn made_in(facts: &Facts<'_>, part: PartId) -> String {
    let known = facts.part(part);
    match known.source {
        crate::check::Source::Make(shop) => format!("{} in {}", known.code, facts.plan.plant.shop_dest(shop).code),
        _ => known.code.clone(),
    }
}

fn shipment(facts: &Facts<'_>, piece: &Piece, change: &Change) -> Option<String> {
    let Change::Sooner { receipt, qty, by } = change else { return None };
    let row = &facts.plan.plant.receipts[*receipt];
    let (part, supplier) = (&facts.part(row.part).code, supplier_name(&row.supplier));
    let rest = if row.qty > *qty { format!("; {}", rest(row)) } else { String::new() };
    let run = run_gone(facts, piece, *by);
    Some(format!("Ask {supplier} to send {qty} {part} of {} ahead, here by {}{run}{rest}", row.order, by.short()))
}

fn rest(row: &Receipt) -> String {
    let overdue = if row.overdue { ", overdue" } else { "" };
    let due = if row.timed { row.due.short() } else { row.due.date().short() };
    format!("what else is open of it can come as ordered (due {due}{overdue})")
}

/// That the run of a piece can't be reached any more.
fn run_gone(facts: &Facts<'_>, piece: &Piece, by: Moment) -> &'static str {
    let picked = |need| facts.plan.runs.serving(need).map(|run| run.picked);
    let runs = piece.pegs.iter().filter_map(|(demand, _)| picked(demand.need)).collect_vec();
    if runs.contains(&by) { "" } else { ", to be handed over by itself, as its run is gone" }
}

fn order(facts: &Facts<'_>, change: &Change) -> Option<String> {
    let Change::Order { part, qty, by } = change else { return None };
    let known = facts.part(*part);
    let supplier = supplier_name(&known.supplier);
    let last = by.date().plus(-(known.lead_days as i32));
    let when = if known.lead_days == 0 {
        "the book gives no lead time: ask whether it can be here by then".to_owned()
    } else if last < facts.plan.plant.as_of.date() {
        format!(
            "inside lead time: {} days, the last day to order was {}",
            known.lead_days,
            facts.order_by(last).short()
        )
    } else {
        format!("lead time {} days: order by {}", known.lead_days, facts.order_by(last).short())
    };
    Some(format!("Order {qty} {} from {supplier}, here by {}; {when}.", known.code, by.short()))
}

/// What others pay: `nobody` where no unit stops and no piece comes later.
pub fn cost(facts: &Facts<'_>, advice: &Advice) -> String {
    match advice {
        Advice::Do(cure) => cost_of(facts, &cure.cost),
        Advice::With(_) => "nobody".to_owned(),
        Advice::Nothing => String::new(),
    }
}

fn cost_of(facts: &Facts<'_>, cost: &Cost) -> String {
    let stops = cost.stops.iter().map(|(unit, stop)| {
        let how_long =
            if stop.unknown { "for how long is not known".to_owned() } else { format!("{} min", stop.minutes) };
        format!("{} stops, {how_long}", owner(facts, *unit))
    });
    let late = cost
        .late
        .iter()
        .map(|(unit, part)| format!("{} of {} is not there for its run", facts.part(*part).code, owner(facts, *unit)));
    let words = few(stops.chain(late), 4);
    if words.is_empty() { "nobody".to_owned() } else { words }
}

/// How sure it is.
pub fn how_sure(facts: &Facts<'_>, cures: &Cures, piece: &Piece, advice: &Advice) -> String {
    match advice {
        Advice::Do(cure) => format!("recomputed with the whole plan; {}", condition(facts, cure)),
        Advice::With(others) => {
            let cures = others.iter().filter_map(|other| cures.pieces[*other].1.working());
            let all = cures.map(|cure| condition(facts, cure)).unique().join("; ");
            format!("recomputed with the whole plan; {all}")
        }
        Advice::Nothing if piece.by.is_none() => "the run is gone, and the time to hand it over, too".to_owned(),
        Advice::Nothing => "each was tried with the whole plan".to_owned(),
    }
}

/// What must come true.
fn condition(facts: &Facts<'_>, cure: &Cure) -> &'static str {
    let overdue = |change: &Change| matches!(change, Change::Sooner { receipt, .. } if facts.plan.plant.receipts[*receipt].overdue);
    let unpromised = |change: &Change| matches!(change, Change::Order { part, .. } if facts.part(*part).lead_days == 0);
    match cure.candidate.kind {
        Kind::OnHold => "only if quality finds it good",
        Kind::LooseStock | Kind::Reservation if cure.given.is_empty() => "it is on hand: count it first",
        Kind::LooseStock | Kind::Reservation => "it is on hand: count it first; its refill must come as promised",
        Kind::MakeFirst => "if the shop keeps its times",
        Kind::PartShipment if cure.candidate.changes.iter().any(overdue) => {
            "overdue, promised by nobody: ask where it is"
        }
        Kind::PartShipment => "if the supplier agrees",
        Kind::Order if cure.inside_lead_time => "only if the supplier sends inside its lead time",
        Kind::Order if cure.candidate.changes.iter().any(unpromised) => "if the supplier can send it by then",
        Kind::Order => "if it is ordered in time",
    }
}
