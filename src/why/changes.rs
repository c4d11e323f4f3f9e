//! The changes of bill lines: on which side of each the unit is, and what the same parent takes on the other side.

use super::asked::Asked;
use super::facts::ChangeFacts;
use super::way::Link;
use crate::base::{ChangeId, Moment, MustBe, OwnerId, UnitId};
use crate::book::Table;
use crate::check::written;

/// The changes of a bill line.
pub fn changes(asked: &Asked<'_>, link: &Link) -> Vec<ChangeFacts> {
    let line = &asked.plant.bills[link.line];
    let sides = [("from", line.from), ("until", line.until)];
    sides.into_iter().filter_map(|(side, change)| Some(change_facts(asked, link, side, change?))).collect()
}

/// The components of the same parent, at the same station and under the same condition, on the other side of a change.
fn others(asked: &Asked<'_>, link: &Link, side: &str, change: ChangeId) -> Vec<String> {
    let plant = asked.plant;
    let own = &plant.bills[link.line];
    let floorplan = plant.units[asked.unit.at()].floorplan.as_ref().ok();
    let bill = match (link.parent, floorplan) {
        (Some(parent), _) => plant.part(parent).bill.clone(),
        (None, Some(floorplan)) => plant.floorplans[floorplan.at()].bill.clone(),
        (None, None) => return Vec::new(),
    };
    let alike = plant.bills[bill].iter().filter(|line| line.when == own.when && line.station == own.station);
    let other = alike.filter(|line| if side == "from" { line.until } else { line.from } == Some(change));
    other.map(|line| plant.part(line.part).code.clone()).collect()
}

fn change_facts(asked: &Asked<'_>, link: &Link, side: &'static str, id: ChangeId) -> ChangeFacts {
    let plant = asked.plant;
    let change = &plant.changes[id.at()];
    let row = written::row_of(asked.book, Table::Changes, "change", &change.code);
    let row = row.must("a change of the plan is not in its book");
    let held = change.from_unit.filter(|first| held_elsewhere(asked, *first));
    ChangeFacts {
        change: change.code.clone(),
        description: change.description.clone(),
        side,
        reached: asked.reached(id),
        from_date: change.from_date,
        from_unit: change.from_unit.map(|unit| plant.units[unit.at()].code.clone()),
        held_elsewhere: held.is_some(),
        next_behind: held.and_then(|first| next_behind(asked, first)),
        others: others(asked, link, side, id),
        first: first_to_reach(asked, id),
        place: asked.row(Table::Changes, row),
    }
}

/// Whether a unit is on hold, and of another line than the one asked about.
fn held_elsewhere(asked: &Asked<'_>, first: UnitId) -> bool {
    let (first, own) = (&asked.plant.units[first.at()], &asked.plant.units[asked.unit.at()]);
    first.hold.is_some() && !first.done && first.line != own.line
}

/// The next unit behind a held one on its line that is neither held nor done, and when it enters.
fn next_behind(asked: &Asked<'_>, held: UnitId) -> Option<(String, Moment)> {
    let next = asked.plan.pace.leads(held)?;
    Some((asked.plant.units[next.at()].code.clone(), asked.plan.pace.enters(asked.plant, next)?))
}

/// The first unit on the plan, by rank, that has reached a change, and when it enters.
fn first_to_reach(asked: &Asked<'_>, change: ChangeId) -> Option<(String, Moment)> {
    let (plan, plant) = (asked.plan, asked.plant);
    let owners = (0..plan.pace.owners.len()).map(OwnerId::of).filter(|owner| plan.pace.owners[owner.at()].planned);
    let mut units = owners.filter_map(|owner| plan.pace.owners[owner.at()].unit);
    let unit = units.find(|unit| plan.pace.reached(plant, *unit, change))?;
    Some((plant.units[unit.at()].code.clone(), plan.pace.enters(plant, unit)?))
}
