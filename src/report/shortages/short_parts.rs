//! The sheet `shortages`: each part that will be late or short, worst first.

use super::facts::Facts;
use super::text::{due_words, few, mark, more, on_hold, owner_name, place_name, supplier_name};
use super::waiting::{Coming, Waiting, how, stops, stops_line};
use crate::base::DestId;
use crate::plan::Trouble;
use crate::report::limits::LONGEST;
use crate::report::sheet::{Column, Line, Look, Sheet, Show};
use itertools::Itertools;
use std::collections::BTreeMap;

const WIDTHS: [u16; 13] = [15, 14, 18, 17, 17, 7, 7, 5, 5, 25, 23, 17, 8];

const COLUMNS: [Column; 13] = [
    Column { heading: "stops", show: Show::Text },
    Column { heading: "part", show: Show::Text },
    Column { heading: "description", show: Show::Wrapped },
    Column { heading: "supplier", show: Show::Wrapped },
    Column { heading: "first need", show: Show::Moment },
    Column { heading: "late or short", show: Show::Wrapped },
    Column { heading: "qty that waits", show: Show::Quantity },
    Column { heading: "uom", show: Show::Text },
    Column { heading: "units hit", show: Show::Whole },
    Column { heading: "who waits, and for how many", show: Show::Wrapped },
    Column { heading: "receipts open", show: Show::Wrapped },
    Column { heading: "on hold: quality decides", show: Show::Wrapped },
    Column { heading: "held units would need", show: Show::Quantity },
];

/// The sheet.
pub fn sheet<'p>(facts: &Facts<'p>) -> Sheet<'p> {
    let mut sheet = Sheet::new("shortages", &WIDTHS);
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
    sheet.table(Some(name.to_owned()), &COLUMNS, lines);
    more(sheet, shown.len(), troubles.len(), "tables/shortages");
    for (i, _) in shown.iter().enumerate().filter(|(_, short)| stops_line(short)) {
        mark(sheet, first + i as u32, 0, Look::Wrong);
        mark(sheet, first + i as u32, 4, Look::Strong);
    }
}

fn line<'p>(facts: &Facts<'p>, short: &Trouble) -> Line<'p> {
    let part = facts.part(short.part);
    let values = vec![
        stops(short).into(),
        part.code.as_str().into(),
        part.description.as_str().into(),
        supplier_name(&part.supplier).into(),
        short.first.need.into(),
        how(short).into(),
        (short.late + short.short).into(),
        part.uom.as_str().into(),
        (short.owners as i64).into(),
        who_waits(facts, short).into(),
        receipts_open(facts, short).into(),
        on_hold(facts, short.part).into(),
        facts.would_need(short.part).into(),
    ];
    (Look::Plain, values)
}

/// `FN: V2 1, V3 4`, station by station.
fn who_waits(facts: &Facts<'_>, short: &Trouble) -> String {
    let waiting = facts.waiting_for(short.part);
    let mut by_place: BTreeMap<DestId, Vec<&Waiting>> = BTreeMap::new();
    waiting.iter().for_each(|piece| by_place.entry(piece.demand.to).or_default().push(piece));
    let places = by_place.values().sorted_by_key(|pieces| pieces[0].demand.need).map(|pieces| {
        let owners = pieces.iter().map(|piece| format!("{} {}", owner_name(facts, &piece.demand), piece.qty));
        let owners = few(owners, 6).replace("; ", ", ");
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
