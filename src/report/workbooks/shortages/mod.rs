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
mod waiting;
mod who_waits;

use crate::calls::{Calls, without};
use crate::cures::Cures;
use crate::plan::Plan;
use crate::report::sheet::{Sheet, Workbook};
use crate::report::table::Value;

/// The workbook.
pub fn workbook<'p>(plan: &'p Plan<'p>) -> Workbook<'p> {
    let facts = facts::Facts::of(plan);
    let acts = acts::Acts::of(&facts);
    let cures = Cures::of(plan);
    let (calls, without) = (Calls::of(plan, &cures), without(plan));
    let printed = [
        Some(first_sheet::sheet(&facts, &acts, &cures, (&calls, without))),
        Some(by_supplier::sheet(&facts, &acts, &calls)),
        routine::sheet(&facts, &acts),
        Some(changes::sheet(&facts)),
        Some(units::not_clear(&facts)),
    ];
    let looked_at = [
        Some(the_line::sheet(&facts)),
        Some(cures::sheet(&facts, &cures)),
        Some(short_parts::sheet(&facts)),
        Some(who_waits::sheet(&facts)),
        Some(on_hold::sheet(&facts)),
        Some(chase::sheet(&facts, &acts)),
        Some(bring_forward::sheet(&facts, &acts)),
        Some(order::sheet(&facts, &acts)),
        past::sheet(&facts),
        run_out::sheet(&facts),
        first_builds::sheet(&facts),
        Some(not_needed::sheet(&facts)),
        Some(not_needed::rest(&facts)),
        Some(units::sheet(&facts)),
        Some(balance::watched(&facts, &acts)),
        Some(balance::all(&facts)),
    ];
    let sheets = printed.into_iter().flatten().chain(looked_at.into_iter().flatten().map(for_the_screen)).collect();
    Workbook { file: "shortages.xlsx", title: "Shortages".to_owned(), foot: super::foot(plan), sheets }
}

/// A sheet that is not printed, which its title says.
fn for_the_screen(mut sheet: Sheet<'_>) -> Sheet<'_> {
    sheet.for_the_screen = true;
    if let Some(Value::Text(title)) =
        sheet.rows.first_mut().and_then(|row| row.cells.first_mut()).map(|cell| &mut cell.value)
    {
        *title = format!("For the screen: {title}").into();
    }
    sheet
}
