//! The sheet `run-out`: for each change still to come what is left of the old parts and whether the new ones are there, begun with each
//! unit ahead; the best beginning as a proposal.

use super::facts::Facts;
use super::text::{amount, few};
use crate::base::{PartId, UnitId, count};
use crate::report::listing::{Line, listing, widths};
use crate::report::sheet::{Look, Sheet};
use crate::report::table::Value;
use crate::run_out::{Begin, Row, RunOut, run_outs};
use itertools::Itertools;
use std::collections::BTreeSet;

/// So many changes stand on the sheet, the first of the book.
const MOST_CHANGES: usize = 20;
/// So many rows before and behind each that is marked are shown.
const AROUND: usize = 3;
/// So many parts of a change are named.
const MOST_PARTS: usize = 4;

/// The sheet; `None` where no change is still to come.
pub fn sheet<'p>(facts: &Facts<'p>) -> Option<Sheet<'p>> {
    let all = run_outs(facts.plan);
    if all.is_empty() {
        return None;
    }
    let mut sheet = Sheet::new("run-out", &widths::<Begins>()).with_currency(&facts.plan.plant.currency);
    sheet.text(Look::Title, "When each change could begin: what is left, what is short, what is there");
    sheet.paragraph(
        Look::Plain,
        "Each row is the plan with the change begun with that unit, and on other lines with what enters no earlier. Left is the stock and all \
         receipts less all needs of this sequence; units behind it may need the rest. Nothing is begun by the program: what can be scrapped, \
         returned or used up, and what a change must not wait for, is not in the book.",
    );
    for change in all.iter().take(MOST_CHANGES) {
        put(&mut sheet, facts, change);
    }
    if all.len() > MOST_CHANGES {
        let more = count(all.len() - MOST_CHANGES, "change", "changes");
        sheet.gap().text(Look::Strong, format!("and {more} more, further down in the book"));
    }
    Some(sheet)
}

fn put<'p>(sheet: &mut Sheet<'p>, facts: &Facts<'p>, out: &RunOut) {
    let plant = facts.plan.plant;
    let change = &plant.changes[out.change.at()];
    let what = if change.description.is_empty() { String::new() } else { format!(": {}", change.description) };
    sheet.gap().text(Look::Section, format!("{}{what}", change.code));
    let named = |parts: &[PartId]| few(parts.iter().map(|part| plant.part(*part).code.clone()), MOST_PARTS);
    let none = |words: String| if words.is_empty() { "nothing bought".to_owned() } else { words };
    let goes = format!("Goes out: {}. Comes in: {}.", none(named(&out.parts.old)), none(named(&out.parts.new)));
    sheet.paragraph(Look::Plain, goes);
    if !out.parts.not_looked_at.is_empty() {
        let parts = named(&out.parts.not_looked_at);
        sheet.paragraph(
            Look::Strong,
            format!("Not looked at, since the shops' jobs change with them: {parts}. 'lineward try' tells them for one beginning."),
        );
    }
    if out.too_large {
        sheet.paragraph(Look::Wrong, "Quantities are too large to be told.");
        return;
    }
    if out.parts.old.is_empty() && out.parts.new.is_empty() {
        return;
    }
    for words in told(facts, out) {
        sheet.paragraph(Look::Strong, words);
    }
    let shown = shown(out);
    let lines: Vec<Line<'p, Begins>> = shown.iter().map(|at| line(facts, out, *at)).collect();
    sheet.table(Some(format!("run_out_{}", out.change.at() + 1)), lines);
    let left_out = out.rows.len() - shown.len();
    if left_out > 0 {
        let units = count(left_out, "unit", "units");
        sheet.text(Look::Plain, format!("and {units} more with which it could begin, between these and behind them"));
    }
    if out.more > 0 {
        let units = count(out.more, "unit", "units");
        sheet.text(Look::Strong, format!("{units} further ahead were not looked at"));
    }
}

/// The three beginnings that matter, in words.
fn told(facts: &Facts<'_>, out: &RunOut) -> Vec<String> {
    let begins = |at: usize| begin_words(facts, out.rows[at].begin);
    let mut words = Vec::new();
    if !out.parts.old.is_empty() {
        words.push(match out.first_short() {
            Some(at) => format!(
                "Begun with {} or later an old part is short: {}.",
                begins(at),
                short(facts, out, &out.rows[at])
            ),
            None if out.more > 0 => "No old part is short, as far as was looked at.".to_owned(),
            None => "No old part is short, whichever unit it begins with.".to_owned(),
        });
    }
    if !out.parts.new.is_empty() {
        words.push(match out.first_there() {
            Some(at) => format!("The first with which all new parts are there when they are needed: {}.", begins(at)),
            None => "With none of these units are all new parts there when they are needed.".to_owned(),
        });
    }
    if out.parts.old.is_empty() {
        return words;
    }
    words.push(match out.best() {
        Some(at) => {
            let left = amount(facts, out.rows[at].cost);
            let now = amount(facts, out.rows[0].cost);
            let prices = match out.parts.old.iter().filter(|part| facts.part(**part).cost.is_none()).count() {
                0 => String::new(),
                some => format!(", without {} whose price is not known", count(some, "part", "parts")),
            };
            let there = if out.parts.new.is_empty() { "" } else { "the new parts are there, " };
            format!(
                "A proposal, never done by the program: begin with {}. Nothing is short, {there}and least is left at cost: {left} (as it is \
                 {now}){prices}.",
                begins(at)
            )
        }
        None if out.parts.new.is_empty() => "No proposal: with each of these units an old part is short.".to_owned(),
        None => "No proposal: with each of these units an old part is short or a new one is not there.".to_owned(),
    });
    words
}

