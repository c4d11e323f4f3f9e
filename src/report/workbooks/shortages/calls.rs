//! The calls that save the line, for the first sheet: in the order in which they are made, with what each is worth.

use super::cure_words;
use super::facts::Facts;
use super::text::supplier_name;
use crate::base::{Moment, PartId, count};
use crate::calls::{Call, Calls, OnHand, Source, Without};
use crate::cures::{Cures, Kind};
use crate::plan::Worth;
use crate::report::call_words;
use crate::report::listing::{Line, listing};
use crate::report::sheet::{Look, Sheet};
use itertools::Itertools;

/// So many calls stand on the first sheet.
const MOST: usize = 10;
/// So many lines in all, what is on hand included.
const MOST_LINES: usize = 14;
/// So many dates of a call are named.
const DATES: usize = 2;
/// So many receipts that nobody promised are named.
const RECEIPTS: usize = 3;

/// What is told of the order and the figures.
const TOLD: &str = "By the day until which they save the line; within a day stops with no known end first, then by what the line loses if the call fails \
alone. Minutes as above, each day begun on its times; stops with no known end before them. 'If it fails': all others succeed. 'Minutes saved \
alone': all others fail. The moment is for you, not for the supplier.";

/// A line of the list: something on hand that would do, or a call.
enum Entry<'c> {
    OnHand(&'c OnHand),
    Call(&'c Call),
}

/// What is on hand stands before the first call about its part; without one before those that save the line on a later day.
fn in_order(calls: &Calls) -> Vec<Entry<'_>> {
    let day = |saves: Option<Moment>| saves.map(Moment::date);
    let place = |on_hand: &OnHand| {
        let own = calls.calls.iter().position(|call| call.part == on_hand.part);
        let later = || calls.calls.iter().position(|call| day(call.saves_until) > day(on_hand.saves_until));
        own.or_else(later).unwrap_or(calls.calls.len())
    };
    let stock = calls.on_hand.iter().map(|on_hand| ((place(on_hand), 0), Entry::OnHand(on_hand)));
    let asked = calls.calls.iter().enumerate().map(|(at, call)| ((at, 1), Entry::Call(call)));
    stock.chain(asked).sorted_by_key(|(place, _)| *place).map(|(_, entry)| entry).collect()
}

/// The calls; nothing where nothing stops that a call or something on hand could keep moving.
pub fn put<'p>(sheet: &mut Sheet<'p>, facts: &Facts<'p>, cures: &Cures, calls: &Calls) {
    let all = in_order(calls);
    if all.is_empty() && calls.left_out == 0 {
        return;
    }
    sheet.gap().text(Look::Section, "Calls that save the line, in their order");
    sheet.paragraph(Look::Faint, TOLD);
    let lines = all.iter().take(MOST_LINES).scan(0, |told, entry| {
        *told += usize::from(matches!(entry, Entry::Call(_)));
        (*told <= MOST).then(|| match entry {
            Entry::OnHand(on_hand) => of_stock(facts, cures, calls, on_hand),
            Entry::Call(call) => of_call(facts, call),
        })
    });
    let lines: Vec<_> = lines.collect();
    let shown = all.iter().take(lines.len()).filter(|entry| matches!(entry, Entry::Call(_))).count();
    let left_out = all.len() - lines.len();
    sheet.table(Some("calls".to_owned()), lines);
    for (number, block) in
        calls.blocks.iter().enumerate().filter(|(_, block)| block.calls.iter().any(|call| *call < shown))
    {
        let words = format!("Block {}: {}.", number + 1, call_words::block(block, &calls.calls));
        sheet.paragraph(Look::Strong, words);
    }
    if left_out > 0 {
        let more = count(left_out, "line", "lines");
        sheet.text(Look::Plain, format!("{more} more save the line later: see 'by supplier', 'on hold' and 'cures'."));
    }
    if calls.left_out > 0 {
        let parts = count(calls.left_out, "part more stops", "parts more stop");
        sheet.text(
            Look::Wrong,
            format!(
                "{parts} the line and were not looked at; so what a call saves alone, and blocks, are not worked out."
            ),
        );
    }
}

/// What a line says.
struct Told<'p> {
    what: String,
    of: &'p str,
    fails: String,
    saves: String,
    ask: String,
}

/// Something on hand that would do.
fn of_stock<'p>(facts: &Facts<'p>, cures: &Cures, calls: &Calls, on_hand: &OnHand) -> Line<'p, CallsInOrder> {
    let call = calls.about(on_hand.part).next();
    let (what, of, ask) = match on_hand.kind {
        Kind::OnHold => ("ask quality", "stock on hold", ask_quality(facts, on_hand, call)),
        Kind::Reservation => {
            ("take what is reserved", "stock reserved", cure_words::taken(facts, cures, &on_hand.cures))
        }
        _ => ("take what is on hand", "stock on hand", cure_words::taken(facts, cures, &on_hand.cures)),
    };
    let after = if call.is_some() && on_hand.kind != Kind::OnHold { " Or else the call is made." } else { "" };
    let told = Told {
        what: what.to_owned(),
        of,
        fails: call_words::short_worth(&on_hand.alone),
        saves: on_hand.saves.map_or("not worked out".to_owned(), |saves| call_words::saved_in_short(&saves)),
        ask: ask + after,
    };
    line(facts, on_hand.part, on_hand.saves_until, Look::Plain, told)
}

