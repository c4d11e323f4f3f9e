//! What pieces do is summed up as they pass by: here all of it is added up once more from the consequences, each judged for itself,
//! and from every part's pieces. Catches a piece that is counted twice, left out, or told by another's outcome.

use super::buyer::long_book;
use super::random_books::{Size, random_book};
use super::support::{Sheets, rounds};
use lineward::base::{Moment, OwnerId, PartId, Quantity};
use lineward::check::{self, DestKind};
use lineward::netting::Cover;
use lineward::plan::{Consequence, FIRST_ROWS, Outcome, Plan, Request, Stop, Totals, Trouble, plan, stops, waiting};
use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet};

/// All consequences, part by part.
fn by_part(plan: &Plan<'_>) -> Vec<Consequence> {
    (0..plan.plant.parts.len()).flat_map(|part| plan.consequences_of(PartId::of(part))).collect()
}

/// The order of the table: by all but the quantity.
fn place(row: &Consequence) -> impl Ord + use<> {
    (
        row.arrives,
        row.owner,
        row.to,
        row.part,
        row.there,
        row.outcome,
        row.stop_minutes,
        row.saves_until,
        row.hand_over_at,
    )
}

/// The table has every part's consequences, in order.
fn table_is_in_order(plan: &Plan<'_>, all: &[Consequence]) {
    let (mut table, mut sorted) = (Vec::new(), all.to_vec());
    plan.some_consequences(|some| table.extend_from_slice(some));
    sorted.sort_by_key(place);
    assert_eq!(table, sorted);
}

fn sums_are_right(plan: &Plan<'_>, all: &[Consequence]) {
    let at_station = |row: &&Consequence| matches!(plan.plant.dest(row.to).what, DestKind::Station { .. });
    let count = |outcome| all.iter().filter(at_station).filter(|row| row.outcome == outcome).count();
    let stopping = || all.iter().filter(|row| row.outcome == Outcome::StopsTheLine);
    let effects = &plan.effects;
    assert_eq!((effects.rows, effects.waited_for), (all.len(), stopping().count()));
    assert_eq!(effects.special_runs, count(Outcome::SpecialRun));
    assert_eq!(effects.can_follow, count(Outcome::CanFollow));
    let mut longest: BTreeMap<OwnerId, Stop> = BTreeMap::new();
    for row in stopping().filter(at_station) {
        let stop = longest.entry(row.owner).or_default();
        stop.unknown |= row.stop_minutes.is_none();
        stop.minutes = stop.minutes.max(row.stop_minutes.unwrap_or_default());
    }
    assert_eq!(stops(plan), longest);
    assert_eq!(Totals::of(plan).units, longest.len());
    let mut first = all.to_vec();
    first.sort_by_key(|row| (Reverse(row.outcome), place(row), row.qty));
    first.truncate(FIRST_ROWS);
    assert_eq!(effects.first, first);
}

/// What of a part is late or short, from its pieces.
fn trouble(plan: &Plan<'_>, part: PartId) -> Option<Trouble> {
    let (doubts, rows) = (plan.doubts(part), plan.consequences_of(part));
    let pieces: Vec<_> = waiting(&doubts).collect();
    let first = pieces.first()?.demand;
    let soon = first.need.date() <= plan.week();
    let counts = pieces.iter().filter(|doubt| !soon || doubt.demand.need.date() <= plan.week());
    let worst = |owner, to| rows.iter().filter(|row| (row.owner, row.to) == (owner, to)).map(|row| row.outcome).max();
    let outcomes: Vec<_> = counts.map(|doubt| (doubt.demand, worst(doubt.demand.owner, doubt.demand.to))).collect();
    let stops = outcomes.iter().find(|(_, outcome)| *outcome == Some(Outcome::StopsTheLine));
    let sum = |short| pieces.iter().filter(|d| (d.cover == Cover::None) == short).map(|d| d.qty).sum::<Quantity>();
    Some(Trouble {
        part,
        soon,
        outcome: outcomes.iter().filter_map(|(_, outcome)| *outcome).max(),
        first: stops.map_or(first, |(demand, _)| *demand),
        late: sum(false),
        short: sum(true),
        pieces: pieces.len(),
        since: first.need,
        days: pieces.iter().map(|doubt| doubt.demand.need.date()).collect::<BTreeSet<_>>().len(),
        owners: pieces.iter().map(|doubt| doubt.demand.owner).collect::<BTreeSet<_>>().len(),
    })
}

/// Looks at a book's plan; how many pieces of it are not there. `None` where it can't be planned.
fn look(sheets: &Sheets) -> Option<usize> {
    let (plant, findings) = check::plant(&sheets.book(), None, Moment::default());
    if findings.any_error() {
        return None;
    }
    let plan = plan(&plant, &Request { set_aside: true, ..Default::default() }).0?;
    let all = by_part(&plan);
    table_is_in_order(&plan, &all);
    sums_are_right(&plan, &all);
    let troubles: Vec<Trouble> = (0..plant.parts.len()).filter_map(|part| trouble(&plan, PartId::of(part))).collect();
    assert_eq!(plan.troubles(), troubles);
    Some(all.len())
}

/// A book without stock and receipts.
fn unsupplied(sheets: &Sheets) -> Sheets {
    let mut sheets = sheets.clone();
    ["Stock", "Receipts"].into_iter().for_each(|table| _ = sheets.0.remove(table));
    sheets
}

#[test]
fn sums_of_random_books() {
    let mut pieces = 0;
    for seed in 0..rounds(60) {
        let size = if seed % 10 == 9 { Size::Large } else { Size::Small };
        let sheets = Sheets(random_book(seed, size));
        pieces += look(&sheets).unwrap_or_default() + look(&unsupplied(&sheets)).unwrap_or_default();
    }
    assert!(pieces > 10_000, "{pieces} pieces are not there");
}

#[test]
fn sums_of_a_long_book() {
    let book = long_book();
    assert!(look(&book) > Some(0));
    assert!(look(&unsupplied(&book)) > Some(FIRST_ROWS * 2));
}
