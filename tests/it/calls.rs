//! What a call is worth: catches a call that saves less or more than it says once it is done in the book, a block that one call alone
//! would do, and a receipt whose loss costs otherwise than told.
//!
//! The small books have one line from 06:00 to 14:00, takt one hour, no time ahead, ten minutes to hand over, one run a day,
//! picked at 06:00; as of Mon 13 Sep 06:00. A unit that starts on Tuesday needs its bolt at S1 on Tue 06:00.
//!
//! Rule `alone`.

use super::random_books::{Size, random_book};
use super::short_books::Short;
use super::support::{Sheets, rounds};
use lineward::base::{Date, Moment, Quantity};
use lineward::calls::{Calls, Saved, Source, Without, without};
use lineward::check::{self, Plant};
use lineward::cures::{Change, Cures, Kind, changed};
use lineward::plan::{self, Plan, Request, Worth};

fn plant_of(sheets: &Sheets) -> Plant {
    let (plant, findings) = check::plant(&sheets.book(), None, Moment::default());
    let told = || findings.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n");
    assert!(!findings.any_error(), "{}\n{}", told(), sheets.shown());
    plant
}

fn planned(plant: &Plant) -> Option<Plan<'_>> {
    plan::plan(plant, &Request { set_aside: true, ..Default::default() }).0
}

/// What a plant's line loses, planned whole.
fn worth(plant: &Plant) -> Worth {
    Worth::of_plan(&planned(plant).expect("a plan"))
}

fn saved(before: &Worth, after: &Worth) -> Saved {
    Saved {
        by_dates: before.loss.by_dates() - after.loss.by_dates(),
        in_all: before.loss.if_nothing_is_made_up() - after.loss.if_nothing_is_made_up(),
        no_end: before.no_end as i64 - after.no_end as i64,
    }
}

/// How often what was looked at.
#[derive(Debug, Default)]
struct Seen {
    calls: usize,
    nothing_alone: usize,
    at_shops: usize,
    no_end: usize,
    blocks: usize,
    fails: usize,
    of_one_part: usize,
    on_hold: usize,
    loose: usize,
    reserved: usize,
    instead: usize,
}

/// Does each call alone, all but each, each block and all calls, given how changes are done; each is planned anew.
fn does_what_it_says(plant: &Plant, done: &dyn Fn(&[&Change]) -> Plant, told: &str, seen: &mut Seen) {
    let plan = planned(plant).expect("a plan");
    let calls = Calls::of(&plan, &Cures::of(&plan));
    let before = Worth::of_plan(&plan);
    let with = |some: &dyn Fn(usize) -> bool| {
        let all = calls.calls.iter().enumerate().filter(|(call, _)| some(*call));
        worth(&done(&all.flat_map(|(_, call)| &call.changes).collect::<Vec<_>>()))
    };
    let rest = with(&|_| true);
    assert_eq!(calls.rest.as_ref(), Some(&rest), "{told}: all calls");
    for (number, call) in calls.calls.iter().enumerate() {
        let name = format!("{told}: {} {:?}", plant.part(call.part).code, call.source);
        assert_eq!(call.saves, Some(saved(&before, &with(&|other| other == number))), "{name} alone");
        if rest.is_nothing() {
            assert_eq!(call.alone, with(&|other| other != number), "{name} fails alone");
            seen.fails += 1;
        }
        assert!(!call.alone.is_nothing(), "{name} is worth something");
        seen.calls += 1;
        seen.nothing_alone += usize::from(call.saves == Some(Saved::default()));
        seen.no_end += usize::from(call.alone.no_end > 0);
        seen.of_one_part += usize::from(calls.about(call.part).count() > 1);
        let to_shop = |row: &plan::Consequence| matches!(plant.dest(row.to).what, check::DestKind::Shop(_));
        seen.at_shops += usize::from(plan.consequences_of(call.part).iter().any(to_shop));
    }
    for (number, block) in calls.blocks.iter().enumerate() {
        assert_eq!(block.saves, saved(&before, &with(&|call| block.calls.contains(&call))), "{told}: block {block:?}");
        assert!(block.calls.len() > 1, "{told}: {block:?}");
        for call in &block.calls {
            assert_eq!(calls.calls[*call].block, Some(number), "{told}");
            assert_ne!(calls.calls[*call].saves, Some(block.saves), "{told}: one alone does it");
            let rest = with(&|other| block.calls.contains(&other) && other != *call);
            assert_ne!(saved(&before, &rest), block.saves, "{told}: {call} is not needed in {block:?}");
        }
        seen.blocks += 1;
    }
    for on_hand in &calls.on_hand {
        let name = format!("{told}: {} {:?}", plant.part(on_hand.part).code, on_hand.kind);
        let own: Vec<&Change> = on_hand.changes.iter().collect();
        let alone = worth(&done(&own));
        assert_eq!(on_hand.saves, Some(saved(&before, &alone)), "{name} alone");
        assert!(!on_hand.alone.is_nothing(), "{name} is worth something");
        let others = calls.calls.iter().filter(|call| call.part != on_hand.part).flat_map(|call| &call.changes);
        let others: Vec<&Change> = others.collect();
        // Where nothing else is lost, it fails alone where all others succeed.
        if worth(&done(&[others.as_slice(), own.as_slice()].concat())).is_nothing() {
            assert_eq!(on_hand.alone, worth(&done(&others)), "{name} fails alone");
            seen.instead += 1;
        }
        match on_hand.kind {
            Kind::OnHold => seen.on_hold += 1,
            Kind::Reservation => seen.reserved += 1,
            _ => seen.loose += 1,
        }
    }
}

