//! The change notice on the terminal: section by section, the first of each.

use super::words;
use super::{Act, Deliveries, Notice, PullChange, UnitChange, totals};
use crate::base::count;
use itertools::Itertools;
use std::fmt::Write;

/// So many parts of a delivery, and moments of a receipt, are told on its line.
const PARTS: usize = 3;

/// The notice, with at most so many lines of each section.
pub fn text(notice: &Notice, most: usize) -> String {
    let mut text = String::new();
    if notice.is_empty() {
        text.push_str("nothing changed\n");
    }
    walk_and_units(&mut text, notice, most);
    let deliveries = Deliveries::of(notice);
    let kits: Vec<String> = deliveries.changed.iter().map(|lines| kit_words(lines)).collect();
    let heading = format!("Kits and bulk: {} changed", count(kits.len(), "delivery", "deliveries"));
    section(&mut text, &heading, kits, most);
    let kits: Vec<String> = deliveries.other_run.iter().map(words::other_run).collect();
    let heading = format!("Otherwise as it was: {} with another run", count(kits.len(), "kit goes", "kits go"));
    section(&mut text, &heading, kits, most);
    let needs = totals(&notice.needs, &notice.units);
    let needs = needs.iter().map(|need| {
        let (unit, to) = (need.unit.given().map_or("no unit", super::Code::text), &need.to);
        format!("{unit} at {to}: {} {} {} (was {})", need.new, need.uom, words::part(notice, &need.part), need.old)
    });
    section(&mut text, "Needs of another quantity", needs.collect(), most);
    let jobs = notice.jobs.iter().filter_map(|change| Some((change.row()?, words::job(change))));
    let jobs = jobs.map(|(row, told)| format!("{} {}: {told}", row.shop, row.job)).collect();
    section(&mut text, &format!("Jobs: {}", job_totals(notice)), jobs, most);
    shortages(&mut text, notice, most);
    section(&mut text, &format!("Receipts: {}", receipt_totals(notice)), receipts(notice), most);
    section(&mut text, "Planned orders", orders(notice), most);
    section(&mut text, "Orders for units past the sequence", outlook(notice), most);
    text
}

/// What a person decides by: what to do with what is picked, the units, the shortages; of all else how much there is.
pub fn brief(notice: &Notice, most: usize) -> String {
    let mut text = String::new();
    walk_and_units(&mut text, notice, most);
    shortages(&mut text, notice, most);
    let deliveries = Deliveries::of(notice);
    let rest = [
        (deliveries.changed.len(), "delivery", "deliveries"),
        (deliveries.other_run.len(), "kit's run", "kits' runs"),
        (notice.jobs.len(), "job", "jobs"),
        (notice.receipts.len(), "receipt", "receipts"),
        (notice.orders.len(), "planned order", "planned orders"),
        (notice.outlook.len(), "order for what is forecast", "orders for what is forecast"),
    ];
    let rest =
        rest.iter().filter(|(number, ..)| *number > 0).map(|(number, one, many)| count(*number, one, many)).join(", ");
    if !rest.is_empty() {
        let _ = writeln!(text, "Also changed: {rest}");
    }
    text
}

fn walk_and_units(text: &mut String, notice: &Notice, most: usize) {
    if let Some(walk) = &notice.walk {
        let heading = format!("With all runs picked up to the {} run: {}", walk.through.short(), walk_totals(notice));
        let picks = walk.in_stores(&notice.parts).into_iter().filter(|task| task.act == Act::Pick);
        let lines = walk.at_stations(&notice.parts).into_iter().chain(picks);
        section(text, &heading, lines.map(|task| words::task(notice, task)).collect(), most);
    }
    let units = notice.units.iter().map(|change| format!("{}: {}", change.unit, words::unit(change)));
    section(text, &format!("Units: {}", unit_totals(notice)), units.collect(), most);
}

fn shortages(text: &mut String, notice: &Notice, most: usize) {
    let shortages = notice.shortages.iter().map(|change| {
        let unit = change.unit.given().map_or("no unit", super::Code::text);
        format!("{unit}, {}: {}", words::part(notice, &change.part), words::shortage(change))
    });
    section(text, &format!("Shortages: {}", shortage_totals(notice)), shortages.collect(), most);
}

fn section(text: &mut String, heading: &str, lines: Vec<String>, most: usize) {
    if lines.is_empty() {
        return;
    }
    let _ = writeln!(text, "{heading}");
    lines.iter().take(most).for_each(|line| text.push_str(&format!("  {line}\n")));
    if lines.len() > most {
        let _ = writeln!(text, "  ... and {} more", lines.len() - most);
    }
}

/// `1 new, 2 moved`; without those there are none of.
fn told(counts: &[(usize, &str)]) -> String {
    let told =
        counts.iter().filter(|(number, _)| *number > 0).map(|(number, word)| format!("{number} {word}")).join(", ");
    if told.is_empty() { "none".to_owned() } else { told }
}

