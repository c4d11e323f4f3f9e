//! The buyer's workbook: what will be short or late, what to do about it, whom to call, and each part's balance by day.

mod acts;
mod asks;
mod balance;
mod bring_forward;
mod by_supplier;
mod calls;
mod changes;
mod chase;
mod cures;
mod cure_words;
mod facts;
mod first_builds;
mod first_sheet;
mod not_needed;
mod on_hold;
mod order;
mod past;
mod routine;
mod run_out;
mod short_parts;
mod text;
mod the_line;
mod units;
mod unsupplied;
mod waiting;
mod who_waits;

use super::Making;
use crate::calls::{Calls, without};
use crate::cures::Cures;
use crate::plan::Plan;
use crate::report::sheet::{Sheet, Workbook};
use crate::report::table::Value;

pub fn workbook<'p>(plan: &'p Plan<'p>) -> Workbook<'p> {
    let facts = facts::Facts::of(plan);
    let acts = acts::Acts::of(&facts);
    let cures = Cures::of(plan);
    let (calls, without) = (Calls::of(plan, &cures), without(plan));
    let (facts, acts, cures, calls) = (&facts, &acts, &cures, &calls);
    let printed: Vec<Making<'_, 'p>> = vec![
        Box::new(|| Some(first_sheet::sheet(facts, acts, cures, (calls, without)))),
        Box::new(|| Some(by_supplier::sheet(facts, acts, calls))),
        Box::new(|| routine::sheet(facts, acts)),
        Box::new(|| Some(changes::sheet(facts))),
        Box::new(|| Some(units::not_clear(facts))),
    ];
    let looked_at: Vec<Making<'_, 'p>> = vec![
        Box::new(|| Some(the_line::sheet(facts))),
        Box::new(|| Some(cures::sheet(facts, cures))),
        Box::new(|| Some(short_parts::sheet(facts))),
        Box::new(|| Some(who_waits::sheet(facts))),
        Box::new(|| Some(on_hold::sheet(facts))),
        Box::new(|| Some(chase::sheet(facts, acts))),
        Box::new(|| Some(bring_forward::sheet(facts, acts))),
        Box::new(|| Some(order::sheet(facts, acts))),
        Box::new(|| past::sheet(facts)),
        Box::new(|| run_out::sheet(facts)),
        Box::new(|| first_builds::sheet(facts)),
        Box::new(|| Some(not_needed::sheet(facts))),
        Box::new(|| Some(not_needed::rest(facts))),
        Box::new(|| Some(units::sheet(facts))),
        Box::new(|| Some(balance::watched(facts, acts))),
        Box::new(|| Some(balance::all(facts))),
    ];
    let papers = printed.len();
    let mut sheets = super::side_by_side(printed.into_iter().chain(looked_at));
    sheets.iter_mut().skip(papers).flatten().for_each(for_the_screen);
    let sheets = sheets.into_iter().flatten().collect();
    Workbook { file: "shortages.xlsx", title: "Shortages".to_owned(), foot: super::foot(plan), sheets }
}

/// Marks a sheet that is not printed, which its title says.
fn for_the_screen(sheet: &mut Sheet<'_>) {
    sheet.for_the_screen = true;
    if let Some(Value::Text(title)) =
        sheet.rows.first_mut().and_then(|row| row.cells.first_mut()).map(|cell| &mut cell.value)
    {
        *title = format!("For the screen: {title}").into();
    }
}