/// In the rows of the book.
#[test]
fn calls_done_in_the_book_save_what_they_say() {
    let mut seen = Seen::default();
    for seed in 0..rounds(400) {
        let plant = plant_of(&Short::of(seed).written());
        let done = |changes: &[&Change]| {
            let mut book = Short::of(seed);
            assert!(changes.iter().all(|change| book.make(&plant, change)), "seed {seed}");
            plant_of(&book.written())
        };
        does_what_it_says(&plant, &done, &format!("seed {seed}"), &mut seen);
    }
    println!("{seen:?}");
    assert!(seen.calls > 500 && seen.nothing_alone > 50 && seen.at_shops > 50, "{seen:?}");
    assert!(seen.no_end > 50 && seen.blocks > 50 && seen.fails > 100 && seen.of_one_part > 50, "{seen:?}");
    assert!(seen.on_hold > 50 && seen.loose > 20 && seen.reserved > 10 && seen.instead > 20, "{seen:?}");
}

/// With several lines and shops that feed each other.
#[test]
fn calls_of_books_full_of_everything_save_what_they_say() {
    let mut seen = Seen::default();
    for seed in 0..rounds(60) {
        let (plant, _) = check::plant(&Sheets(random_book(seed, Size::Small)).book(), None, Moment::default());
        if planned(&plant).is_some() {
            let done = |changes: &[&Change]| changed(&plant, changes.iter().copied());
            does_what_it_says(&plant, &done, &format!("seed {seed}"), &mut seen);
        }
    }
    println!("{seen:?}");
    assert!(seen.calls > 100 && seen.at_shops > 20, "{seen:?}");
}

/// The plant without a delivery.
fn lost(plan: &Plan<'_>, without: &Without) -> Plant {
    let mut plant = plan.plant.clone();
    let receipts = std::mem::take(&mut plant.receipts).into_iter().enumerate();
    let others = receipts.filter(|(row, _)| plan.deliveries.of_receipt(*row as u32) != without.delivery);
    plant.receipts = others.map(|(_, receipt)| receipt).collect();
    plant
}

