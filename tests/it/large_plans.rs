//! Plans that hold only what comes first: catches a table, a state or a total that depends on how much is kept; and demands that
//! depend on the way in which they are put together.

use super::random_books::{Size, random_book};
use super::support::Sheets;
use lineward::base::{DestId, Moment, PartId, Quantity};
use lineward::check::{DestKind, Extra, ExtraFor};
use lineward::netting::Demand;
use lineward::plan::{Plan, Request, plan};
use lineward::report::{self, table::TABLES};
use lineward::{book, check};
use std::path::Path;

/// All tables as text.
fn tables(plan: &Plan<'_>) -> Vec<Vec<u8>> {
    let written = TABLES.iter().map(|table| {
        let mut bytes = Vec::new();
        report::to_csv(table, plan, &mut bytes).expect("memory");
        bytes
    });
    written.collect()
}

/// Compares a plan that keeps everything with one that keeps as little as it may; how many demands the latter leaves out.
fn compare(plant: &check::Plant) -> usize {
    let planned = |keep| plan(plant, &Request { set_aside: true, keep: Some(keep), ..Default::default() }).0;
    let (Some(whole), Some(small)) = (planned(usize::MAX), planned(0)) else { return 0 };
    assert!(whole.kept_up_to().is_none());
    assert!(tables(&whole) == tables(&small));
    assert!(whole.pulls == small.pulls && whole.materials == small.materials && whole.lacks == small.lacks);
    let mut left_out = 0;
    for (all, kept) in whole.supplies.iter().zip(&small.supplies) {
        assert!(all.demands.starts_with(&kept.demands) && all.pegs.starts_with(&kept.pegs));
        let asked: Quantity = all.demands.iter().map(|demand| demand.qty).sum();
        assert_eq!(kept.asked(), asked);
        assert!(all.demands[kept.demands.len()..].iter().all(|demand| Some(demand.need) >= small.kept_up_to()));
        left_out += all.demands.len() - kept.demands.len();
    }
    // Their workbooks can be made, too.
    assert!(report::workbooks(&small).iter().all(|workbook| report::to_xlsx(workbook).is_ok()));
    left_out
}

#[test]
fn the_demo_is_the_same_however_much_is_kept() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("data/alder-fen");
    let (plant, _) = check::plant(&book::open(&path).expect("the demo"), None, Moment::default());
    assert!(compare(&plant) > 1_000, "the demo must be long enough for something to be left out");
}

#[test]
fn random_plans_are_the_same_however_much_is_kept() {
    let left_out = (0..super::support::rounds(30)).map(|seed| {
        let (plant, findings) = check::plant(&Sheets(random_book(seed, Size::Large)).book(), None, Moment::default());
        if findings.any_error() { 0 } else { compare(&plant) }
    });
    let left_out: usize = left_out.sum();
    assert!(left_out > 0, "no random plan is long enough for something to be left out");
}

/// A plant in which nobody in particular asks for every bought part once more, at a moment that is the last need already.
fn asked_once_more(plan: &Plan<'_>) -> check::Plant {
    let mut plant = plan.plant.clone();
    let needs = plan.supplies.iter().flat_map(|supply| supply.demands.iter().map(|demand| demand.need));
    let last = needs.max();
    for part in (0..plant.parts.len()).map(PartId::of).filter(|part| plan.plant.part(*part).bought()) {
        let (qty, owner, reason) = (Quantity::whole(1), ExtraFor::Nobody, String::new());
        plant.extras.push(Extra { part, qty, to: DestId::of(0), needed: last, owner, reason, row: 2 });
    }
    plant
}

/// A plan that keeps everything.
fn whole(plant: &check::Plant) -> Option<Plan<'_>> {
    plan(plant, &Request { set_aside: true, keep: Some(usize::MAX), ..Default::default() }).0
}

/// Compares each bought part's demands for known owners with those beside which somebody else asks, too; how many parts have
/// several at one station and nowhere else, so that theirs were put together the short way.
fn compare_with_merged(plant: &check::Plant) -> usize {
    let Some(alone) = whole(plant).filter(|plan| plan.supplies.iter().any(|supply| !supply.demands.is_empty())) else {
        return 0;
    };
    let more = asked_once_more(&alone);
    let merged = whole(&more).expect("a plan with extras");
    let known = |plan: &Plan<'_>, part: usize| -> Vec<Demand> {
        let known =
            plan.supplies[part].demands.iter().filter(|demand| !plan.pace.owners[demand.owner.at()].code.is_empty());
        known.copied().collect()
    };
    let at_one_station = |part: &usize| {
        let demands = known(&alone, *part);
        assert!(demands == known(&merged, *part), "the demands for {}", plant.parts[*part].code);
        let station = |demand: &Demand| matches!(plant.dest(demand.to).what, DestKind::Station { .. });
        demands.len() > 1 && demands.iter().all(|demand| demand.to == demands[0].to && station(demand))
    };
    (0..plant.parts.len()).filter(|part| plant.parts[*part].bought()).filter(at_one_station).count()
}

#[test]
fn demands_at_one_station_are_those_that_merging_gives() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("data/alder-fen");
    let (plant, _) = check::plant(&book::open(&path).expect("the demo"), None, Moment::default());
    assert!(compare_with_merged(&plant) > 100, "the demo has parts for one station");
    let short = (0..super::support::rounds(30)).map(|seed| {
        let (plant, findings) = check::plant(&Sheets(random_book(seed, Size::Large)).book(), None, Moment::default());
        if findings.any_error() { 0 } else { compare_with_merged(&plant) }
    });
    assert!(short.sum::<usize>() > 0, "no random plan has a part for one station");
}
