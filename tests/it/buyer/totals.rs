//! The first sheet's totals of what there is to do.

use super::cells::{Written, count};
use super::facts::{Facts, amount};
use super::{Findings, chase, forward, left, order};

pub fn check(facts: &Facts, written: &Written, found: &mut Findings) {
    let mut total = |what: &'static str, label: &str, right: &str| {
        found.one(what, &written.fact("at a glance", label), right);
    };
    let overdue = chase::overdue(facts);
    let leaned = overdue.iter().filter(|delivery| !delivery.pegs.is_empty()).count();
    let overdue = count(overdue.len(), "overdue receipt", "overdue receipts");
    total("first sheet: chase", "to chase", &format!("{overdue}; this sequence leans on {leaned} of them"));
    let late = forward::late(facts).len();
    let late = count(late, "receipt, in part or whole", "receipts, in part or whole");
    total("first sheet: bring forward", "to bring forward", &late);
    total("first sheet: order", "to order", &order::total(facts, &order::orders(facts)));
    let (whole, rest) = left::left(facts);
    let words = format!(
        "{} ({}), and some of {} more ({}); no reason to cancel",
        count(whole.len(), "whole receipt", "whole receipts"),
        amount(left::cost(facts, &whole)),
        rest.len(),
        amount(left::cost(facts, &rest)),
    );
    total("first sheet: not needed", "not needed here", &words);
}