#[test]
fn a_receipt_that_does_not_come_costs_what_is_told() {
    let (mut looked_at, mut no_end) = (0, 0);
    for seed in 0..rounds(150) {
        for sheets in [Short::of(seed).written(), Sheets(random_book(seed, Size::Small))] {
            let (plant, _) = check::plant(&sheets.book(), None, Moment::default());
            let Some(plan) = planned(&plant) else { continue };
            for one in without(&plan).expect("all was looked at") {
                let order = plan.deliveries.all()[one.delivery].order;
                assert_eq!(one.worth, worth(&lost(&plan, one)), "seed {seed}: {order}");
                looked_at += 1;
                no_end += usize::from(one.worth.no_end > Worth::of_plan(&plan).no_end);
            }
        }
    }
    assert!(looked_at > 100 && no_end > 20, "{looked_at}, {no_end}");
}

/// A calendar, a line and units that need the parts named, one unit an hour from Tue 06:00.
fn units(parts: &[&str]) -> Sheets {
    let mut sheets = Sheets::plant(&["S1"]);
    sheets.set("Options", "option").set("Bills", "parent,part,qty,station,when");
    sheets.set("Sequence", "line,seq,unit,floorplan,options,start").set("Receipts", "purchase order,part,qty,due");
    for (i, parts) in parts.iter().enumerate() {
        sheets.add("Options", &format!("O{}", i + 1));
        for part in parts.split_whitespace() {
            sheets.add("Bills", &format!("TEAL,{part},1,S1,O{}", i + 1));
        }
        sheets.add("Sequence", &format!("L1,{0},U{0},TEAL,O{0},2027-09-14", i + 1));
    }
    let named = parts.iter().flat_map(|parts| parts.split_whitespace());
    let named: std::collections::BTreeSet<&str> = named.collect();
    named.iter().for_each(|part| _ = sheets.add("Parts", &format!("{part},ea")));
    sheets
}

/// `A 1: fails 60, saves 20`, `A order: ...`; then the blocks: `A B: 60`. Minutes, each day begun on its times.
fn told(sheets: &Sheets) -> Vec<String> {
    let plant = plant_of(sheets);
    let plan = planned(&plant).expect("a plan");
    let calls = Calls::of(&plan, &Cures::of(&plan));
    let part = |call: &lineward::calls::Call| plant.part(call.part).code.clone();
    let ends = |units: i64| if units > 0 { format!(" and {units} without end") } else { String::new() };
    let rows = calls.calls.iter().map(|call| {
        let what = match call.source {
            Source::Delivery(number) => plan.deliveries.all()[number].order,
            Source::Order => "order",
        };
        let saves = call.saves.expect("all was looked at");
        let (fails, no_end) = (call.alone.loss.by_dates() / 60, ends(call.alone.no_end as i64));
        let alone = format!("fails {fails}{no_end}, saves {}{}", saves.by_dates / 60, ends(saves.no_end));
        format!("{} {what}: {alone}", part(call))
    });
    let blocks = calls.blocks.iter().map(|block| {
        let names: Vec<String> = block.calls.iter().map(|call| part(&calls.calls[*call])).collect();
        format!("all of {}: {}{}", names.join(" "), block.saves.by_dates / 60, ends(block.saves.no_end))
    });
    rows.chain(blocks).collect()
}

/// U1 comes on Tue 06:00 and waits for two pieces until 06:50 and 06:30, handed over ten minutes later: 60 minutes and 40. With
/// only the second there it stands 60 still, with only the first 40.
#[test]
fn two_pieces_of_one_unit_save_together() {
    let mut sheets = units(&["A B"]);
    sheets.add("Receipts", "1,A,1,2027-09-14 06:50\n2,B,1,2027-09-14 06:30");
    assert_eq!(told(&sheets), ["A 1: fails 60, saves 20", "B 2: fails 40, saves 0", "all of A B: 60"]);
}

