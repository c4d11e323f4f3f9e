//! A bill line in words: its arithmetic, its condition, its changes.

use crate::base::Ratio;
use crate::report::prose::{Prose, list, row, told};
use crate::why::facts::{ChangeFacts, From, How, NameFacts, OrderChange, PathFacts, StepFacts, UnitFacts, When};
use itertools::Itertools;

pub use crate::why::facts::StepFacts as Step;

/// Writes the lines of a path; those it shares with the one told before only once.
pub fn write(path: &PathFacts, before: &[Step], unit: &UnitFacts, indent: usize, prose: &mut Prose) {
    if let From::Extra { reason, place } = &path.from {
        let reason = if reason.is_empty() { String::new() } else { format!(": {reason}") };
        prose.line(indent, &format!("An extra asks for {}{reason} ({}).", told(path.qty, &path.uom), row(place)));
    }
    let shared = path.steps.iter().zip(before).take_while(|(a, b)| a.place == b.place && a.before == b.before).count();
    for step in &path.steps[shared..] {
        step_lines(step, unit, indent, prose);
    }
}

fn step_lines(step: &StepFacts, unit: &UnitFacts, indent: usize, prose: &mut Prose) {
    prose.line(indent, &format!("{}{} ({})", head(step), arithmetic(step), row(&step.place)));
    if let Some(when) = &step.when {
        prose.line(indent + 2, &when_words(when, &unit.floorplan));
    }
    for change in &step.changes {
        prose.line(indent + 2, &sentence(&change_words(change, &unit.unit)));
    }
    if step.scrap_left_out {
        prose.line(indent + 2, "Its scrap is left out: it is counted in whole pieces.");
    }
    if !step.note.is_empty() {
        prose.line(indent + 2, &format!("Note: {}", step.note));
    }
}

fn head(step: &StepFacts) -> String {
    let part =
        if step.description.is_empty() { step.part.clone() } else { format!("{}, {}", step.part, step.description) };
    let verb = if step.gives { "gives" } else { "takes" };
    let station = step.station.as_ref().map(|station| format!(" at {station}")).unwrap_or_default();
    format!("{} {verb} {} {} of {part}{station}", step.parent, step.qty.abs(), step.uom)
}

/// What is multiplied, where that is more than the quantity itself.
fn arithmetic(step: &StepFacts) -> String {
    let one = step.before == Some(crate::base::Quantity::whole(1).into());
    if one && step.conversion.is_none() && step.scrap.is_zero() && !step.cut {
        return String::new();
    }
    let mut text = if one { String::new() } else { format!("{} × ", told(step.before, "").trim_end()) };
    text += &format!("{} {}", step.qty.abs(), step.uom);
    if let Some(conversion) = &step.conversion {
        text += &conversion_words(conversion.factor, &step.uom, &step.part_uom);
    }
    if !step.scrap.is_zero() {
        let sign = if step.gives { "×" } else { "÷" };
        text += &format!(" {sign} (1 − {})", step.scrap);
    }
    let cut = if step.cut { ", cut at the sixth place" } else { "" };
    let by = step.conversion.as_ref().and_then(|conversion| conversion.place.as_ref());
    let by = by.map(|place| format!(", by {}", row(place))).unwrap_or_default();
    format!(": {text} = {}{cut}{by}", told(step.after, &step.part_uom))
}

/// `× 32 sqft a sheet`, or the other way round where that is a whole number: `÷ 32 sqft a sheet`.
fn conversion_words(factor: Ratio, uom: &str, own: &str) -> String {
    match factor.numerator() {
        1 => format!(" ÷ {} {uom} a {own}", factor.denominator()),
        _ => format!(" × {factor} {own} a {uom}"),
    }
}

fn when_words(when: &When, floorplan: &str) -> String {
    let holds = if when.holds { "holds" } else { "does not hold" };
    let names = when.names.iter().map(|name| name_words(name, floorplan, true)).collect_vec();
    format!("when {}: {holds}. {}.", when.text, sentence(&list(&names)).trim_end_matches('.'))
}

