//! Plans with other stock and receipts: catches an outlook that differs from a whole plan of the changed plant.

use super::random_books::{Size, random_book};
use super::support::{Sheets, consequences, rounds};
use itertools::Itertools;
use lineward::base::{Moment, PartId, Quantity};
use lineward::check::{self, DestKind, Plant};
use lineward::plan::{Consequence, Doubt, Goods, Outlook, Plan, Request, plan, stops};
use std::collections::BTreeSet;

fn planned(plant: &Plant) -> Option<Plan<'_>> {
    plan(plant, &Request { set_aside: true, ..Default::default() }).0
}

/// Takes, moves and adds stock and receipts of a part, as far as it has any; `turn` says which.
fn change(goods: &mut Goods<'_>, plant: &Plant, part: PartId, turn: u32) {
    let half = |qty: Quantity| Quantity::from_millionths(qty.millionths() / 2);
    let own = goods.stock.own().find(|(_, row)| row.part == part).map(|(i, _)| i);
    if let Some(i) = own.filter(|_| turn.is_multiple_of(2)) {
        let row = goods.stock.change(i);
        let rest = half(row.qty);
        row.qty -= rest;
        let unit = (0..plant.units.len()).map(lineward::base::UnitId::of).nth(turn as usize % plant.units.len().max(1));
        let more = check::Stock { qty: rest, reserved: unit, lineside: None, hold: None, ..row.clone() };
        goods.stock.add(more);
    }
    let own = goods.receipts.own().find(|(_, row)| row.part == part).map(|(i, _)| i);
    let days = if turn.is_multiple_of(3) { -2 } else { 3 };
    let Some(i) = own else { return };
    let row = goods.receipts.change(i);
    let moved = half(row.qty);
    row.qty -= moved;
    let available = plant.as_of.max(row.available.plus(days * 24 * 3600));
    let more = check::Receipt { qty: moved, available, due: available, day: available.date(), ..row.clone() };
    goods.receipts.add(more);
}

/// Compares an outlook with the plan of the changed plant; whether consequences differ from before, and whether a shop waited.
fn compare(seed: u64, before: &Plan<'_>, parts: &BTreeSet<PartId>, turn: u32) -> (bool, bool) {
    let plant = before.plant;
    let mut goods = Goods::of(plant);
    parts.iter().for_each(|part| change(&mut goods, plant, *part, turn));
    let outlook = Outlook::with(before, goods.clone(), parts);
    let changed = goods.into_plant(plant);
    let after = planned(&changed).expect("a plan as before");
    for part in (0..plant.parts.len()).map(PartId::of) {
        let (found, whole) = (outlook.supply(part), after.supply(part));
        let code = &plant.part(part).code;
        assert_eq!(found.demands, whole.demands, "seed {seed}, turn {turn}: {code}");
        assert_eq!(found.pegs, whole.pegs, "seed {seed}, turn {turn}: {code}");
        assert_eq!(found.balances, whole.balances, "seed {seed}, turn {turn}: {code}");
    }
    for part in (0..plant.parts.len()).map(PartId::of) {
        let code = &plant.part(part).code;
        assert_eq!(outlook.consequences_of(part), after.consequences_of(part), "seed {seed}, turn {turn}: {code}");
    }
    only_the_unlike_differ(before, &outlook, &after, &format!("seed {seed}, turn {turn}"));
    assert_eq!(outlook.stopped(), stops(&after).into_keys().collect(), "seed {seed}, turn {turn}");
    // Two plans are not told apart: all pieces of both come, part by part.
    let whole = Outlook::of(&after);
    let in_order = |pieces: Vec<Doubt>| pieces.iter().map(|piece| format!("{piece:?}")).sorted().collect_vec();
    let mut parts_seen = 0;
    for (found, wanted) in whole.unlike(&outlook) {
        assert_eq!(in_order(found), in_order(wanted), "seed {seed}, turn {turn}");
        parts_seen += 1;
    }
    assert_eq!(parts_seen, plant.parts.len());
    let at_shop = |row: &lineward::plan::Consequence| matches!(plant.dest(row.to).what, DestKind::Shop(_));
    let waited = consequences(&after).iter().any(|row| parts.contains(&row.part) && at_shop(row));
    (consequences(&after) != consequences(before), waited)
}

/// What pieces do in one outlook and not in another is all among those that are said to be unlike; and of these an owner's of a part
/// at a place are whole.
fn only_the_unlike_differ(before: &Plan<'_>, outlook: &Outlook<'_>, after: &Plan<'_>, told: &str) {
    let base = Outlook::of(before);
    let (mut old, mut new): (Vec<Consequence>, Vec<Consequence>) = Default::default();
    for (of_base, own) in outlook.unlike(&base) {
        let (of_base, own) = (base.rows(of_base), outlook.rows(own));
        for row in &own {
            let whole = |rows: &[Consequence]| {
                rows.iter().filter(|other| (other.owner, other.to) == (row.owner, row.to)).copied().collect_vec()
            };
            assert_eq!(whole(&own), whole(&outlook.consequences_of(row.part)), "{told}");
            assert_eq!(whole(&of_base), whole(&base.consequences_of(row.part)), "{told}");
        }
        old.extend(of_base);
        new.extend(own);
    }
    let more = |rows: &[Consequence], than: &[Consequence]| {
        let mut rows: Vec<String> =
            rows.iter().filter(|row| !than.contains(row)).map(|row| format!("{row:?}")).collect();
        rows.sort();
        rows
    };
    let (all_old, all_new) = (consequences(before), consequences(after));
    assert_eq!(more(&new, &old), more(&all_new, &all_old), "{told}");
    assert_eq!(more(&old, &new), more(&all_old, &all_new), "{told}");
}

#[test]
fn an_outlook_is_what_the_whole_plan_would_be() {
    let (mut changed, mut waited, mut compared) = (0, 0, 0);
    for seed in 0..rounds(24) {
        let (plant, _) = check::plant(&Sheets(random_book(seed, Size::Large)).book(), None, Moment::default());
        let Some(before) = planned(&plant) else { continue };
        let open = plant.receipts.iter().map(|row| row.part).chain(plant.stock.iter().map(|row| row.part));
        let bought: BTreeSet<PartId> = open.filter(|part| plant.part(*part).bought()).collect();
        let mut tries: Vec<BTreeSet<PartId>> = bought.iter().take(6).map(|part| BTreeSet::from([*part])).collect();
        tries.push(bought);
        for (parts, turn) in tries.iter().zip(0..) {
            let (differs, at_shop) = compare(seed, &before, parts, turn);
            compared += 1;
            changed += usize::from(differs);
            waited += usize::from(at_shop);
        }
    }
    assert!(compared > 50 && changed > 10 && waited > 5, "{compared} compared, {changed} changed, {waited} at shops");
}
