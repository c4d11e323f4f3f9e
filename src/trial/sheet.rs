//! The sheet `what can be run instead` of the buyer's workbook: the best that was tried, each with its change notice.

use super::instead::Instead;
use super::text::{then, verdict};
use crate::compare;
use crate::report::line_words::NOT_A_FORECAST;
use crate::report::sheet::{Column, Look, Sheet, Show};

const WIDTHS: [u16; 10] = [5, 44, 11, 13, 13, 13, 13, 11, 11, 14];
/// So many lines of each section of a notice stand on the sheet.
const LINES: usize = 12;

const COLUMNS: [Column; 10] = [
    Column { heading: "no", show: Show::Whole },
    Column { heading: "what", show: Show::Wrapped },
    Column { heading: "units that stop", show: Show::Whole },
    Column { heading: "of them with no known end", show: Show::Whole },
    Column { heading: "line loses by days, min", show: Show::Whole },
    Column { heading: "if nothing is made up, min", show: Show::Whole },
    Column { heading: "last unit enters later, min", show: Show::Whole },
    Column { heading: "late jobs", show: Show::Whole },
    Column { heading: "picked to move", show: Show::Quantity },
    Column { heading: "units changed", show: Show::Whole },
];

const TOLD: &str = "For each unit that stops the line and has not entered: its exchange with each of the next ten clear units, \
one to ten places further back, one place left empty before it, a hold. Each was planned whole. The first is the one with the \
fewest units that stop with no known end, then with what the line loses, empty places included, each day begun on its times, then if \
nothing is made up; then units that stop, late jobs, picked pieces to move, the order of the sequence. Where the best three hold units back, the best that holds none stands behind them. Nothing is changed: to take one, change the sequence in the book. What a held unit needs comes back when it \
is released; stock on hold is never counted.";

/// The sheet.
pub fn sheet(instead: &Instead, picked: bool) -> Sheet<'_> {
    let mut sheet = Sheet::new("what can be run instead", &WIDTHS);
    sheet.text(Look::Title, "What can be run instead");
    sheet.text(Look::Strong, verdict(instead));
    sheet.paragraph(Look::Plain, TOLD);
    sheet.paragraph(Look::Faint, NOT_A_FORECAST);
    sheet.gap();
    let mut lines = vec![(Look::Faint, line(0, "the plan as it is", &instead.now, 0))];
    let best = instead.best.iter().zip(1..);
    lines.extend(best.map(|(proposal, number)| {
        (Look::Plain, line(number, &proposal.what, &proposal.then, proposal.notice.units.len()))
    }));
    sheet.table(Some("instead".to_owned()), &COLUMNS, lines);
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

fn line<'t>(
    number: i64,
    what: &'t str,
    measure: &super::Measure,
    changed: usize,
) -> Vec<crate::report::table::Value<'t>> {
    let whole = |count: usize| i64::try_from(count).unwrap_or(i64::MAX).into();
    vec![
        if number > 0 { number.into() } else { "".into() },
        what.into(),
        whole(measure.units_that_stop),
        whole(measure.not_known_how_long),
        measure.lost_minutes.into(),
        measure.lost_if_nothing_is_made_up.into(),
        measure.gap_minutes.into(),
        whole(measure.late_jobs),
        measure.to_move.into(),
        whole(changed),
    ]
}
