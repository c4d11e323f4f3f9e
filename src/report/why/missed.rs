//! Lines that lead to the part but do not apply to the unit: each with what fails, and what would make it hold.

use super::answer::effort;
use super::steps::{change_words, name_words, wish_words};
use crate::report::prose::{Prose, amount, count, list, row};
use crate::why::facts::{From, NameFacts, OrderChange, Outcome, PathFacts, StepFacts, Why};
use itertools::Itertools;

/// So many are told where the part is not needed at all, and where it is needed otherwise.
const SHOWN: [usize; 2] = [12, 5];

/// Writes them, those first that take the least to hold.
pub fn write(why: &Why, paths: &[&PathFacts], needed: bool, prose: &mut Prose) {
    if paths.is_empty() {
        return;
    }
    let shown = SHOWN[usize::from(needed)];
    prose.heading("What does not apply to it");
    for path in paths.iter().sorted_by_key(|path| effort(path)).take(shown) {
        path_lines(why, path, prose);
    }
    if paths.len() > shown {
        prose.line(2, &format!("… and {} more (--json tells all)", count(paths.len() - shown, "path", "paths")));
    }
}

fn path_lines(why: &Why, path: &PathFacts, prose: &mut Prose) {
    let above = match &path.from {
        From::Job { job } => format!("the job {job} > "),
        From::Stock { part, .. } => format!("{part}, which is there > "),
        From::Floorplan { .. } | From::Extra { .. } => String::new(),
    };
    let parents = path.steps.iter().skip(usize::from(!above.is_empty())).map(|step| step.parent.as_str());
    let chain = parents.chain([path.part.as_str()]).join(" > ");
    let to = path.to.as_ref().map(|to| format!(" for {to}")).unwrap_or_default();
    prose.line(2, &format!("{above}{chain}: {}{to}", amount(path.qty, &path.uom)));
    if let Outcome::Nothing { step } = path.outcome {
        let place = path.steps.get(step).map(|step| row(&step.place)).unwrap_or_default();
        prose.line(4, &format!("The quantity there is nothing ({place})."));
    }
    for step in path.steps.iter().filter(|step| !step.active) {
        prose.line(4, &fails(why, step));
    }
    if let Some(wish) = &path.change {
        prose.line(4, &held_with(wish));
    }
}

fn held_with(wish: &OrderChange) -> String {
    if wish.found { format!("It would hold with {}.", wish_words(wish)) } else { format!("{}.", wish_words(wish)) }
}

/// Why a line does not hold.
fn fails(why: &Why, step: &StepFacts) -> String {
    let mut told = Vec::new();
    if let Some(when) = step.when.as_ref().filter(|when| !when.holds) {
        let names = when.names.iter().map(|name: &NameFacts| name_words(name, &why.unit.floorplan, true));
        told.push(format!("It is for '{}', and {}", when.text, list(&names.collect_vec())));
    }
    let blocks = step.changes.iter().filter(|change| change.reached == (change.side == "until"));
    told.extend(blocks.map(|change| format!("{}{}", "I", &change_words(change, &why.unit.unit)[1..])));
    format!("{} ({}).", told.join(". "), row(&step.place))
}
