//! Lines that lead to the part but do not apply to the unit: each with what fails, and what would make it hold.

use super::answer::effort;
use super::steps::{change_words, name_words, wish_words};
use crate::base::count;
use crate::report::prose::{Prose, list, row, told};
use crate::why::facts::{ChangeFacts, From, NameFacts, OrderChange, Outcome, PathFacts, StepFacts, When, Why};
use itertools::Itertools;

/// So many groups are told where the part is not needed at all, and where it is needed otherwise.
const SHOWN: [usize; 2] = [8, 3];
/// So many paths of a group are named.
const NAMED: usize = 4;

/// Writes them, those first that take the least to hold; those that fail for the same reason as one.
pub fn write(why: &Why, paths: &[&PathFacts], needed: bool, prose: &mut Prose) {
    if paths.is_empty() {
        return;
    }
    let shown = SHOWN[usize::from(needed)];
    prose.heading("What does not apply to it");
    let groups = groups(paths);
    groups.iter().take(shown).for_each(|group| group_lines(why, group, prose));
    let more: usize = groups.iter().skip(shown).map(Vec::len).sum();
    if more > 0 {
        prose.line(2, &format!("… and {} more (--json tells all)", count(more, "path", "paths")));
    }
}

/// Paths with the same conditions and changes that fail.
fn groups<'w>(paths: &[&'w PathFacts]) -> Vec<Vec<&'w PathFacts>> {
    let mut groups: Vec<Vec<&PathFacts>> = Vec::new();
    for path in paths.iter().sorted_by_key(|path| effort(path)) {
        let alike = |group: &&mut Vec<&PathFacts>| reasons(group[0]) == reasons(path) && group[0].change == path.change;
        match groups.iter_mut().find(alike) {
            Some(group) => group.push(path),
            None => groups.push(vec![path]),
        }
    }
    groups
}

/// What fails along a path, as the book writes it.
fn reasons(path: &PathFacts) -> Vec<&str> {
    let failing = path.steps.iter().filter(|step| !step.active);
    failing
        .flat_map(|step| {
            failing_when(step)
                .map(|when| when.text.as_str())
                .into_iter()
                .chain(blocking(step).map(|change| change.change.as_str()))
        })
        .collect()
}

fn failing_when(step: &StepFacts) -> Option<&When> {
    step.when.as_ref().filter(|when| !when.holds)
}

fn blocking(step: &StepFacts) -> impl Iterator<Item = &ChangeFacts> {
    step.changes.iter().filter(|change| change.reached == (change.side == "until"))
}

fn group_lines(why: &Why, group: &[&PathFacts], prose: &mut Prose) {
    for path in group.iter().take(NAMED) {
        prose.line(2, &chain(path));
    }
    if group.len() > NAMED {
        prose.line(2, &format!("and {} more, likewise:", count(group.len() - NAMED, "path", "paths")));
    }
    let path = group[0];
    if let Outcome::Nothing { step } = path.outcome {
        let place = row(&path.steps[step].place);
        prose.line(4, &format!("The quantity in {place} is nothing."));
    }
    for step in path.steps.iter().filter(|step| !step.active) {
        fails(why, step, prose);
    }
    if let Some(wish) = &path.change {
        prose.line(4, &held_with(wish));
    }
}

/// `PLOVER 21 > DINETTE-21 > CAB-21-13 > CDR-21-MO-12: 1 ea for CABSHOP`.
fn chain(path: &PathFacts) -> String {
    let above = match &path.from {
        From::Job { job } => format!("the job {job} > "),
        From::Stock { part, .. } => format!("{part}, which is there > "),
        From::Floorplan { .. } | From::Extra { .. } => String::new(),
    };
    let parents = path.steps.iter().skip(usize::from(!above.is_empty())).map(|step| step.parent.as_str());
    let chain = parents.chain([path.part.as_str()]).join(" > ");
    let to = path.to.as_ref().map(|to| format!(" for {to}")).unwrap_or_default();
    format!("{above}{chain}: {}{to}", told(path.qty, &path.uom))
}

fn held_with(wish: &OrderChange) -> String {
    if wish.found { format!("It would hold with {}.", wish_words(wish)) } else { format!("{}.", wish_words(wish)) }
}

/// Why a line does not hold.
fn fails(why: &Why, step: &StepFacts, prose: &mut Prose) {
    let place = row(&step.place);
    if let Some(when) = failing_when(step) {
        let names = when.names.iter().map(|name: &NameFacts| name_words(name, &why.unit.floorplan, true));
        prose.line(4, &format!("{place} is for '{}', and {}.", when.text, list(&names.collect_vec())));
    }
    for change in blocking(step) {
        let told = change_words(change, &why.unit.unit);
        prose.line(4, &format!("{place}: {told}."));
    }
}
