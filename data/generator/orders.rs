//! From what was ordered to all options a unit has; none where the order is wrong.

use crate::model::PLANS;
use crate::options::{GROUPS, OPTIONS, PACKAGES, RULES, offer, offers, single_group};
use crate::when::holds;
use std::collections::BTreeSet;

type Names = BTreeSet<String>;

/// The names true for a unit of this floorplan with these ordered options, or nothing where the order breaks a rule.
pub fn resolve(plan: usize, ordered: &[String], line: &str) -> Option<Names> {
    let (code, _, series, _, _) = PLANS[plan];
    let (away, wanted): (Vec<&String>, Vec<&String>) = ordered.iter().partition(|o| o.starts_with('-'));
    let away: Names = away.iter().map(|o| o[1..].to_string()).collect();
    if wanted.iter().any(|o| offer(code, o) == "not offered") {
        return None;
    }
    let mut chosen = Names::new();
    wanted.iter().for_each(|o| unfold(o, &mut chosen));
    let place = [code, series, line].map(str::to_string);
    let mut used = Vec::new();
    loop {
        let mut names = with_standards(code, &chosen, &away);
        names.extend(place.clone());
        match rule_that_adds(&names) {
            Some(rule) => {
                used.push(rule);
                unfold(RULES[rule][1], &mut chosen);
            }
            None => return is_right(code, &names, &away, &used).then_some(names),
        }
    }
}

fn unfold(option: &str, into: &mut Names) {
    if into.insert(option.to_string()) {
        let inside = PACKAGES.iter().filter(|row| row.0 == option);
        inside.for_each(|row| unfold(row.1, into));
    }
}

/// Whether a row of `Offers` makes its option standard on the floorplan.
pub fn is_standard(plan: &str, row: &(&str, &str, &str)) -> bool {
    let own = |option: &str| {
        offers().iter().any(|r| r.0 == plan && r.2 == "standard" && single_group(r.1) == single_group(option))
    };
    let pushed_out = row.0 == "*" && single_group(row.1).is_some() && own(row.1);
    let counts = row.0 == plan || (row.0 == "*" && !offers().iter().any(|r| r.0 == plan && r.1 == row.1));
    row.2 == "standard" && counts && !pushed_out
}

fn with_standards(plan: &str, chosen: &Names, away: &Names) -> Names {
    let mut all = chosen.clone();
    let rows = offers();
    let standards = rows.iter().filter(|row| is_standard(plan, row));
    for row in standards.filter(|row| !away.contains(row.1)) {
        let group = single_group(row.1);
        let taken = group.is_some() && all.iter().any(|o| single_group(o) == group);
        if !taken {
            unfold(row.1, &mut all);
        }
    }
    all
}

fn rule_that_adds(names: &Names) -> Option<usize> {
    RULES.iter().position(|rule| !rule[1].is_empty() && !names.contains(rule[1]) && holds(rule[0], names))
}

fn is_right(plan: &str, names: &Names, away: &Names, used: &[usize]) -> bool {
    let count = |group: &str| names.iter().filter(|o| single_group(o) == Some(group)).count();
    let offered = |group: &str| OPTIONS.iter().any(|o| o.2 == group && offer(plan, o.0) != "not offered");
    let groups = GROUPS.iter().all(|g| count(g.0) <= 1 && (g.1 != "one" || !offered(g.0) || count(g.0) == 1));
    let musts = RULES.iter().all(|rule| rule[2].is_empty() || !holds(rule[0], names) || holds(rule[2], names));
    groups && musts && away.is_disjoint(names) && used.iter().all(|r| holds(RULES[*r][0], names))
}
