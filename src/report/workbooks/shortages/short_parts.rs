//! The sheet `shortages`: each part that will be late or short, worst first.

use super::facts::Facts;
use super::text::{due_words, few, mark, more, on_hold, owner_name, place_name, supplier_name};
use super::waiting::{Coming, Waiting, how, stops, stops_line};
use crate::base::DestId;
use crate::plan::Trouble;
use crate::report::limits::LONGEST;
use crate::report::listing::{listing, widths};
use crate::report::prose::few_of;
use crate::report::sheet::{Look, Sheet};
use itertools::Itertools;
use std::collections::BTreeMap;

/// So many who wait are named of each station or shop.
const OWNERS: usize = 6;

pub fn sheet<'p>(facts: &Facts<'p>) -> Sheet<'p> {
    let mut sheet = Sheet::new("shortages", &widths::<ShortParts>());
    sheet.text(Look::Title, "Late or short, worst first");
    sheet.paragraph(
        Look::Plain,
        "First what stops the line (see the sheet 'the line'), then the rest, each by the first moment something waits. \
         'Who waits' names the first; the next sheet has each unit, the pieces and the minutes.",
    );
    let (soon, later): (Vec<_>, Vec<_>) = facts.troubles.iter().partition(|short| short.soon);
    let coming = format!("The coming week, to {}", facts.week.short());
    part_table(&mut sheet, facts, coming, "short_this_week", &soon);
    if !later.is_empty() {
        part_table(&mut sheet, facts, "Later".to_owned(), "short_later", &later);
    }
    sheet
}

fn part_table<'p>(sheet: &mut Sheet<'p>, facts: &Facts<'p>, title: String, name: &str, troubles: &[&Trouble]) {
    sheet.gap().text(Look::Section, title);
    if troubles.is_empty() {
        sheet.text(Look::Plain, "Nothing is late or short.");
        return;
    }
    let first = sheet.next_row() + 1;
    let shown = &troubles[..troubles.len().min(LONGEST)];
    let lines = shown.iter().map(|short| line(facts, short)).collect();
    sheet.table(Some(name.to_owned()), lines);
    more(sheet, shown.len(), troubles.len(), "tables/pegs");
    for (i, _) in shown.iter().enumerate().filter(|(_, short)| stops_line(short)) {
        mark(sheet, first + i as u32, 0, Look::Wrong);
        mark(sheet, first + i as u32, 4, Look::Strong);
    }
}

listing! {
    /// A part that is late or short.
    ShortParts: fn line<'p>(facts: &Facts<'p>, short: &Trouble) {
        let part = facts.part(short.part);
    }
    look: Look::Plain;
    "stops", 15, Text => stops(short);
    "part", 14, Text => part.code.as_str();
    "description", 18, Wrapped => part.description.as_str();
    "supplier", 17, Wrapped => supplier_name(&part.supplier);
    "first need", 17, Moment => short.since;
    "late or short", 7, Wrapped => how(short);
    "qty that waits", 7, Quantity => short.late + short.short;
    "uom", 5, Text => part.uom.as_str();
    "units hit", 5, Whole => short.owners as i64;
    "who waits, and for how many", 25, Wrapped => who_waits(facts, short);
    "receipts open", 23, Wrapped => receipts_open(facts, short);
    "on hold: quality decides", 17, Wrapped => on_hold(facts, short.part);
    "held units would need", 8, Quantity => facts.would_need(short.part);
}

/// `FN: V2 1, V3 4`, station by station.
fn who_waits(facts: &Facts<'_>, short: &Trouble) -> String {
    let waiting = facts.waiting_for(short.part);
    let mut by_place: BTreeMap<DestId, Vec<&Waiting>> = BTreeMap::new();
    waiting.iter().for_each(|piece| by_place.entry(piece.demand.to).or_default().push(piece));
    let places = by_place.values().sorted_by_key(|pieces| pieces[0].demand.need).map(|pieces| {
        let (shown, more) = pieces.split_at(pieces.len().min(OWNERS));
        let owners = shown.iter().map(|piece| format!("{} {}", owner_name(facts, &piece.demand), piece.qty));
        let owners = few_of(owners, more.len()).replace("; ", ", ");
        format!("{}: {owners}", place_name(facts, &pieces[0].demand))
    });
    few(places, 3)
}

/// `8001: 20 on Fri 17 Sep`, the soonest first.
fn receipts_open(facts: &Facts<'_>, short: &Trouble) -> String {
    let receipts = facts.deliveries_of(short.part).iter().map(|Coming { delivery, .. }| {
        let (order, qty, due) = (delivery.order, delivery.open, due_words(delivery));
        if delivery.overdue {
            return format!("{order}: {qty}, overdue since {due}");
        }
        let not_confirmed = if delivery.confirmed == Some(false) { ", not confirmed" } else { "" };
        format!("{order}: {qty} on {due}{not_confirmed}")
    });
    let words = few(receipts, 3);
    if words.is_empty() { "none".to_owned() } else { words }
}
