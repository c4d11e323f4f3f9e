//! The sheet `what can be run instead` of the buyer's workbook: the best that was tried, each with its change notice.

use super::instead::Instead;
use super::text::{then, verdict};
use crate::compare;
use crate::report::line_words::NOT_A_FORECAST;
use crate::report::listing::{listing, widths};
use crate::report::sheet::{Look, Sheet};

/// So many lines of each section of a notice stand on the sheet.
const LINES: usize = 12;

const TOLD: &str = "For each unit that stops the line and has not entered: its exchange with each of the next ten clear units, \
one to ten places further back, one place left empty before it, a hold. Each was planned whole. The first is the one with the \
fewest units that stop with no known end, then with what the line loses, empty places included, each day begun on its times, then if \
nothing is made up; then units that stop, late jobs, picked pieces to move, the order of the sequence. Where the best three hold units back, the best that holds none stands behind them. Nothing is changed: to take one, change the sequence in the book. What a held unit needs comes back when it \
is released; stock on hold is never counted.";

/// The orders that were tried and are told, best first; with what would be moved on the carts where runs are picked.
pub fn sheet(instead: &Instead, picked: bool) -> Sheet<'_> {
    let mut sheet = Sheet::new("what can be run instead", &widths::<Tried>());
    sheet.text(Look::Title, "What can be run instead");
    sheet.text(Look::Strong, verdict(instead));
    sheet.paragraph(Look::Plain, TOLD);
    sheet.paragraph(Look::Faint, NOT_A_FORECAST);
    sheet.gap();
    let mut lines = vec![line(Look::Faint, None, "the plan as it is", &instead.now, 0)];
    let best = instead.best.iter().zip(1..);
    lines.extend(best.map(|(proposal, number)| {
        line(Look::Plain, Some(number), &proposal.what, &proposal.then, proposal.notice.units.len())
    }));
    sheet.table(Some("instead".to_owned()), lines);
    // Other text follows on the sheet.
    (sheet.repeat, sheet.freeze) = (None, None);
    for (proposal, number) in instead.best.iter().zip(1..) {
        sheet.gap().text(Look::Section, format!("{number}. {}", proposal.what));
        sheet.paragraph(Look::Strong, then(proposal, &instead.now, picked));
        for line in compare::brief(&proposal.notice, LINES).lines() {
            sheet.paragraph(if line.starts_with(' ') { Look::Plain } else { Look::Strong }, line.trim_start());
        }
    }
    sheet
}

listing! {
    /// What was tried, and what it comes to.
    Tried: fn line<'t>(look: Look, number: Option<i64>, what: &'t str, measure: &super::Measure, changed: usize) {
        let whole = |count: usize| i64::try_from(count).unwrap_or(i64::MAX);
    }
    look: look;
    "no", 5, Whole => number;
    "what", 44, Wrapped => what;
    "units that stop", 11, Whole => whole(measure.units_that_stop);
    "of them with no known end", 13, Whole => whole(measure.not_known_how_long);
    "line loses by days, min", 13, Whole => measure.lost_minutes;
    "if nothing is made up, min", 13, Whole => measure.lost_if_nothing_is_made_up;
    "last unit enters later, min", 13, Whole => measure.gap_minutes;
    "late jobs", 11, Whole => whole(measure.late_jobs);
    "picked to move", 11, Quantity => measure.to_move;
    "units changed", 14, Whole => whole(changed);
}
