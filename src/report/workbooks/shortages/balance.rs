//! The sheets of balances: each part by day as numbers and a small line, and beside it the first moment something waits.

use super::acts::Acts;
use super::facts::Facts;
use super::text::{few, few_of, mark, more, owner_name};
use super::waiting::Waiting;
use crate::base::{Date, Moment, PartId, Quantity};
use crate::plan::FIRST_DAYS;
use crate::report::limits::{LONGEST, ROWS_OF_A_PLAN};
use crate::report::sheet::{Look, Sheet, Show, Spark};
use crate::report::table::Value;
use itertools::Itertools;
use rayon::prelude::*;
use std::collections::BTreeSet;

/// On so many days it is told who waits.
const DAYS_TOLD: usize = 5;
/// The columns before the days.
const BEFORE: [(&str, Show, u16); 6] = [
    ("part", Show::Text, 14),
    ("description", Show::Wrapped, 18),
    ("on hand", Show::Quantity, 7),
    ("safety stock", Show::Quantity, 7),
    ("first wait", Show::Moment, 17),
    ("who waits", Show::Wrapped, 21),
];
/// The columns behind them.
const BEHIND: [(&str, Show, u16); 4] = [
    ("small line", Show::Text, 12),
    ("at the end", Show::Quantity, 7),
    ("orders planned", Show::Wrapped, 14),
    ("held units would need", Show::Quantity, 8),
];

const NOTE: &str = "'On hand' is the stock in the stores and, of what is reserved or lies lineside, what this sequence \
takes: what nobody can use hides no shortage. Then what is left at each day's end, receipts as the plan takes them and \
planned orders included; shaded where it is below zero or something waits on that day. A day's balance can be above zero \
while a unit stands: the receipt came after its need. 'At the end' is when this sequence ends; all days are in \
tables/balances.";

/// The balances of the parts that something is to be done about.
pub fn watched<'p>(facts: &Facts<'p>, acts: &Acts<'_, 'p>) -> Sheet<'p> {
    let short = facts.troubles.iter().map(|short| short.part);
    let chased = acts.chase.iter().filter(|coming| coming.taken.last.is_some()).map(|coming| coming.delivery.part);
    let ordered = acts.order.iter().map(|order| order.part);
    let parts: Vec<PartId> = short.chain(chased).chain(ordered).unique().collect();
    let shown = &parts[..parts.len().min(LONGEST)];
    let mut sheet = balances(facts, "balance", "Balance by day: parts that something is to be done about", shown);
    more(&mut sheet, shown.len(), parts.len(), "the next sheet");
    sheet
}

/// The balances of all bought parts.
pub fn all<'p>(facts: &Facts<'p>) -> Sheet<'p> {
    let parts: Vec<PartId> = (0..facts.plan.plant.parts.len()).map(PartId::of).collect();
    balances(facts, "balance, all parts", "Balance by day: all bought parts", &parts)
}

fn balances<'p>(facts: &Facts<'p>, name: &'static str, title: &str, parts: &[PartId]) -> Sheet<'p> {
    let days = days(facts);
    let day_widths = days.iter().map(|_| 7);
    let widths: Vec<u16> =
        BEFORE.iter().map(|column| column.2).chain(day_widths).chain(BEHIND.iter().map(|column| column.2)).collect();
    let mut sheet = Sheet::new(name, &widths);
    sheet.text(Look::Title, title);
    sheet.paragraph(Look::Plain, NOTE);
    sheet.gap();
    let parts: Vec<PartId> =
        parts.iter().copied().filter(|part| !facts.plan.account(*part).first_days.is_empty()).collect();
    if parts.is_empty() {
        sheet.text(Look::Plain, "There is nothing to show.");
        return sheet;
    }
    let first = sheet.next_row() + 1;
    let named = |column: &(&str, Show, u16)| (column.0.to_owned(), column.1);
    let of_days = days.iter().map(|day| (day_heading(*day, facts.plan.plant.as_of.date()), Show::Quantity));
    let columns: Vec<_> = BEFORE.iter().map(named).chain(of_days).chain(BEHIND.iter().map(named)).collect();
    let made = parts.len().min(ROWS_OF_A_PLAN as usize);
    sheet.not_made = (parts.len() - made) as u32;
    let parts = &parts[..made];
    let known: Vec<Waits> = parts.par_iter().map(|part| Waits::of(facts, *part, &days)).collect();
    let lines = parts.iter().zip(&known).map(|(part, waits)| (Look::Plain, line(facts, *part, waits, &days)));
    sheet.table_headed(Some(name.replace([',', ' '], "_")), &columns, lines.collect());
    sheet.freeze_columns = 1;
    for (row, (part, waits)) in (first..).zip(parts.iter().zip(&known)) {
        shade(&mut sheet, facts, row, *part, waits, &days);
    }
    sheet
}

