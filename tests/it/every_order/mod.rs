//! Proofs over every order against placing every order, and counts against published ones; catches clauses that say more or
//! less than the contract, an order told that is not the smallest, a sum that is off by one build.

mod models;
mod random;
mod told;

use super::support::Sheets;
use lineward::base::Moment;
use lineward::every_order::{self, Count, Proof};
use lineward::{check, line};

/// Proves a book that has no errors.
fn proof(sheets: &Sheets) -> Proof {
    let (plant, findings) = check::plant(&sheets.book(), None, Moment::default());
    assert!(!findings.any_error(), "{findings:?}\n{}", sheets.shown());
    every_order::prove(&plant, &line::pace(&plant), |_, _| ())
}

/// A plant with one floorplan, TEAL, of which one unit was built long ago.
fn plant() -> Sheets {
    let mut sheets = Sheets::plant(&["X", "Y"]);
    sheets.set("Sequence", "line,seq,unit,floorplan,done\nL1,1,U1,TEAL,yes");
    sheets
}

/// How many builds TEAL has.
fn builds(sheets: &Sheets) -> String {
    let proof = proof(sheets);
    match proof.figures.first().map(|figures| &figures.builds) {
        Some(Count::Exactly(count)) => count.to_string(),
        Some(Count::MoreThan(count)) => format!("more than {count}"),
        None => "none".to_owned(),
    }
}

/// Groups of which a unit has one each, with so many options.
fn groups(sizes: &[usize]) -> Sheets {
    let mut sheets = plant();
    sheets.set("Groups", "group,choose").set("Options", "option,group");
    for (group, size) in sizes.iter().enumerate() {
        sheets.add("Groups", &format!("G{group},one"));
        (0..*size).for_each(|option| _ = sheets.add("Options", &format!("G{group}-{option},G{group}")));
    }
    sheets
}

/// Orlicky's Material Requirements Planning, chapter on product definition: a tractor with choices of 3, 3, 2, 2, 2, 2, 2, 2, 3,
/// 2 and 2, 25 individual choices in all, can be built in 6,912 ways; special fenders, a choice of two, make it 13,824.
#[test]
fn a_tractor_of_25_modules() {
    let choices = [3, 3, 2, 2, 2, 2, 2, 2, 3, 2, 2];
    assert_eq!(choices.iter().sum::<usize>(), 25);
    assert_eq!(builds(&groups(&choices)), "6912");
    assert_eq!(builds(&groups(&[&choices[..], &[2]].concat())), "13824");
}

/// Ten options of which no two neighbours go together: in a row as many ways as the Fibonacci number F(12) = 144, in a ring as
/// many as the Lucas number L(10) = 123 (OEIS A000045 and A000032).
#[test]
fn no_two_neighbours() {
    let mut sheets = plant();
    sheets.set("Options", "option").set("Rules", "when,must");
    (0..10).for_each(|i| _ = sheets.add("Options", &format!("N{i}")));
    (0..9).for_each(|i| _ = sheets.add("Rules", &format!("N{i},not N{}", i + 1)));
    assert_eq!(builds(&sheets), "144");
    sheets.add("Rules", "N9,not N0");
    assert_eq!(builds(&sheets), "123");
}

/// Queens on a board, none of which attacks another: OEIS A000170 has 0, 2, 10, 4, 40 and 92 ways for boards of 3 to 8.
#[test]
fn queens() {
    for (size, ways) in [(3_usize, "none"), (4, "2"), (5, "10"), (6, "4"), (7, "40"), (8, "92")] {
        let mut sheets = groups(&vec![size; size]);
        sheets.set("Rules", "when,must");
        let squares = || (0..size * size).map(|square| (square / size, square % size));
        for ((a, b), (c, d)) in squares().flat_map(|first| squares().map(move |second| (first, second))) {
            if a < c && (b == d || c - a == b.abs_diff(d)) {
                sheets.add("Rules", &format!("G{a}-{b},not G{c}-{d}"));
            }
        }
        let proof = proof(&sheets);
        assert_eq!(proof.findings.iter().any(|finding| finding.kind.name == "nobody-can-order"), ways == "none");
        assert_eq!(builds(&sheets), ways, "a board of {size}");
    }
}

/// A number of any size: two hundred options that have nothing to do with each other, 2^200 (worked out by doubling by hand of
/// digits is long: OEIS A000079 has it).
#[test]
fn more_builds_than_a_machine_word_counts() {
    let mut sheets = plant();
    sheets.set("Options", "option");
    (0..200).for_each(|i| _ = sheets.add("Options", &format!("N{i}")));
    assert_eq!(builds(&sheets), "1606938044258990275541962092341162602522202993782792835301376");
}

/// Rules that look whether something is missing apply in their order: with the one that brings the large axle first there are
/// two builds, with it last no order with BIG can be placed at all, since the small axle was added before.
#[test]
fn the_order_of_rules_counts() {
    let mut sheets = plant();
    sheets.set("Options", "option\nBIG\nAXLES\nAXLEL").set("Offers", "floorplan,option,offer\n*,BIG,optional");
    sheets.set("Rules", "when,adds\nBIG,AXLEL\nnot AXLEL,AXLES");
    assert_eq!(builds(&sheets), "2");
    sheets.set("Rules", "when,adds\nnot AXLEL,AXLES\nBIG,AXLEL");
    let proof = proof(&sheets);
    let told: Vec<&str> = proof.findings.iter().map(|finding| finding.kind.name).collect();
    assert_eq!(builds(&sheets), "1");
    assert!(told.contains(&"offer-never-ordered"), "{told:?}");
}

/// Packages and rules that bring each other about bring nothing by themselves, and the search ends.
#[test]
fn circles_bring_nothing() {
    let mut sheets = plant();
    sheets.set("Options", "option\nA\nB\nC\nD").set("Offers", "floorplan,option,offer\n*,D,optional");
    sheets.set("Packages", "option,includes\nA,B\nB,A").set("Rules", "when,adds\nC,A\nB,C");
    // Nothing, or D.
    assert_eq!(builds(&sheets), "2");
}
