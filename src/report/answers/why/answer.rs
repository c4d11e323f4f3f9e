//! The answer in one or two sentences.

use super::needed::needed;
use super::steps::{change_words, name_words, wish_words};
use crate::base::{MustBe, Total};
use crate::report::prose::{Prose, list, named, row, told};
use crate::why::facts::{ChangeFacts, NameFacts, Outcome, PathFacts, Verdict, Why};
use itertools::Itertools;

/// Writes it.
pub fn write(why: &Why, prose: &mut Prose) {
    prose.line(0, &sentence(why));
    let unit = &why.unit;
    let mut about = format!("{} is a {} on line {}", unit.unit, unit.floorplan, unit.line);
    if let (Some(enters), Some(leaves)) = (unit.enters, unit.leaves) {
        let entered = if enters <= why.as_of { "entered" } else { "enters" };
        about += &format!(", {entered} {} and leaves {}", enters.short(), leaves.short());
    }
    if let Some(at) = &unit.at {
        about += &format!("; it stands at {at}");
    }
    prose.line(0, &format!("({about}; as of {}, {})", why.as_of.short(), row(&unit.place)));
}

fn sentence(why: &Why) -> String {
    let (unit, part) = (&why.unit.unit, named(&why.part.part, &why.part.description));
    match &why.verdict {
        Verdict::Needed { demand } => needed(why, *demand),
        Verdict::ComesOff => comes_off(why),
        Verdict::Delivered => delivered(why),
        Verdict::Issued => format!("{unit} needs no more of {part}: {}.", issued(why)),
        Verdict::Begun => {
            format!("{unit} needs no more of {part}: the job {} has begun, and its material is there.", first(why, job))
        }
        Verdict::Covered => format!(
            "{unit} does not need {part}: it would go into {}, and that is there already.",
            first(why, |outcome| match outcome {
                Outcome::Covered { part } => Some(part.clone()),
                _ => None,
            })
        ),
        Verdict::Inside => {
            format!("{unit} has {part} built inside the job {}; it is no piece of its own.", first(why, job))
        }
        Verdict::Phantom => {
            format!("{part} is a phantom: for {unit} its components stand in its place, and nobody picks or builds it.")
        }
        Verdict::NotActive => not_active(why),
        Verdict::Nothing => {
            format!("{unit} needs none of {part}: its bill lines lead to it, but the quantity is nothing.")
        }
        Verdict::NotUsed => not_used(why),
        Verdict::Held { would_need } => held(why, &part, *would_need),
        Verdict::SetAside => format!(
            "{unit} is set aside, so nothing is supplied for it: {}. Whether it needs {part} is not known until its order is right.",
            why.unit.why.join("; ")
        ),
        Verdict::Done => format!("{unit} is done and has left the line: it needs no {part}."),
    }
}

fn job(outcome: &Outcome) -> Option<String> {
    match outcome {
        Outcome::Begun { job } | Outcome::Inside { job } => Some(job.clone()),
        _ => None,
    }
}

/// What the first path to the part says of its outcome.
fn first(why: &Why, say: impl Fn(&Outcome) -> Option<String>) -> String {
    own(why).find_map(|path| say(&path.outcome)).unwrap_or_default()
}

/// The paths that end at the part.
pub fn own(why: &Why) -> impl Iterator<Item = &PathFacts> {
    why.paths.iter().filter(|path| path.part == why.part.part)
}

fn comes_off(why: &Why) -> String {
    let (unit, part) = (&why.unit.unit, named(&why.part.part, &why.part.description));
    let free = own(why).filter_map(|path| match path.outcome {
        Outcome::Free { at } => Some(format!("{}, free {}", told(path.qty, &path.uom), at.short())),
        _ => None,
    });
    format!(
        "{part} is a by-product that comes off {unit} ({}); nothing of {unit} asks for it, so it is left over.",
        free.take(3).join("; ")
    )
}

