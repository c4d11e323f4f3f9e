//! A change begun with each unit ahead: every row against the plan of the book with that change in it; by hand and on the demo which
//! beginnings are marked. Catches a part that is covered otherwise than the whole plan does, and a proposal with which something is short.
//!
//! Rule `run-out`.

use super::forecast::books::{cell, of_book, table};
use super::random_books::{Book, Size, random_book};
use super::support::{Sheets, rounds};
use lineward::base::{ChangeId, Moment, OwnerId, PartId, Quantity, UnitId};
use lineward::netting::Cover;
use lineward::plan::{Plan, Request, plan};
use lineward::report;
use lineward::run_out::{Begin, Row, RunOut, run_outs};
use lineward::supply::Covered;
use lineward::{book, check};
use std::path::Path;

/// A book with a change begun with a unit, or never.
fn begun(book: &Book, change: usize, begin: Begin, units: &[check::Unit]) -> Book {
    let mut changed = book.clone();
    let rows = of_book(book, "Changes");
    let wanted = cell(&rows[change], "change").to_owned();
    let text = |row: &super::forecast::Row, heading: &str| match (heading, begin) {
        _ if cell(row, "change") != wanted => row[heading].clone(),
        ("fromunit", Begin::With(unit)) => units[unit.at()].code.clone(),
        ("fromdate", Begin::Never) => "2100-01-01".to_owned(),
        ("fromunit" | "fromdate", Begin::With(_) | Begin::Never) => String::new(),
        _ => row[heading].clone(),
    };
    changed.insert("Changes".to_owned(), table(&rows, text));
    changed
}

/// A piece that is not there when it is needed: when that is, of what, whose, and how it stands.
type Waits = (Moment, PartId, OwnerId, Covered);

/// What the plan of a changed book says of the same parts.
fn of_plan(plan: &Plan<'_>, out: &RunOut) -> (Vec<Quantity>, Option<Waits>) {
    let left = |part: &PartId| {
        let supply = plan.supply(*part);
        let receipts: Quantity = plan.plant.receipts.iter().filter(|row| row.part == *part).map(|row| row.qty).sum();
        let short: Quantity = supply.pegs.iter().filter(|peg| peg.cover == Cover::None).map(|peg| peg.qty).sum();
        let left = supply.begins + receipts - supply.asked();
        assert!(short.is_zero() || left == -short, "what is short is what is lacking in all");
        left
    };
    let inside = |owner: OwnerId| {
        let owner = &plan.pace.owners[owner.at()];
        owner.planned && owner.unit.is_some_and(|unit| plan.pace.reached(plan.plant, unit, out.change))
    };
    let waits = out.parts.new.iter().flat_map(|part| {
        let supply = plan.supply(*part).into_owned();
        let pieces = supply.pegs.iter().map(|peg| (supply.demands[peg.demand as usize], *peg)).collect::<Vec<_>>();
        let waiting = pieces
            .into_iter()
            .filter(|(demand, peg)| inside(demand.owner) && peg.covered(demand.need) != Covered::InTime);
        waiting.map(|(demand, peg)| (demand.need, *part, demand.owner, peg.covered(demand.need))).collect::<Vec<_>>()
    });
    (out.parts.old.iter().map(left).collect(), waits.min_by_key(|(need, part, ..)| (*need, *part)))
}