/// U2's piece, needed at 07:00, is handed over at 07:30: 30 minutes by itself. The line stands until 07:00 for U1's, so U2 comes at 08:00:
/// it saves nothing alone, and without it U1's saves 30 only. On Wednesday U9's is handed over at 06:20; no other stops it there.
#[test]
fn a_line_that_stands_anyway_saves_nothing_for_one_call() {
    let mut sheets = units(&["A", "B"]);
    sheets.set("Sequence", "line,seq,unit,floorplan,options,start\nL1,1,U1,TEAL,O1,2027-09-14\nL1,2,U2,TEAL,O2,2027-09-14\nL1,3,U9,TEAL,O3,2027-09-15");
    sheets.add("Options", "O3").add("Bills", "TEAL,C,1,S1,O3").add("Parts", "C,ea");
    sheets.add("Receipts", "1,A,1,2027-09-14 06:50\n2,B,1,2027-09-14 07:20\n3,C,1,2027-09-15 06:10");
    assert_eq!(
        told(&sheets),
        ["A 1: fails 60, saves 30", "B 2: fails 30, saves 0", "C 3: fails 20, saves 20", "all of A B: 60"]
    );
}

/// Two parts of U1 are on no order: ordering one leaves it without end. What comes first is told first: U2's A is needed an hour later.
#[test]
fn stops_with_no_known_end_are_counted_beside() {
    let mut sheets = units(&["B C", "A"]);
    sheets.add("Receipts", "1,A,1,2027-09-14 07:50");
    assert_eq!(
        told(&sheets),
        [
            "B order: fails 0 and 1 without end, saves 0",
            "C order: fails 0 and 1 without end, saves 0",
            "A 1: fails 60, saves 60",
            "all of B C: 0 and 1 without end",
        ]
    );
}

/// The demo's book.
fn demo() -> Sheets {
    Sheets::read(&std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("data/alder-fen"))
}

/// What each single stop costs is worked out in `loss`. On Friday the hob is handed over at 10:10, 175 minutes of the line's working time
/// after 07:05; the window at 10:10, too, from 07:35 on: 155 less a break of 10. So the line stands 145 for the window when the hob is
/// there, and all of 175 when the window is. BIK-01, OSH-01 and BNF-21-01 come to two, three and three units. AF3661 is the fourth before
/// AF3665 and comes to WSH, a position behind BED: 90 minutes before that one comes to BED, so its call stands first.
#[test]
fn the_demos_calls() {
    assert_eq!(
        told(&demo()),
        [
            "CTP-18-MO-01 52220: fails 340, saves 340",
            "F14-01 52103: fails 20, saves 20",
            "SNK-01 order: fails 0 and 1 without end, saves 0 and 1 without end",
            "RAC-01 52265: fails 200, saves 200",
            "HB4-01 52385: fails 175, saves 30",
            "WIN-21-03 52415: fails 145, saves 0",
            "BIK-01 order: fails 0 and 2 without end, saves 0 and 2 without end",
            "OSH-01 order: fails 0 and 3 without end, saves 0 and 3 without end",
            "BNF-21-01 order: fails 0 and 3 without end, saves 0 and 3 without end",
            "all of HB4-01 WIN-21-03: 175",
        ]
    );
}

/// Each call, all but each, the block and all of them done in the demo, which is planned anew.
#[test]
fn the_demos_calls_save_what_they_say() {
    let plant = plant_of(&demo());
    let mut seen = Seen::default();
    does_what_it_says(&plant, &|changes| changed(&plant, changes.iter().copied()), "the demo", &mut seen);
    assert_eq!((seen.calls, seen.blocks, seen.fails), (9, 1, 9), "{seen:?}");
}

/// Nobody promised the fridges and the double sockets that are overdue: without either the line stands without end sooner or later. The
/// fridges hit more units.
#[test]
fn the_demo_rests_on_two_receipts_that_nobody_promised() {
    let plant = plant_of(&demo());
    let plan = planned(&plant).expect("a plan");
    let all = without(&plan).expect("all was looked at");
    let orders: Vec<_> = all.iter().map(|one| plan.deliveries.all()[one.delivery].order).collect();
    assert_eq!(orders, ["52103", "52100"]);
    all.iter().for_each(|one| assert_eq!(one.worth, worth(&lost(&plan, one)), "planned anew"));
    let words = lineward::report::call_words::rests_on(&plan).expect("it rests on them");
    let begins = "if 52103 (F14-01) comes by Tue 14 Sep 10:00, which nobody has promised; without it the line loses ";
    assert!(words.starts_with(begins) && words.ends_with("it rests on 1 such receipt more"), "{words}");
}

