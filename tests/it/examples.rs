//! The three worked examples, table by table: catches a wrong reading of the contract on books one can follow by hand.

use lineward::base::Moment;
use lineward::report::table::TABLES;
use lineward::{book, check, plan};
use std::path::{Path, PathBuf};

pub fn folder(example: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/examples").join(example)
}

/// The tables of a worked example; its consequences were worked out by hand: see the module `consequences` for the planner's; of
/// the buyer's, 20 windows are handed over on Fri 09:40, 480 + 480 + 220 minutes after V2 arrives on Wed 06:00, a day less for
/// each of V3 and V4, and V6's last window nothing brings.
fn compare(example: &str) {
    let book = book::open(&folder(example).join("book")).expect("the example's book");
    let (plant, findings) = check::plant(&book, None, Moment::default());
    assert!(!findings.any_error(), "{findings:?}");
    let (plan, _) = plan::plan(&plant, &plan::Request::default());
    let plan = plan.expect("a plan");
    for table in &TABLES {
        let expected = std::fs::read_to_string(folder(example).join("expected").join(format!("{}.csv", table.name)));
        assert_eq!(super::support::table_text(table, &plan), expected.expect("a table"), "{example} {}", table.name);
    }
}

#[test]
fn the_planners_example() {
    compare("planner");
}

#[test]
fn the_shops_example() {
    compare("shops");
}

#[test]
fn the_buyers_example() {
    compare("buyer");
}
