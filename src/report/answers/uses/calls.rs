//! What a call about a part is worth, as text.

use crate::base::count;
use crate::report::call_words::words;
use crate::report::line_words::{NOT_A_FORECAST, minutes};
use crate::report::prose::{Prose, list};
use crate::uses::facts::{CallFacts, LossFacts, SavedFacts, Uses};
use itertools::Itertools;

/// So many dates are named.
const DATES: usize = 5;

/// The calls, where there are any.
pub fn put(uses: &Uses, prose: &mut Prose) {
    let told = uses.receipts.iter().any(|receipt| receipt.without.is_some());
    if uses.calls.is_empty() && !told {
        return;
    }
    if !uses.calls.is_empty() {
        prose.heading("What to call for");
        uses.calls.iter().for_each(|call| call_lines(call, prose));
    }
    prose.line(2, NOT_A_FORECAST);
}

/// `Tue 14 Sep 250, Wed 15 Sep 470 min, each day begun on its times; 1405 if nothing is made up; 83 stops with no known end beside`
pub fn loses(loss: &LossFacts) -> String {
    let several = loss.by_date.iter().map(|lost| &lost.line).unique().count() > 1;
    let days = loss.by_date.iter().take(DATES).map(|lost| {
        let line = if several { format!("line {} ", lost.line) } else { String::new() };
        format!("{line}{} {}", lost.date.short(), minutes(lost.seconds))
    });
    let more = loss.by_date.len().saturating_sub(DATES);
    let more = (more > 0).then(|| format!("{more} days more"));
    let days = days.chain(more).join(", ");
    let in_all = minutes(loss.if_nothing_is_made_up);
    let known = match days.is_empty() {
        true => "nothing for a known time".to_owned(),
        false => format!("{days} min, each day begun on its times; {in_all} if nothing is made up"),
    };
    match loss.no_known_end {
        0 => known,
        units => format!("{known}; {} with no known end beside", count(units, "stop", "stops")),
    }
}

fn call_lines(call: &CallFacts, prose: &mut Prose) {
    let order = if call.purchase_order.is_empty() { String::new() } else { format!(" {}", call.purchase_order) };
    let steps = call.steps.iter().take(DATES).map(|step| {
        let last = step.saves_until.filter(|last| *last != step.by);
        let last = last.map_or(String::new(), |last| format!(", at the last {}", last.short()));
        format!("{} by {}{last}", step.qty, step.by.short())
    });
    let more = call.steps.len().saturating_sub(DATES);
    let more = (more > 0).then(|| format!("and {}", count(more, "date more", "dates more")));
    let steps = steps.chain(more).join("; ");
    let what = call.what[..1].to_uppercase() + &call.what[1..];
    prose.line(2, &format!("{what}{order}: {steps}."));
    prose.line(4, &format!("If this alone fails, the line loses {}.", loses(&call.fails_alone)));
    if let Some(saves) = &call.saves_alone {
        prose.line(4, &format!("If this alone succeeds, it saves {}.", saved(saves)));
    }
    if let Some((parts, saves)) = &call.together {
        prose.line(4, &format!("All of these save {}: this and {}.", saved(saves), list(parts)));
    }
}

fn saved(saved: &SavedFacts) -> String {
    words(saved.by_dates, saved.if_nothing_is_made_up, saved.no_known_end)
}