/// All of the hobs on hold found good is worth what the call is: both then lie in the stores.
#[test]
fn stock_on_hold_that_would_do_is_worth_its_call() {
    let plant = plant_of(&demo());
    let plan = planned(&plant).expect("a plan");
    let calls = Calls::of(&plan, &Cures::of(&plan));
    let hob = |part| plant.part(part).code == "HB4-01";
    let call = calls.calls.iter().find(|call| hob(call.part)).expect("the hob's");
    let held: Vec<_> = calls.on_hand.iter().filter(|on_hand| hob(on_hand.part)).collect();
    assert_eq!(held.iter().map(|on_hand| on_hand.kind).collect::<Vec<_>>(), [Kind::OnHold]);
    assert_eq!((held[0].saves_until, &held[0].alone, held[0].saves), (call.saves_until, &call.alone, call.saves));
    assert!(held[0].qty(&plan) >= call.asked());
    // Its run on Friday is picked at 04:30: until then quality can answer.
    assert_eq!(call.quality_until(&plan).map(|until| until.short()), Some("Fri 17 Sep 04:30".to_owned()));
}

/// U1 comes on Tuesday at 06:00, U9 a day later. The one piece on hand lies at C-1, reserved for U9; order 1 brings one on Tuesday at 08:00, in
/// time for U9. Given to U1, what is reserved saves all of the 130 minutes for which the line stands until 08:10, ten minutes after the piece
/// comes.
#[test]
fn a_reservation_due_later_is_told_with_what_it_saves() {
    let mut sheets = units(&["A"]);
    sheets.set(
        "Sequence",
        "line,seq,unit,floorplan,options,start\nL1,1,U1,TEAL,O1,2027-09-14\nL1,2,U9,TEAL,O1,2027-09-15",
    );
    sheets.set("Stock", "part,qty,location,unit\nA,1,C-1,U9").add("Receipts", "1,A,1,2027-09-14 08:00");
    let plant = plant_of(&sheets);
    let plan = planned(&plant).expect("a plan");
    let calls = Calls::of(&plan, &Cures::of(&plan));
    let told: Vec<_> = calls.on_hand.iter().map(|on_hand| (on_hand.kind, on_hand.alone.loss.by_dates() / 60)).collect();
    assert_eq!(told, [(Kind::Reservation, 130)]);
    assert_eq!(calls.on_hand[0].saves.map(|saves| saves.by_dates / 60), Some(130));
    assert_eq!(calls.on_hand[0].saves_until.map(|until| until.short()), Some("Tue 14 Sep 05:50".to_owned()));
}

/// U1 comes on Tuesday at 06:00 and U9 on Wednesday; all five of order 1 come on Thursday. Asked for is one by U1's moment and another by U9's,
/// two all told. Catches more taken from the order for the second than it lacks.
#[test]
fn of_each_delivery_as_much_is_asked_as_is_lacking_by_then() {
    let mut sheets = units(&["A"]);
    sheets.set(
        "Sequence",
        "line,seq,unit,floorplan,options,start\nL1,1,U1,TEAL,O1,2027-09-14\nL1,2,U9,TEAL,O1,2027-09-15",
    );
    sheets.add("Receipts", "1,A,5,2027-09-16 06:00");
    let plant = plant_of(&sheets);
    let plan = planned(&plant).expect("a plan");
    let calls = Calls::of(&plan, &Cures::of(&plan));
    let [call] = &calls.calls[..] else { panic!("{:?}", calls.calls) };
    let steps: Vec<_> = call.steps.iter().map(|step| (step.qty.to_string(), step.by)).collect();
    let [(first, tuesday), (second, wednesday)] = &steps[..] else { panic!("{steps:?}") };
    assert_eq!((first.as_str(), second.as_str()), ("1", "2"));
    assert!(tuesday < wednesday && tuesday.date() <= Date::parse("2027-09-14").expect("a date"));
    let one = |by: &Moment| Change::Sooner { receipt: 0, qty: Quantity::whole(1), by: *by };
    assert_eq!(call.changes, [one(tuesday), one(wednesday)]);
    assert!(calls.on_hand.is_empty(), "nothing of it is on hand: {:?}", calls.on_hand);
}

