//! Starts and hand-overs on paper: catches a start that is offered before its material comes, a run that does not bring it, and
//! hand-overs that one person can't make, of which nothing is said.

use super::random_books::{Size, random_book};
use super::support::{self, Sheets, rounds};
use lineward::base::{DestId, Moment, OwnerId, PartId};
use lineward::netting::Cover;
use lineward::plan::{Brought, Plan, There};
use lineward::report::line_words;
use std::collections::BTreeSet;

/// Whom which part leaves the stores for, to which place and by which need: read off all demands and what covers them.
fn from_the_stores(plan: &Plan<'_>) -> BTreeSet<(PartId, OwnerId, DestId, Moment)> {
    let mut found = BTreeSet::new();
    for supply in support::supplies(plan) {
        for (demand, peg) in supply.pegged().pieces() {
            if matches!(peg.cover, Cover::Reserved | Cover::Stock | Cover::Receipt(_) | Cover::None) {
                found.insert((demand.part, demand.owner, demand.to, demand.need));
            }
        }
    }
    found
}

/// Looks at all jobs of a plan; gives how many come with a run, and how many with nothing from the stores though they take something.
fn each_job_has_its_run(plan: &Plan<'_>, told: &str) -> (usize, usize) {
    let (leaves, brought) = (from_the_stores(plan), Brought::of(plan));
    let (mut with_run, mut without) = (0, 0);
    for (number, job) in plan.jobs.iter().enumerate() {
        let shop = plan.plant.shop(job.shop);
        let calendar = plan.plant.calendar(shop.calendar);
        let need = calendar.starts(job.slot.start - shop.ahead);
        // The last run at or before the need.
        let last = plan.runs.all().iter().rev().find(|run| run.leaves <= need).copied();
        let own = |part: PartId| leaves.contains(&(part, job.owner, shop.dest, need));
        let some = !job.started && job.below.needs.iter().any(|(part, _)| own(*part));
        assert_eq!(brought.run(number), last.filter(|_| some), "{told}: job {number}");
        with_run += usize::from(brought.run(number).is_some());
        without += usize::from(!job.started && !some && !job.below.needs.is_empty());
        // What is in time can be begun at the latest start; what is late can't.
        let in_time = plan.job_there(number) == There::At(job.available);
        match brought.there(number) {
            Some(There::At(at)) => assert_eq!(at <= need, in_time, "{told}: job {number} of {need:?}"),
            Some(There::Unknown) => assert!(!in_time, "{told}: job {number}"),
            None => assert!(in_time, "{told}: job {number}"),
        }
    }
    (with_run, without)
}

#[test]
fn the_run_of_a_job_brings_its_material() {
    let (mut with_run, mut without) = (0, 0);
    for seed in 0..rounds(120) {
        _ = Sheets(random_book(seed, Size::Small)).look(None, true, |plan| {
            let (with, none) = each_job_has_its_run(plan, &format!("seed {seed}"));
            (with_run, without) = (with_run + with, without + none);
        });
    }
    assert!(with_run > 200 && without > 10, "{with_run}, {without}");
}

/// U1 comes to S2 at 07:00 on Tuesday, U2 to S1 then and to S2 at 08:00. Their pieces come at 06:30 and 07:30, after their run, 06:00: both
/// of 07:00 are handed over from 06:50 on at the last, and the third an hour later.
#[test]
fn hand_overs_due_at_once_are_named() {
    let mut sheets = Sheets::plant(&["S1", "S2"]);
    sheets.set("Parts", "part,uom\nA,ea\nB,ea");
    sheets.set("Bills", "parent,part,qty,station\nTEAL,A,1,S2\nTEAL,B,1,S1");
    sheets.set("Sequence", "line,seq,unit,floorplan,start\nL1,1,U1,TEAL,2027-09-14\nL1,2,U2,TEAL,2027-09-14");
    sheets.set("Stock", "part,qty\nB,1");
    sheets.set(
        "Receipts",
        "purchase order,part,qty,due\n1,A,1,2027-09-14 06:30\n2,B,1,2027-09-14 06:30\n3,A,1,2027-09-14 07:30",
    );
    let words = |sheets: &Sheets| sheets.look(None, false, line_words::at_once).expect("a plan");
    let told = "Hand-overs due at once, closer together than the 10 min that one takes: U1 at S2, at the last Tue 14 Sep 06:50, and U2 at S1, \
                06:50.";
    assert_eq!(words(&sheets).as_deref(), Some(told));
    // One of them in stock: nothing is at once.
    assert_eq!(words(sheets.set("Stock", "part,qty\nB,2")), None);
}
