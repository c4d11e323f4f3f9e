//! Plans that hold only what comes first: catches a table, a state or a total that depends on how much is kept.

use super::random_books::{Size, random_book};
use super::support::Sheets;
use lineward::base::{Moment, Quantity};
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
