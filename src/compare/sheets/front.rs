//! The first sheet: the whole story on one page.

use super::super::text::{job_totals, receipt_totals, shortage_totals, unit_totals, walk_totals};
use super::super::words;
use super::super::{Code, CompareTerms, Deliveries, Notice, totals};
use super::Side;
use crate::base::count;
use crate::report::listing::{listing, widths};
use crate::report::sheet::{Look, Paper, Sheet, Show};
use std::cmp::Reverse;
use std::collections::BTreeMap;

/// How many units are named.
const NAMED: usize = 14;

const CONTENTS: [(&str, &str); 11] = [
    ("walk", "for the one who sets the carts right: along the stations, then through the stores"),
    ("stays", "what is on carts and is not touched"),
    ("kits", "what to add to and take out of each run's kits and bulk deliveries"),
    ("other runs", "kits that change in nothing but the run they go with"),
    ("units", "all units that are new, gone, moved, built or standing otherwise"),
    ("needs", "what units need more or less"),
    ("jobs", "for the shops' leads: jobs that are new, gone, changed or moved"),
    ("shortages", "what is missing now and was not, and what no longer is"),
    ("receipts", "for the buyer: what is needed of which purchase order by when"),
    ("planned orders", "for the buyer: what would be ordered now and was not, and the other way round"),
    (
        "past the sequence",
        "for the buyer: what is to be ordered for what is forecast, and was not, and the other way round",
    ),
];

pub fn sheet<'n>(
    notice: &'n Notice,
    deliveries: &Deliveries<'n>,
    [old, new]: [&Side; 2],
    asked: &CompareTerms,
    names: &[&str],
) -> Sheet<'n> {
    let mut sheet = Sheet::new("front", &widths::<Most>());
    sheet.paper = Paper::OnePage;
    sheet.text(Look::Title, "Change notice");
    sheet.fact(Look::Strong, 2, "the plan as it was", old.to_string(), Show::Text);
    sheet.fact(Look::Strong, 2, "the plan as it is", new.to_string(), Show::Text);
    let picked = asked.picked_through.map_or("not said: nothing is taken to be on carts".to_owned(), |through| {
        format!("all runs up to the {} run", through.short())
    });
    sheet.fact(Look::Plain, 2, "picked already", picked, Show::Text);
    sheet.gap();
    if notice.is_empty() {
        sheet.paragraph(Look::Strong, "Nothing changed between the two plans.");
    }
    sheet.text(Look::Section, "In all");
    for (label, told) in in_all(notice, deliveries) {
        sheet.fact(Look::Plain, 2, label, told, Show::Text);
    }
    let causes = causes(notice);
    if !causes.is_empty() {
        sheet.gap().text(Look::Section, "Where it begins");
        for (label, told) in causes {
            sheet.fact(Look::Strong, 2, label, told, Show::Text);
        }
    }
    let units = most(notice, deliveries);
    if !units.is_empty() {
        sheet.gap().text(Look::Section, "Units with the most changes");
        let more = units.len().saturating_sub(NAMED);
        let named = units.iter().take(NAMED).map(|(unit, counts)| line(notice, unit, *counts));
        sheet.table(None, named.collect());
        if more > 0 {
            sheet.text(Look::Plain, format!("and {}: see the other sheets", count(more, "more unit", "more units")));
        }
    }
    if !names.is_empty() {
        sheet.gap().text(Look::Section, "Where to look");
    }
    for (name, what) in CONTENTS.into_iter().filter(|(name, _)| names.contains(name)) {
        sheet.fact(Look::Plain, 2, name, what, Show::Text);
    }
    sheet
}