/// `Tue 14 Sep`, with the year where it is another than today's: headings must differ.
fn day_heading(day: Date, today: Date) -> String {
    let year = |date: Date| date.to_string().chars().take(4).collect::<String>();
    if year(day) == year(today) { day.short() } else { format!("{} {}", day.short(), year(day)) }
}

/// The first days on which anything happens.
fn days(facts: &Facts<'_>) -> Vec<Date> {
    let parts = (0..facts.plan.plant.parts.len()).map(PartId::of);
    let all: BTreeSet<Date> =
        parts.flat_map(|part| &facts.plan.account(part).first_days).map(|(date, _)| *date).collect();
    all.into_iter().take(FIRST_DAYS).collect()
}

/// What is left of a part at the end of each of the first days.
fn left(facts: &Facts<'_>, part: PartId, days: &[Date]) -> Vec<Quantity> {
    let account = facts.plan.account(part);
    let at = |day: &Date| {
        let until = account.first_days.partition_point(|(date, _)| date <= day);
        until.checked_sub(1).map_or(account.begins, |i| account.first_days[i].1)
    };
    days.iter().map(at).collect()
}

/// Who waits for a part, in words, and on which of the days.
struct Waits {
    first: Option<Moment>,
    who: String,
    days: BTreeSet<Date>,
}

impl Waits {
    fn of(facts: &Facts<'_>, part: PartId, days: &[Date]) -> Self {
        let Some((all, first)) = facts.waits(part) else {
            return Self { first: None, who: String::new(), days: BTreeSet::new() };
        };
        let need = |piece: &Waiting| piece.demand.need.date();
        // As far as the days are shown, and the first ones are told.
        let mut until = days.last().map_or(first, |last| last.plus(1).midnight());
        let mut waiting = facts.waiting_before(part, until);
        while waiting.iter().map(need).dedup().count() < all.min(DAYS_TOLD) {
            until =
                first.max(until).plus(2 * (first.max(until).seconds() - facts.plan.plant.as_of.seconds()).max(86_400));
            waiting = facts.waiting_before(part, until);
        }
        let shown = |day: &Date| days.last().is_some_and(|last| day <= last);
        let days = waiting.iter().map(need).take_while(shown).collect();
        Self { first: Some(first), who: who_waits(facts, &waiting, all), days }
    }
}

fn line<'p>(facts: &Facts<'p>, id: PartId, waits: &Waits, days: &[Date]) -> Vec<Value<'p>> {
    let part = facts.part(id);
    let account = facts.plan.account(id);
    let planned = account.planned.iter().map(|order| format!("{} for {}", order.qty, order.day.short()));
    let planned = few(planned, 3);
    let mut values: Vec<Value<'p>> = vec![
        part.code.as_str().into(),
        part.description.as_str().into(),
        account.begins.into(),
        part.safety_stock.into(),
        waits.first.into(),
        waits.who.clone().into(),
    ];
    values.extend(left(facts, id, days).into_iter().map(Value::from));
    values.extend([Value::Blank, account.at_end.into(), planned.into(), facts.would_need(id).into()]);
    values
}

/// `Wed 15 Sep: V2; Thu 16 Sep: V3`.
fn who_waits(facts: &Facts<'_>, waiting: &[Waiting], days: usize) -> String {
    let by_day = waiting.chunk_by(|a, b| a.demand.need.date() == b.demand.need.date());
    let told = |pieces: &[Waiting]| {
        let owners = pieces.iter().map(|piece| owner_name(facts, &piece.demand)).unique();
        let owners = few(owners.map(str::to_owned), 4).replace("; ", ", ");
        format!("{}: {owners}", pieces[0].demand.need.date().short())
    };
    let first: Vec<String> = by_day.take(DAYS_TOLD).map(told).collect();
    let more = days - first.len();
    few_of(first.into_iter(), more)
}

/// Shades the days on which something waits or the balance is below zero, and adds the small line.
fn shade(sheet: &mut Sheet<'_>, facts: &Facts<'_>, row: u32, part: PartId, waits: &Waits, days: &[Date]) {
    let before = BEFORE.len();
    for (i, left) in left(facts, part, days).into_iter().enumerate() {
        if left < Quantity::ZERO || waits.days.contains(&days[i]) {
            mark(sheet, row, before + i, Look::Wrong);
        }
    }
    if waits.first.is_some() {
        mark(sheet, row, 0, Look::Strong);
        mark(sheet, row, 4, Look::Strong);
    }
    if days.len() > 1 {
        let from = (before as u16, (before + days.len() - 1) as u16);
        sheet.sparks.push(Spark { row, column: (before + days.len()) as u16, from });
    }
}
