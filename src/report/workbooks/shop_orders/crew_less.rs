//! A crew less, in sentences on a shop's sheet: what comes late, and what the line then loses.

use super::facts::{Facts, ShopFacts};
use crate::base::count;
use crate::crew_less::Less;
use crate::plan::Worth;
use crate::report::line_words;
use crate::report::names::job_name;
use crate::report::sheet::{Look, Sheet};
use itertools::Itertools;

/// So many jobs are named.
const NAMED: usize = 5;

/// What is read off them.
const TOLD: &str = "One crew less, all else as it is: jobs that have begun go on with the crew that is free first, and the list by number stays \
valid. Late is told of what the plan as it is has in time, or less late, in all shops.";

/// The sentences of a shop.
pub fn put(sheet: &mut Sheet<'_>, facts: &Facts<'_>, shop: &ShopFacts<'_>) {
    sheet.gap().text(Look::Section, "A crew less");
    let Some(all) = &facts.less else {
        sheet.paragraph(Look::Plain, "Not worked out: the plan is too large to be made anew for each shop and day.");
        return;
    };
    sheet.paragraph(Look::Faint, TOLD);
    let own = all.iter().filter(|less| less.when.shop == shop.id).collect_vec();
    if own.is_empty() {
        sheet.text(Look::Plain, "The shop does not work on these days.");
    }
    for less in own {
        let look = if less.late.is_empty() { Look::Plain } else { Look::Strong };
        sheet.paragraph(look, sentence(facts, less));
    }
}

/// `Tue 14 Sep, all day: 2 jobs late: …; the line then loses …`
fn sentence(facts: &Facts<'_>, less: &Less) -> String {
    let from = less.when.from;
    let when = match (less.all_day, from.time()) {
        (true, 0) => format!("{}, all day", from.date().short()),
        (true, _) => format!("{}, from now on", from.date().short()),
        (false, _) => format!("from {} on", from.short()),
    };
    let named = less
        .late
        .iter()
        .take(NAMED)
        .map(|(job, late)| format!("{} {}", job_name(facts.plan, facts.job(*job)), late.words()));
    let more = less.late.len().saturating_sub(NAMED);
    let more = (more > 0).then(|| format!("and {more} more"));
    let late = match less.late.len() {
        0 => "no job is late for it".to_owned(),
        jobs => format!("{} late for it: {}", count(jobs, "job", "jobs"), named.chain(more).join(", ")),
    };
    format!("{when}: {late}; {}.", loses(facts, &less.worth))
}

/// What the line then loses, and that it is no more than as it is.
fn loses(facts: &Facts<'_>, worth: &Worth) -> String {
    if *worth == Worth::of_plan(facts.plan) {
        return "the line loses no more than as it is".to_owned();
    }
    let known = line_words::loses(facts.plan, &worth.loss).unwrap_or_else(|| "nothing for a known time".to_owned());
    let beside = if worth.no_end > 0 {
        format!("; {} with no known end beside", count(worth.no_end, "stop", "stops"))
    } else {
        String::new()
    };
    format!("the line then loses {known}{beside}")
}
