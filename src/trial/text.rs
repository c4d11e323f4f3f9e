//! What can be run instead, in words that paper and terminal share.

use super::instead::{BEST, Instead, Proposal};
use super::measure::Measure;
use crate::base::Total;
use crate::compare::{self, Notice};
use crate::plan::Totals;
use std::fmt::Write;

/// The best that was found, each with so many lines of each section of its change notice.
pub fn text(instead: &Instead, picked: bool, most: usize) -> String {
    let mut text = format!("what can be run instead: {}\n", verdict(instead));
    for (proposal, number) in instead.best.iter().zip(1..) {
        let _ = writeln!(text, "{number}. {}", proposal.what);
        let _ = writeln!(text, "   {}", then(proposal, &instead.now, picked));
        for line in notice(&proposal.notice, most).lines() {
            let _ = writeln!(text, "     {line}");
        }
    }
    if !instead.best.is_empty() {
        text.push_str("nothing is changed: to take one, change the sequence in the book\n");
    }
    text
}

/// What a change notice tells first, or all of it.
fn notice(notice: &Notice, most: usize) -> String {
    if most == usize::MAX { compare::text(notice, most) } else { compare::brief(notice, most) }
}

/// How many were tried, and what came of it.
pub fn verdict(instead: &Instead) -> String {
    let Instead { tried, not_tried, best, .. } = instead;
    let more = if *not_tried > 0 { format!(" ({not_tried} more not tried: --trials)") } else { String::new() };
    let orders = if *tried == 1 { "order" } else { "orders" };
    match (tried, best.len()) {
        (0, _) if *not_tried > 0 => format!("nothing was tried ({not_tried} not tried: --trials)"),
        (0, _) if instead.now.units_that_stop == 0 => "no unit stops, nothing was tried".to_owned(),
        (0, _) => "no unit that stops is free to move (those on the line or fixed stay), nothing was tried".to_owned(),
        (_, 0) => format!("{tried} {orders} tried{more}; none is better than the plan as it is"),
        (_, 1) => format!("{tried} {orders} tried{more}; this one is better than the plan as it is"),
        (_, best) if best > BEST => {
            format!("{tried} {orders} tried{more}; the best {BEST}, and the best that holds no unit back")
        }
        (_, best) => format!("{tried} {orders} tried{more}; the best {best}"),
    }
}

/// What a proposal does: `1 unit stops, the line loses 760 min by days, 760 if nothing is made up (now …); the last unit enters 60 line
/// minutes later; late jobs 0 as now`.
pub fn then(proposal: &Proposal, now: &Measure, picked: bool) -> String {
    format!("{} (now {}); {}", stops(&proposal.then), stops(now), costs(&proposal.then, now, picked))
}

/// What it costs: `the last unit enters 60 line minutes later; late jobs 0 as now; 3 picked to move or bring back`.
pub fn costs(then: &Measure, now: &Measure, picked: bool) -> String {
    let mut words = Vec::new();
    words.push(match then.gap_minutes {
        0 => "the last unit enters as now or sooner".to_owned(),
        1 => "the last unit enters 1 line minute later".to_owned(),
        minutes => format!("the last unit enters {minutes} line minutes later"),
    });
    words.push(match (then.late_jobs, now.late_jobs) {
        (then, now) if then == now => format!("late jobs {then} as now"),
        (then, now) => format!("late jobs {then} (now {now})"),
    });
    words.extend(picked.then(|| match then.to_move {
        Total::ZERO => "nothing picked to move".to_owned(),
        pieces => format!("{pieces} picked to move or bring back"),
    }));
    words.join("; ")
}

/// `2 units stop, 1 with no known end, the line loses 800 min by days, 760 if nothing is made up`
fn stops(measure: &Measure) -> String {
    let Measure { units_that_stop, not_known_how_long, lost_minutes, lost_if_nothing_is_made_up, .. } = *measure;
    let units = Totals { units: units_that_stop, ..Totals::default() }.units_words();
    let unknown = match not_known_how_long {
        0 => String::new(),
        all => format!(", {all} with no known end"),
    };
    if not_known_how_long == units_that_stop && lost_minutes == 0 {
        return format!("{units}{unknown}");
    }
    format!(
        "{units}{unknown}, the line loses {lost_minutes} min by days, {lost_if_nothing_is_made_up} if nothing is made up"
    )
}