/// `2 of 6 at Q-01-1 (glass scratched) would do: quality decides, and can answer until …; after it the call is made.`
fn ask_quality(facts: &Facts<'_>, on_hand: &OnHand, call: Option<&Call>) -> String {
    let (rows, qty) = (on_hand.rows(facts.plan), on_hand.qty(facts.plan));
    let asked = call.map_or(qty, Call::asked);
    let enough = qty.min(asked);
    let part = facts.part(on_hand.part);
    let sent = format!("{} {}", call_words::sent(part, asked, None), part.uom);
    let of = if enough < asked { format!(" for {enough} of {}", sent) } else { String::new() };
    let until = call.map_or(on_hand.saves_until, |call| call.quality_until(facts.plan));
    let until = until.map_or("now".to_owned(), |until| until.short());
    let after = if call.is_some() { "; after it the call is made" } else { "" };
    let rows = call_words::on_hold(&rows, enough);
    format!("{rows} would do{of}: quality decides, and can answer until {until}{after}.")
}

/// A call.
fn of_call<'p>(facts: &Facts<'p>, call: &Call) -> Line<'p, CallsInOrder> {
    let plan = facts.plan;
    let part = facts.part(call.part);
    let (what, delivery) = call_words::what(plan, call);
    let (order, supplier) =
        delivery.map_or(("", part.supplier.as_str()), |delivery| (delivery.order, delivery.supplier));
    let promise = delivery.map(|delivery| delivery.not_promised()).filter(|words| !words.is_empty());
    let promise = promise.map_or(String::new(), |words| format!(" ({words})"));
    let inside = order_words(facts, call);
    let block = call.block.map_or(String::new(), |block| format!(" (block {})", block + 1));
    let ask = format!("{}{promise}{inside}.{block}", call_words::steps(plan, call, DATES));
    let fails = call_words::short_worth(&call.alone);
    let saves = call.saves.map_or("not worked out".to_owned(), |saves| call_words::saved_in_short(&saves));
    let told =
        Told { what: format!("{what} {order}").trim_end().to_owned(), of: supplier_name(supplier), fails, saves, ask };
    let look = if call.alone.no_end > 0 { Look::Strong } else { Look::Plain };
    line(facts, call.part, call.saves_until, look, told)
}

/// `; inside lead time` or `; order by Tue 14 Sep` of an order, with the day that the other sheets tell; nothing of a delivery.
fn order_words(facts: &Facts<'_>, call: &Call) -> String {
    let planned = facts.plan.account(call.part).planned.first().filter(|_| call.source == Source::Order);
    match planned {
        _ if call.inside_lead_time(facts.plan) => "; inside lead time".to_owned(),
        Some(planned) => format!("; order by {}", facts.order_by(planned.release).short()),
        None => String::new(),
    }
}

listing! {
    /// The calls in their order.
    pub CallsInOrder: fn line<'p>(facts: &Facts<'p>, part: PartId, saves: Option<Moment>, look: Look, told: Told<'p>) {}
    look: look;
    "call", 24, Wrapped => told.what;
    "supplier", 28, Wrapped => told.of;
    "part", 16, Text => facts.part(part).code.as_str();
    "saves the line until", 17, Moment => saves;
    "if it fails, min", 26, Wrapped => told.fails;
    "minutes saved alone", 24, Wrapped => told.saves;
    "ask", 76, Wrapped => told.ask;
}

/// The receipts of the next days that nobody has promised, and what the line would lose without each.
pub fn unpromised(sheet: &mut Sheet<'_>, facts: &Facts<'_>, all: Option<&[Without]>) {
    let plan = facts.plan;
    let now = Worth::of_plan(plan);
    let costs = all.unwrap_or_default().iter().filter(|one| one.worth != now);
    let number = costs.clone().count();
    if number == 0 {
        return;
    }
    sheet.gap().text(Look::Section, "What rests on receipts that nobody has promised");
    for one in costs.take(RECEIPTS) {
        sheet.paragraph(
            Look::Plain,
            format!("If {}; {}.", call_words::unpromised(plan, one), call_words::without_it(plan, one)),
        );
    }
    if number > RECEIPTS {
        sheet.text(
            Look::Plain,
            format!("{} more: see uses of their parts.", count(number - RECEIPTS, "such receipt", "such receipts")),
        );
    }
}