fn delivered(why: &Why) -> String {
    let run = own(why).find_map(|path| match path.outcome {
        Outcome::Delivered { run } => Some((run, path)),
        _ => None,
    });
    let (unit, part) = (&why.unit.unit, named(&why.part.part, &why.part.description));
    match run {
        Some((run, path)) => format!(
            "{unit} has its {part}: {} left the stores with the run of {}, for {}.",
            told(path.qty, &path.uom),
            run.short(),
            path.to.as_deref().must("what was delivered has no place")
        ),
        None => format!("{unit} has its {part}."),
    }
}

fn issued(why: &Why) -> String {
    let station = first(why, |outcome| match outcome {
        Outcome::Issued { station } => Some(station.clone()),
        _ => None,
    });
    match &why.unit.at {
        Some(at) if *at == station => format!("it is for {station}, where the unit stands and has its material"),
        Some(at) => format!("it is for {station}, which has its material already (the unit stands at {at})"),
        None => format!("it is for {station}, which has its material already"),
    }
}

/// Why lines that lead there do not hold: the one that takes the least to make it hold.
fn not_active(why: &Why) -> String {
    let (unit, part) = (&why.unit.unit, named(&why.part.part, &why.part.description));
    let on_hold =
        if why.unit.status == "hold" { format!(" (it is on hold: {})", list(&why.unit.why)) } else { String::new() };
    let Some(path) =
        own(why).filter(|path| matches!(path.outcome, Outcome::NotActive { .. })).min_by_key(|path| effort(path))
    else {
        return format!("{unit} does not need {part}.");
    };
    let wish = match &path.change {
        Some(change) if change.found => format!(" It would with {}.", wish_words(change)),
        Some(change) => format!(" {}.", wish_words(change)),
        None => String::new(),
    };
    format!("{unit} does not need {part}{on_hold}: {}.{wish}", reason(path, why))
}

fn not_used(why: &Why) -> String {
    let (unit, part, floorplan) = (&why.unit.unit, named(&why.part.part, &why.part.description), &why.unit.floorplan);
    let used = match why.used_on.as_slice() {
        [] => " No floorplan uses it.".to_owned(),
        on => format!(" It is used on {}.", list(on)),
    };
    format!("{unit} does not need {part}: no bill line of {floorplan} leads to it, whatever is ordered.{used}")
}

/// How much it takes to make a path hold: the options to change, then the lines that fail; what no change of options does
/// comes last.
pub fn effort(path: &PathFacts) -> (usize, usize) {
    let fails = path.steps.iter().filter(|step| !step.active).count();
    match &path.change {
        Some(change) if change.found => (change.order.len() + change.leave_out.len() + change.take_away.len(), fails),
        Some(_) => (usize::MAX, fails),
        None => (0, fails),
    }
}

/// The first reason why a path does not hold.
fn reason(path: &PathFacts, why: &Why) -> String {
    let Outcome::NotActive { step } = path.outcome else { return String::new() };
    let Some(step) = path.steps.get(step) else { return String::new() };
    if let Some(when) = step.when.as_ref().filter(|when| !when.holds) {
        let names =
            when.names.iter().map(|name: &NameFacts| name_words(name, &why.unit.floorplan, false)).collect_vec();
        return format!("its line is for '{}', and {}", when.text, list(&names));
    }
    let blocks = |change: &&ChangeFacts| change.reached == (change.side == "until");
    step.changes.iter().find(blocks).map(|change| change_words(change, &why.unit.unit)).unwrap_or_default()
}

fn held(why: &Why, part: &str, would_need: Option<Total>) -> String {
    let (unit, reason) = (&why.unit.unit, list(&why.unit.why));
    let would = if would_need != Some(Total::ZERO) {
        format!("As ordered it would need {} of {part}, stock not counted.", told(would_need, &why.part.uom))
    } else {
        format!("Its order is wrong, so whether it would need {part} is not known.")
    };
    format!("{unit} is on hold ({reason}): it takes no place on the line and needs nothing. {would}")
}