fn planned<T>(book: &Book, look: impl FnOnce(&Plan<'_>) -> T) -> Option<T> {
    Sheets(book.clone()).look(None, true, look).ok()
}

#[derive(Debug, Default)]
struct Seen {
    rows: usize,
    old: usize,
    short: usize,
    there: usize,
    waits: usize,
    never: usize,
    not_looked_at: usize,
    in_shops: usize,
}

/// Compares some rows of all changes with the plans of changed books.
fn compare(name: &str, book: &Book, most: usize, seen: &mut Seen) {
    let mut random = fastrand::Rng::with_seed(name.len() as u64 + 7);
    let found = planned(book, |plan| {
        let in_shop = |part: PartId| {
            plan.supply(part)
                .demands
                .iter()
                .any(|demand| matches!(plan.plant.dest(demand.to).what, check::DestKind::Shop(_)))
        };
        let outs = run_outs(plan);
        seen.in_shops += outs
            .iter()
            .flat_map(|out| out.parts.old.iter().chain(&out.parts.new))
            .filter(|part| in_shop(**part))
            .count();
        (outs, plan.plant.units.clone())
    });
    let Some((outs, units)) = found else { return };
    for out in &outs {
        assert!(!out.too_large, "{name}");
        seen.not_looked_at += out.parts.not_looked_at.len();
        seen.old += out.parts.old.len();
        let mut rows: Vec<&Row> = out.rows.iter().collect();
        let (first, last) = (rows.remove(0), rows.pop().expect("never"));
        assert_eq!((first.begin, last.begin), (Begin::AsItIs, Begin::Never), "{name}");
        random.shuffle(&mut rows);
        rows.truncate(most);
        for row in rows.into_iter().chain([first, last]) {
            let changed = begun(book, out.change.at(), row.begin, &units);
            let (left, waits) = planned(&changed, |plan| of_plan(plan, out)).expect("a plan as before");
            let told = format!("{name}: {:?} {:?} {}", out.change, row, Sheets(changed).shown());
            assert_eq!(row.left, left, "{told}");
            assert_eq!(row.waits, waits.map(|(_, part, owner, covered)| (part, owner, covered)), "{told}");
            seen.rows += 1;
            seen.short += usize::from(row.short());
            seen.there += usize::from(row.waits.is_none() && !out.parts.new.is_empty());
            seen.waits += usize::from(row.waits.is_some());
            seen.never += usize::from(row.begin == Begin::Never);
        }
    }
}

#[test]
fn every_row_is_the_plan_of_the_changed_book() {
    let mut seen = Seen::default();
    for seed in 231_000..231_000 + rounds(60) {
        let size = if seed % 6 == 0 { Size::Large } else { Size::Small };
        compare(&format!("seed {seed}"), &random_book(seed, size), 4, &mut seen);
    }
    assert!(seen.rows > 100 && seen.old > 50 && seen.short > 10 && seen.never > 30, "{seen:?}");
    assert!(seen.there > 20 && seen.waits > 20 && seen.not_looked_at > 10 && seen.in_shops > 5, "{seen:?}");
}

/// Six units take a sink each, one a takt; five old sinks are there and two new ones, four more come on Tue 14 Sep 06:00. Begun with U3 the
/// third new sink is needed by U5: U1 enters on Mon 13 Sep 06:00 and U5 at 10:00.
fn sinks() -> Sheets {
    let mut sheets = Sheets::plant(&["GAL"]);
    sheets.set("Parts", "part,uom,cost\nOLD,ea,40\nNEW,ea,50");
    sheets.set("Bills", "parent,part,qty,station,from change,until change\nTEAL,OLD,1,GAL,,C-1\nTEAL,NEW,1,GAL,C-1,");
    (1..=6).for_each(|n| _ = sheets.add("Sequence", &format!("L1,{n},U{n},TEAL")));
    sheets.set("Stock", "part,qty\nOLD,5\nNEW,2");
    sheets.set("Receipts", "purchase order,part,qty,due\n8001,NEW,4,2027-09-14");
    sheets.set("Changes", "change,from date,from unit\nC-1,,U3");
    sheets
}

/// With U5 two new sinks are enough, four old ones are taken of five: 40.00 left; with U6 none is left; never, one old sink is short.
#[test]
fn the_best_beginning_leaves_least_and_lacks_nothing() {
    let looked = sinks().look(None, false, |plan| {
        let outs = run_outs(plan);
        let [out] = &outs[..] else { panic!("{outs:?}") };
        let unit = |at: Option<usize>| match out.rows[at.expect("a row")].begin {
            Begin::With(unit) => plan.plant.units[unit.at()].code.clone(),
            other => panic!("{other:?}"),
        };
        let left: Vec<String> = out.rows.iter().map(|row| row.left[0].to_string()).collect();
        assert_eq!(left, ["3", "5", "4", "3", "2", "1", "0", "-1"]);
        assert_eq!(
            out.rows.iter().map(|row| row.cost.to_string()).collect::<Vec<_>>(),
            ["120", "200", "160", "120", "80", "40", "0", "0"]
        );
        assert_eq!(out.first_short(), None);
        assert_eq!(unit(out.first_there()), "U5");
        assert_eq!(unit(out.best()), "U6");
        let waits = out.rows[3].waits.expect("U3 to U6 need four");
        assert_eq!((plan.pace.owners[waits.1.at()].code.as_str(), waits.2), ("U5", Covered::Late));
    });
    looked.unwrap_or_else(|found| panic!("{found:?}"));
    let mut early = sinks();
    early.set("Stock", "part,qty\nOLD,3\nNEW,2");
    let looked = early.look(None, false, |plan| {
        let outs = run_outs(plan);
        // With U5 and U6 the old sinks are short, with U1 to U4 new ones come late: nothing to propose.
        assert_eq!((outs[0].first_short(), outs[0].best()), (Some(5), None));
        let [.., workbook] = report::workbooks(plan);
        let sheet = workbook.sheets.iter().find(|sheet| sheet.name == "run-out").expect("the sheet");
        let text = format!("{:?}", sheet.rows);
        for words in [
            "Begun with U5 or later an old part is short: OLD 1 ea.",
            "The first with which all new parts are there when they are needed: U5.",
            "No proposal: with each of these units an old part is short or a new one is not there.",
            "NEW late for U5",
        ] {
            assert!(text.contains(words), "{words}: {text}");
        }
    });
    looked.unwrap_or_else(|found| panic!("{found:?}"));
}

/// A change that all units on the plan have reached is no longer ahead; one that nobody reaches is.
#[test]
fn only_changes_ahead_are_told() {
    let told = |from: &str| {
        let mut sheets = sinks();
        sheets.set("Changes", &format!("change,from date,from unit\nC-1,{from}"));
        let looked = sheets.look(None, false, |plan| run_outs(plan).len());
        looked.unwrap_or_else(|found| panic!("{found:?}"))
    };
    assert_eq!((told(",U1"), told(",U2"), told("2027-09-13,"), told("2028-01-03,")), (0, 1, 0, 1));
}

/// `data/TROUBLES.md`: 24 units want the old sink before C-2041, of which there are 23; one unit earlier nothing is short or left.
#[test]
fn the_demo_is_told_a_beginning_for_its_old_sinks() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("data/alder-fen");
    let sheets = Sheets::read(&path);
    let (plant, _) = check::plant(&book::open(&path).expect("the demo"), None, Moment::default());
    let plan = plan(&plant, &Request::default()).0.expect("a plan");
    let outs = run_outs(&plan);
    assert_eq!(
        outs.iter().map(|out| plant.changes[out.change.at()].code.as_str()).collect::<Vec<_>>(),
        ["C-2041", "C-2043", "C-2047", "C-2050"]
    );
    let unit = |code: &str| UnitId::of(plant.units.iter().position(|unit| unit.code == code).expect("a unit"));
    let at =
        |out: &RunOut, code: &str| out.rows.iter().position(|row| row.begin == Begin::With(unit(code))).expect("a row");
    let sink = &outs[0];
    assert_eq!(sink.change, ChangeId::of(0));
    assert_eq!(sink.rows[0].left, [Quantity::whole(-1)]);
    assert_eq!((sink.first_short(), sink.best()), (Some(at(sink, "AF3461")), Some(at(sink, "AF3460"))));
    assert_eq!(sink.rows[at(sink, "AF3460")].left, [Quantity::ZERO]);
    let mut seen = Seen::default();
    compare("demo", &sheets.0, 2, &mut seen);
    assert!(seen.rows >= 16, "{seen:?}");
}