/// The rows that are shown: as it is and never, those that are marked, and a few around each.
fn shown(out: &RunOut) -> Vec<usize> {
    let last = out.rows.len() - 1;
    let marked = [out.first_short(), out.first_there(), out.best()];
    let around = marked.into_iter().flatten().flat_map(|at| at.saturating_sub(AROUND)..=(at + AROUND).min(last));
    let rows: BTreeSet<usize> = around.chain([0, last]).collect();
    // Where nothing is marked the first of them.
    if rows.len() > 2 { rows.into_iter().collect() } else { (0..=AROUND.min(last)).chain([last]).dedup().collect() }
}

fn begin_words(facts: &Facts<'_>, begin: Begin) -> String {
    match begin {
        Begin::AsItIs => "as it is".to_owned(),
        Begin::Never => "with no unit of this sequence".to_owned(),
        Begin::With(unit) => facts.plan.plant.units[unit.at()].code.clone(),
    }
}

/// The first unit of the sequence that is inside a change as it is.
fn first_inside(facts: &Facts<'_>, out: &RunOut) -> Option<UnitId> {
    let plan = facts.plan;
    let units = plan.units.iter().filter(|unit| unit.times.is_some());
    units.map(|unit| unit.unit).find(|unit| plan.pace.reached(plan.plant, *unit, out.change))
}

/// `SNK-01 4 ea`.
fn left(facts: &Facts<'_>, out: &RunOut, row: &Row) -> String {
    let left = out.parts.old.iter().zip(&row.left).filter(|(_, left)| left.is_positive());
    few(left.map(|(part, left)| format!("{} {left} {}", facts.part(*part).code, facts.part(*part).uom)), MOST_PARTS)
}

fn short(facts: &Facts<'_>, out: &RunOut, row: &Row) -> String {
    let short = out.parts.old.iter().zip(&row.left).filter(|(_, left)| (-**left).is_positive());
    few(
        short.map(|(part, left)| format!("{} {} {}", facts.part(*part).code, -*left, facts.part(*part).uom)),
        MOST_PARTS,
    )
}

/// Whether the new parts are there; or the first piece that is not.
fn there(facts: &Facts<'_>, out: &RunOut, row: &Row) -> String {
    match row.waits {
        _ if out.parts.new.is_empty() || row.begin == Begin::Never => String::new(),
        None => "all there".to_owned(),
        Some((part, owner, covered)) => {
            format!("{} {} for {}", facts.part(part).code, covered.word(), facts.plan.pace.owners[owner.at()].code)
        }
    }
}

/// Why a row matters.
fn marks(facts: &Facts<'_>, out: &RunOut, at: usize) -> String {
    let mut words = Vec::new();
    if out.rows[at].begin == Begin::AsItIs {
        let first = first_inside(facts, out).map(|unit| facts.plan.plant.units[unit.at()].code.as_str());
        words.push(format!("as the book says: {}", first.unwrap_or("no unit of this sequence")));
    }
    if out.first_there() == Some(at) {
        words.push("first with all new parts there".to_owned());
    }
    if out.best() == Some(at) {
        words.push("least left at cost: a proposal".to_owned());
    }
    if out.first_short() == Some(at) {
        words.push("first with an old part short".to_owned());
    }
    words.join("; ")
}

listing! {
    /// A unit with which a change could begin.
    Begins: fn line<'p>(facts: &Facts<'p>, out: &RunOut, at: usize) {
        let row = &out.rows[at];
        let enters = match row.begin {
            Begin::With(unit) => facts.plan.pace.enters(facts.plan.plant, unit),
            Begin::AsItIs | Begin::Never => None,
        };
    }
    look: if out.best() == Some(at) { Look::Strong } else { Look::Plain };
    "begun with", 26, Text => begin_words(facts, row.begin);
    "enters", 17, Moment => enters;
    "left of what goes out", 34, Wrapped => left(facts, out, row);
    "at cost", 12, Money => if out.parts.old.is_empty() { Value::Blank } else { row.cost.into() };
    "short of what goes out", 26, Wrapped => short(facts, out, row);
    "what comes in", 28, Wrapped => there(facts, out, row);
    "mark", 34, Wrapped => marks(facts, out, at);
}