/// How many units changed in which way.
pub fn unit_totals(notice: &Notice) -> String {
    let count = |is: &dyn Fn(&UnitChange) -> bool| notice.units.iter().filter(|change| is(change)).count();
    told(&[
        (count(&|change| change.old.is_none()), "new"),
        (count(&|change| change.new.is_none()), "gone"),
        (count(&|change| change.whole() && change.both().is_some()), "on or off hold"),
        (count(&UnitChange::built_otherwise), "built otherwise"),
        (count(&|change| !change.whole() && change.stands_otherwise()), "standing otherwise"),
        (count(&|change| !change.whole() && change.moved()), "moved"),
    ])
}

/// How many jobs changed in which way.
pub fn job_totals(notice: &Notice) -> String {
    let both = notice.jobs.iter().filter_map(|change| change.both());
    told(&[
        (notice.jobs.iter().filter(|change| change.old.is_none()).count(), "new"),
        (notice.jobs.iter().filter(|change| change.new.is_none()).count(), "gone"),
        (both.clone().filter(|(old, new)| old.qty != new.qty).count(), "of another quantity"),
        (both.clone().filter(|(old, new)| old.qty == new.qty && old.start != new.start).count(), "moved"),
        (both.filter(|(old, new)| old.qty == new.qty && old.start == new.start).count(), "standing otherwise"),
    ])
}

/// How many shortages came, went and changed.
pub fn shortage_totals(notice: &Notice) -> String {
    let count = |word: &str| notice.shortages.iter().filter(|change| change.word() == word).count();
    let (came, went) = (count("came"), count("went"));
    told(&[(came, "came"), (went, "went"), (notice.shortages.len() - came - went, "changed")])
}

/// What there is to do with what is picked.
pub fn walk_totals(notice: &Notice) -> String {
    let Some(walk) = &notice.walk else { return String::new() };
    let count = |act: Act| walk.tasks.iter().filter(|task| task.act == act).count();
    let acts =
        [(Act::Move, "to move"), (Act::BringBack, "to bring back"), (Act::Pick, "to pick"), (Act::Leave, "to leave")];
    told(&acts.map(|(act, word)| (count(act), word)))
}

/// A delivery's changes on one line.
fn kit_words(lines: &[&PullChange]) -> String {
    let Some(first) = lines.first() else { return String::new() };
    let who = match first.unit.given() {
        Some(unit) => unit.text(),
        None if first.bulk => "bulk",
        None => "no unit",
    };
    let mut told = lines.iter().take(PARTS).map(|line| words::pull(line)).join("; ");
    if lines.len() > PARTS {
        told += &format!("; and {} more", count(lines.len() - PARTS, "part", "parts"));
    }
    format!("{} run, {who} at {}: {told}", first.wave.short(), first.to)
}

/// What is needed earlier: first what is not there by then.
fn receipts(notice: &Notice) -> Vec<String> {
    let earlier = notice.receipts.iter().filter(|change| change.earlier());
    let (missed, in_time): (Vec<_>, Vec<_>) = earlier.partition(|change| change.missed().is_some());
    let lines = missed.into_iter().chain(in_time).map(|change| {
        let steps = change.steps.iter().filter(|step| step.new > step.old);
        let more = steps.clone().count().saturating_sub(PARTS);
        let told =
            steps.take(PARTS).map(|step| format!("{} by {} (was {})", step.new, step.by.short(), step.old)).join(", ");
        let more = if more > 0 { format!(", and by {} more", count(more, "moment", "moments")) } else { String::new() };
        let there = change.available.map(|at| format!("; there {}", at.short())).unwrap_or_default();
        format!("{} {}: {told}{more}{there}", change.order, words::part(notice, &change.part))
    });
    lines.collect()
}

/// How many receipts are needed earlier, how many of them too early, and how many later only.
pub fn receipt_totals(notice: &Notice) -> String {
    let earlier = notice.receipts.iter().filter(|change| change.earlier()).count();
    let missed = notice.receipts.iter().filter(|change| change.missed().is_some()).count();
    let later = notice.receipts.len() - earlier;
    told(&[
        (missed, "needed earlier and not there by then"),
        (earlier - missed, "needed earlier, in time"),
        (later, "needed later or less"),
    ])
}

fn orders(notice: &Notice) -> Vec<String> {
    let lines = notice.orders.iter().filter_map(|change| {
        let row = change.new.as_ref().or(change.old.as_ref())?;
        let qty = |row: &Option<super::OrderRow>| row.as_ref().map_or("none".to_owned(), |row| row.qty.to_string());
        let release = row.release.map(|date| format!(", to be released {}", date.short())).unwrap_or_default();
        let part = words::part(notice, &row.part);
        Some(format!("{part} for {}: {} (was {}){release}", row.date.short(), qty(&change.new), qty(&change.old)))
    });
    lines.collect()
}

fn outlook(notice: &Notice) -> Vec<String> {
    let lines = notice.outlook.iter().filter_map(|change| {
        let row = change.new.as_ref().or(change.old.as_ref())?;
        let qty =
            |row: &Option<super::ExpectedRow>| row.as_ref().map_or("none".to_owned(), |row| row.to_order.to_string());
        let by = row.order_by.map(|date| format!(", to be ordered by {}", date.short())).unwrap_or_default();
        let (part, from, to) = (words::part(notice, &row.part), row.from.short(), row.to.short());
        Some(format!("{part} for {from} to {to}: {} (was {}){by}", qty(&change.new), qty(&change.old)))
    });
    lines.collect()
}