/// Why a name is true or not: `AC is ordered (Sequence.csv row 3)`.
pub fn name_words(name: &NameFacts, floorplan: &str, places: bool) -> String {
    let code = &name.name;
    let told = match &name.how {
        How::Ordered => format!("{code} is ordered"),
        How::Package { package } => format!("{code} comes with {package}"),
        How::Standard => format!("{code} is standard on {floorplan}"),
        How::Rule { message } if message.is_empty() => format!("{code} was added by a rule"),
        How::Rule { message } => format!("{code} was added by the rule '{message}'"),
        How::TakenAway => format!("{code} was taken away"),
        How::Instead { group, has } => format!("{code} is not there, as the unit has {has} of the group {group}"),
        How::NotOrdered => format!("{code} is not ordered"),
        How::NotOffered => format!("{code} is not offered on {floorplan}"),
        How::Built { what } if name.holds => format!("{code} is its {what}"),
        How::Built { what } => format!("{code} is not its {what}"),
    };
    match name.place.as_ref().filter(|_| places) {
        Some(place) => format!("{told} ({})", row(place)),
        None => told,
    }
}

/// On which side of a change a line holds, and on which the unit is.
pub fn change_words(change: &ChangeFacts, unit: &str) -> String {
    let first = |unit: &str| change.first.as_ref().filter(|(code, _)| code == unit).map(|(_, at)| at.short());
    let from_unit = change.from_unit.as_ref().map(|unit| match (first(unit), &change.next_behind) {
        (Some(at), _) => format!("{unit}, entering {at}"),
        (None, Some((next, at))) => {
            format!("{unit} (on hold; on this line as {next} enters, the next behind it, {})", at.short())
        }
        (None, None) if change.held_elsewhere => format!("{unit} (on hold, nobody behind it: not on this line)"),
        (None, None) => unit.clone(),
    });
    let begins = match (from_unit, change.from_date) {
        (Some(unit), Some(date)) => format!("with {unit}, or on {}, whichever comes first", date.short()),
        (Some(unit), None) => format!("with {unit}"),
        (None, Some(date)) => format!("on {}", date.short()),
        (None, None) => "never".to_owned(),
    };
    let about = if change.description.is_empty() { String::new() } else { format!(" ({})", change.description) };
    let line = if change.side == "from" { "begins" } else { "ends" };
    let other = match change.others.as_slice() {
        [] => String::new(),
        parts if change.side == "from" => format!("; {} goes with it", list(parts)),
        parts => format!("; {} comes with it", list(parts)),
    };
    format!(
        "its line {line} with change {}{about}, which starts {begins}{other}; {}",
        change.change,
        reached(change, unit)
    )
}

fn reached(change: &ChangeFacts, unit: &str) -> String {
    let told = change.first.as_ref().filter(|(first, _)| change.from_unit.as_ref() != Some(first));
    match (change.reached, told) {
        (true, _) => format!("{unit} has reached it"),
        (false, Some((first, at))) => {
            format!("{unit} has not reached it: the first that does is {first}, entering {}", at.short())
        }
        (false, None) if change.first.is_some() => format!("{unit} comes before it"),
        (false, None) => format!("{unit} has not reached it, nor does any unit of this sequence"),
    }
}

fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next();
    // A code keeps its own letters.
    let lower = text.starts_with("its ") || text.starts_with("the ");
    let upper = first.map(|first| if lower { first.to_uppercase().to_string() } else { first.to_string() });
    format!("{}{}.", upper.unwrap_or_default(), letters.as_str())
}

/// The smallest change of options, in words: `AC ordered`, or that there is none.
pub fn wish_words(change: &OrderChange) -> String {
    if !change.found {
        return match change.tried {
            0 => "Too many orders have been tried already to look for a change of its options".to_owned(),
            1 => "No single change of its options would do".to_owned(),
            tried => format!("No change of up to {tried} of its options would do"),
        };
    }
    let part = |codes: &[String], what: &str| (!codes.is_empty()).then(|| format!("{} {what}", list(codes)));
    let parts = [
        part(&change.order, "ordered"),
        part(&change.leave_out, "left out of the order"),
        part(&change.take_away, "taken away"),
    ];
    list(&parts.into_iter().flatten().collect_vec())
}