/// Neither supplier has confirmed. U1's piece comes on Thursday, the third open day after Monday, U2's on Friday: without the first the line stands, and
/// nobody asks about the other yet. Catches a receipt of a later day.
#[test]
fn what_the_plan_rests_on_comes_in_the_next_three_days() {
    let mut sheets = units(&["A", "B"]);
    sheets.set(
        "Sequence",
        "line,seq,unit,floorplan,options,start\nL1,1,U1,TEAL,O1,2027-09-16\nL1,2,U2,TEAL,O2,2027-09-17",
    );
    sheets.set("Receipts", "purchase order,part,qty,due,confirmed");
    sheets.add("Receipts", "1,A,1,2027-09-16 05:00,no\n2,B,1,2027-09-17 05:00,no");
    let plant = plant_of(&sheets);
    let plan = planned(&plant).expect("a plan");
    let all = without(&plan).expect("all was looked at");
    let orders: Vec<_> = all.iter().map(|one| (plan.deliveries.all()[one.delivery].order, one.worth.no_end)).collect();
    assert_eq!(orders, [("1", 1)]);
}

/// What stands on hold and would do, by its part and kind, in the order in which it is told.
fn on_hand(sheets: &Sheets) -> Vec<(String, Kind)> {
    let plant = plant_of(sheets);
    let plan = planned(&plant).expect("a plan");
    let calls = Calls::of(&plan, &Cures::of(&plan));
    calls.on_hand.iter().map(|one| (plant.part(one.part).code.clone(), one.kind)).collect()
}

/// On Tuesday U1 waits for an A that comes at 08:00, and U2 for a B that nothing brings; one of each is on hold. Of one day what leaves a unit without an
/// end stands first.
#[test]
fn on_hand_first_is_what_a_unit_stops_for_without_end() {
    let mut sheets = units(&["A", "B"]);
    sheets.add("Receipts", "1,A,1,2027-09-14 08:00").set("Stock", "part,qty,location,hold\nA,1,C-1,bent\nB,1,C-1,bent");
    assert_eq!(on_hand(&sheets), [("B".to_owned(), Kind::OnHold), ("A".to_owned(), Kind::OnHold)]);
}

/// The one on hold would go to U1, so that U2 gets what comes at 07:00 for U1 now, and waits until 07:10 instead of 08:40: nobody waits longer than
/// before. Catches a piece that waits otherwise taken for one that waits longer.
#[test]
fn who_waits_less_than_before_is_no_hindrance() {
    let mut sheets = units(&["A", "A"]);
    sheets.add("Receipts", "1,A,1,2027-09-14 07:00\n2,A,1,2027-09-14 08:30");
    sheets.set("Stock", "part,qty,location,hold\nA,1,C-1,bent");
    assert_eq!(on_hand(&sheets), [("A".to_owned(), Kind::OnHold)]);
}

/// A sample is built for nobody on the line on Wednesday, of the same part as U1 on Tuesday; five come on Thursday. The line waits for U1's alone: one is
/// asked for by its moment. Catches a piece of nobody on a line asked for as if the line waited for it.
#[test]
fn what_nobody_on_the_line_lacks_is_not_asked_for() {
    let mut sheets = units(&["A"]);
    sheets.add("Receipts", "1,A,5,2027-09-16 06:00");
    sheets.set("Extras", "part,qty,to,needed,unit,reason\nA,1,S1,2027-09-15 06:00,,sample");
    let plant = plant_of(&sheets);
    let plan = planned(&plant).expect("a plan");
    let calls = Calls::of(&plan, &Cures::of(&plan));
    let [call] = &calls.calls[..] else { panic!("{:?}", calls.calls) };
    assert_eq!(call.steps.iter().map(|step| step.qty.to_string()).collect::<Vec<_>>(), ["1"]);
}
