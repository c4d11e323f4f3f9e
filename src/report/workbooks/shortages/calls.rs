//! The calls that save the line, for the first sheet: in the order in which they are made, with what each is worth.

use super::facts::Facts;
use super::text::{count, supplier_name};
use crate::calls::{Call, Calls, Without};
use crate::plan::Worth;
use crate::report::call_words;
use crate::report::listing::{Line, listing};
use crate::report::sheet::{Look, Sheet};

/// So many calls stand on the first sheet.
const MOST: usize = 10;
/// So many dates of a call are named.
const DATES: usize = 2;
/// So many receipts that nobody promised are named.
const RECEIPTS: usize = 3;

/// What is told of the order and the figures.
const TOLD: &str = "By the day until which they save the line; within a day stops with no known end first, then by what the line loses if the call fails \
alone. Minutes as above, each day begun on its times; stops with no known end before them. 'If it fails': all others succeed. 'Minutes saved \
alone': all others fail. The moment is for you, not for the supplier.";

/// The calls; nothing where nothing stops that a call could keep moving.
pub fn put<'p>(sheet: &mut Sheet<'p>, facts: &Facts<'p>, calls: &Calls) {
    if calls.calls.is_empty() && calls.left_out == 0 {
        return;
    }
    sheet.gap().text(Look::Section, "Calls that save the line, in their order");
    sheet.paragraph(Look::Faint, TOLD);
    let shown = calls.calls.len().min(MOST);
    // What is on hold is there once: it stands before the first call about its part.
    let first = |at: usize| calls.calls[..at].iter().all(|other| other.part != calls.calls[at].part);
    let lines = (0..shown).flat_map(|at| lines(facts, &calls.calls[at], first(at))).collect();
    sheet.table(Some("calls".to_owned()), lines);
    for (number, block) in
        calls.blocks.iter().enumerate().filter(|(_, block)| block.calls.iter().any(|call| *call < shown))
    {
        let words = format!("Block {}: {}.", number + 1, call_words::block(block, &calls.calls));
        sheet.paragraph(Look::Strong, words);
    }
    if calls.calls.len() > shown {
        let more = count(calls.calls.len() - shown, "call", "calls");
        sheet.text(Look::Plain, format!("{more} more save the line later: see 'by supplier'."));
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

/// A line of the sheet: a call, or stock on hold to ask quality about.
struct Told<'p> {
    what: String,
    of: &'p str,
    fails: String,
    saves: String,
    ask: String,
}

/// A call, after the stock on hold that would do where that was not told before.
fn lines<'p>(facts: &Facts<'p>, call: &Call, first: bool) -> Vec<Line<'p, CallsInOrder>> {
    let plan = facts.plan;
    let part = facts.part(call.part);
    let (held, enough) = call.on_hold(plan);
    let mut lines = Vec::new();
    if first && enough.is_positive() {
        let until = call.quality_until(plan);
        let asked = call_words::sent(part, call.asked());
        let of = if enough < call.asked() { format!(" for {enough} of {asked}") } else { String::new() };
        let ask = format!(
            "{} would do{of}: quality decides, and can answer until {}; after it the call is made.",
            call_words::on_hold(&held, enough),
            until.map_or("now".to_owned(), |until| until.short())
        );
        let told = Told {
            what: "ask quality".to_owned(),
            of: "stock on hold",
            fails: String::new(),
            saves: String::new(),
            ask,
        };
        lines.push(line(facts, call, Look::Plain, told));
    }
    let (what, delivery) = call_words::what(plan, call);
    let (order, supplier) =
        delivery.map_or(("", part.supplier.as_str()), |delivery| (delivery.order, delivery.supplier));
    let promise = delivery.map(|delivery| delivery.not_promised()).filter(|words| !words.is_empty());
    let promise = promise.map_or(String::new(), |words| format!(" ({words})"));
    let inside = if call.inside_lead_time(plan) { "; inside lead time" } else { "" };
    let ask = format!("{}{promise}{inside}.", call_words::steps(part, call, DATES));
    let fails = call_words::short_worth(&call.alone);
    let saves = call.saves.map_or("not worked out".to_owned(), |saves| call_words::saved_in_short(&saves));
    let told =
        Told { what: format!("{what} {order}").trim_end().to_owned(), of: supplier_name(supplier), fails, saves, ask };
    lines.push(line(facts, call, if call.alone.no_end > 0 { Look::Strong } else { Look::Plain }, told));
    lines
}

listing! {
    /// The calls in their order.
    pub CallsInOrder: fn line<'p>(facts: &Facts<'p>, call: &Call, look: Look, told: Told<'p>) {
        let block = call.block.map_or(String::new(), |block| format!(" (block {})", block + 1));
    }
    look: look;
    "call", 24, Wrapped => told.what;
    "supplier", 28, Wrapped => told.of;
    "part", 16, Text => facts.part(call.part).code.as_str();
    "saves the line until", 17, Moment => call.saves_until;
    "if it fails, min", 26, Wrapped => told.fails;
    "minutes saved alone", 24, Wrapped => told.saves;
    "ask", 76, Wrapped => told.ask + &block;
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