fn in_all(notice: &Notice, deliveries: &Deliveries<'_>) -> Vec<(&'static str, String)> {
    let (bulk, kits): (Vec<_>, Vec<_>) = deliveries.changed.iter().partition(|lines| lines[0].bulk);
    let lines = || deliveries.changed.iter().flatten();
    let add = lines().filter(|change| change.add().is_positive()).count();
    let out = lines().filter(|change| change.take_out().is_positive()).count();
    let mut all = vec![
        ("units", unit_totals(notice)),
        ("kits", kits_told(kits.len(), bulk.len(), add, out)),
        ("kits on another run", deliveries.other_run.len().to_string()),
        ("needs of another quantity", totals(&notice.needs, &notice.units).len().to_string()),
        ("jobs", job_totals(notice)),
        ("shortages", shortage_totals(notice)),
        ("receipts", receipt_totals(notice)),
        ("planned orders changed", notice.orders.len().to_string()),
    ];
    if !notice.outlook.is_empty() {
        all.push(("orders for what is forecast changed", notice.outlook.len().to_string()));
    }
    if notice.walk.is_some() {
        all.insert(0, ("on the carts", format!("{} (lines of one part)", walk_totals(notice))));
    }
    all
}

fn kits_told(kits: usize, bulk: usize, add: usize, out: usize) -> String {
    let kits = count(kits, "kit", "kits");
    let bulk = count(bulk, "bulk delivery", "bulk deliveries");
    let (add, out) = (count(add, "line", "lines"), count(out, "line", "lines"));
    format!("{kits} and {bulk} changed: {add} to add to, {out} to take from")
}

/// Units that are new, gone, on or off hold, built otherwise or elsewhere in the order, by name.
fn causes(notice: &Notice) -> Vec<(&'static str, String)> {
    let labels = ["new units", "units that are gone", "on or off hold", "built otherwise", "elsewhere in the order"];
    let named = labels.into_iter().enumerate().filter_map(|(weight, label)| {
        let units: Vec<_> = notice.units.iter().filter(|change| change.weight() == weight).collect();
        let told = units.iter().take(NAMED).map(|change| match weight {
            2 | 3 => format!("{} ({})", change.unit, words::decided(change)),
            _ => change.unit.to_string(),
        });
        let more = units.len().saturating_sub(NAMED);
        let more = if more > 0 { format!(" and {more} more") } else { String::new() };
        (!units.is_empty()).then(|| (label, told.collect::<Vec<_>>().join(", ") + &more))
    });
    named.collect()
}

/// Units by how much of theirs changed, the most first; a kit that goes with another run counts as one line.
fn most(notice: &Notice, deliveries: &Deliveries<'_>) -> Vec<(Code, [i64; 4])> {
    let mut changes: BTreeMap<Code, [i64; 4]> = BTreeMap::new();
    let other_runs = deliveries.other_run.iter().map(|kit| kit.lines[0]);
    let kits = deliveries.changed.iter().flatten().copied().chain(other_runs);
    let kits = kits.map(|change| (change.unit.clone(), 0));
    let needs = totals(&notice.needs, &notice.units).into_iter().map(|change| (change.unit, 1));
    let jobs = notice.jobs.iter().filter_map(|change| Some((change.row()?.unit.clone(), 2)));
    let shortages = notice.shortages.iter().map(|change| (change.unit.clone(), 3));
    for (unit, which) in kits.chain(needs).chain(jobs).chain(shortages).filter(|(unit, _)| !unit.is_blank()) {
        changes.entry(unit).or_default()[which] += 1;
    }
    for change in &notice.units {
        changes.entry(change.unit.clone()).or_default();
    }
    let mut units: Vec<(Code, [i64; 4])> = changes.into_iter().collect();
    units.sort_by_cached_key(|(unit, counts)| (Reverse(counts.iter().sum::<i64>()), unit.clone()));
    units
}

listing! {
    /// A unit with many changes, and how many of each kind.
    Most: fn line<'n>(notice: &'n Notice, unit: &Code, counts: [i64; 4]) {
        let [kits, needs, jobs, shortages] = counts.map(|number| Some(number).filter(|number| *number > 0));
        let itself = notice.units.iter().find(|change| change.unit == *unit).map(words::unit);
    }
    look: Look::Plain;
    "unit", 16, Text => unit.to_string();
    "kit lines", 12, Whole => kits;
    "needs", 12, Whole => needs;
    "jobs", 12, Whole => jobs;
    "shortages", 12, Whole => shortages;
    "what became of the unit itself", 86, Wrapped => itself;
}
