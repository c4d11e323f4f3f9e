//! What the line loses, and until when a piece saves it: catches pieces whose stops are added up though the line stands anyway, a
//! date that does not begin on its times, and a last moment that is too soon or too late.
//!
//! Rules `line-loss`, `saves-until`.

use super::random_books::{Size, random_book};
use super::support::{Sheets, consequences, rounds};
use lineward::base::{Moment, OwnerId, PartId, Quantity, UnitId};
use lineward::check::{self, Plant, Receipt, Stock};
use lineward::plan::{self, Consequence, Outcome, Plan, Request};
use std::collections::BTreeSet;
use std::path::Path;

/// A worked example's book.
fn example(name: &str) -> Sheets {
    Sheets::read(&super::examples::folder(name).join("book"))
}

/// What the lines of a plan lose: each date with its minutes, and in all if nothing is made up.
fn lost(plan: &Plan<'_>) -> (Vec<String>, i64) {
    let loss = &plan.effects.loss;
    let by_date = loss.by_date.iter().map(|lost| format!("{} {}", lost.date, lost.seconds as f64 / 60.0));
    (by_date.collect(), loss.if_nothing_is_made_up() / 60)
}

/// U6 waits at CH for its axles, 09:00 to 09:40. The move with which U5 comes to FN, 13:30, is then at 14:10, and RA-13 is handed over
/// on Thu 09:40: 20 minutes of Tuesday, all 480 of Wednesday, 220 of Thursday. If nothing is made up, the 40 move what follows: from
/// W 460 to Thu 09:40, W 1180, are 720 more.
#[test]
fn the_planners_line_stands_from_tuesday_to_thursday() {
    let found = example("planner").look(None, false, lost).expect("a plan");
    let days = ["2027-09-14 60", "2027-09-15 480", "2027-09-16 220"].map(str::to_owned).to_vec();
    assert_eq!(found, (days, 760));
}

/// The line waits for V2's window from Wed 06:00 to Fri 09:40. Those of V3 and V4 are there with it, before their units then come.
/// V6 waits without end, which counts beside.
#[test]
fn the_buyers_line_waits_once_for_three_units() {
    let found = example("buyer").look(None, false, lost).expect("a plan");
    let days = ["2027-09-15 480", "2027-09-16 480", "2027-09-17 220"].map(str::to_owned).to_vec();
    assert_eq!(found, (days, 1180));
}

/// A line of an hour's takt, 06:00 to 14:00, on which U1 to U4 come to CH at 06:00, 07:00, 08:00 and 09:00; each part is for one.
fn four_units(receipts: &str) -> Sheets {
    let mut sheets = Sheets::plant(&["CH"]);
    sheets.set("Receipts", "purchase order,part,qty,due");
    sheets.set("Options", "option\nA\nB\nC\nD");
    sheets.set("Bills", "parent,part,qty,station,when");
    for (option, part) in [("A", "P1"), ("B", "P2"), ("C", "P3"), ("D", "P4")] {
        sheets.add("Parts", &format!("{part},ea"));
        sheets.add("Bills", &format!("TEAL,{part},1,CH,{option}"));
    }
    sheets.set(
        "Sequence",
        "line,seq,unit,floorplan,options\nL1,1,U1,TEAL,A\nL1,2,U2,TEAL,B\nL1,3,U3,TEAL,C\nL1,4,U4,TEAL,D",
    );
    sheets.add("Receipts", receipts);
    sheets
}

/// U1's piece is handed over at 06:40; U2's at 07:30, when U2 has come at 07:40: it adds nothing. U3 would come at 08:40, its piece is
/// handed over at 09:00: 20 more. U4's is there in time.
#[test]
fn a_line_that_stands_delays_all_behind_it() {
    let sheets = four_units(
        "1,P1,1,2027-09-13 06:30\n2,P2,1,2027-09-13 07:20\n3,P3,1,2027-09-13 08:50\n4,P4,1,2027-09-13 08:50",
    );
    let tables = sheets.plan();
    let rows = tables.rows("consequences", "to=CH", "unit word stop_minutes adds_seconds saves_until");
    let rows: Vec<String> = rows.iter().map(|row| row.join(" ").replace("2027-09-13T", "")).collect();
    assert_eq!(
        rows,
        [
            "U1 stops the line 40 2400 05:50:00",
            "U2 stops the line 30 0 06:50:00",
            "U3 stops the line 60 1200 07:50:00",
            "U4 special run  0 08:50:00",
        ]
    );
    assert_eq!(sheets.look(None, false, lost).expect("a plan"), (vec!["2027-09-13 60".to_owned()], 60));
}

/// Two days late, U1's piece costs all of Monday and is handed over on Wed 06:40. Each date begins on its times, so that
/// what Monday leaves decides by the piece that is there last: U2's, handed over on Wed 07:10, all of Tuesday and 70 minutes of
/// Wednesday. If nothing is made up, U2 comes after U1's 1,000 minutes (two days and 40) at W 1060, when its piece, W 1030, is there.
#[test]
fn each_date_begins_on_its_times_with_the_last_of_earlier_dates() {
    let sheets = four_units(
        "1,P1,1,2027-09-15 06:30\n2,P2,1,2027-09-15 07:00\n3,P3,1,2027-09-15 06:00\n4,P4,1,2027-09-13 06:00",
    );
    let adds = sheets.plan().column("consequences", "to=CH", "adds_seconds");
    // U1: 480 min; U2: 480 and 70.
    assert_eq!(adds, ["28800", "33000", "0"]);
    let days = ["2027-09-13 480", "2027-09-14 480", "2027-09-15 70"].map(str::to_owned).to_vec();
    assert_eq!(sheets.look(None, false, lost).expect("a plan"), (days, 1000));
}

/// U1 and U2 move at 07:00, U1 to FN and U2 to CH. U2's piece is there on Mon 20:00, when nobody works, U1's at 13:50: both are handed over
/// as the day ends, W 480, which is 420 more than W 60. Of those alike the first in the table decides, U1's, though its part comes second.
/// Catches the other way round: a piece that decides although one before it in the table is handed over as late.
#[test]
fn of_pieces_handed_over_at_one_working_moment_the_first_decides() {
    let mut sheets = Sheets::plant(&["CH", "FN"]);
    sheets.set("Receipts", "purchase order,part,qty,due\n1,P1,1,2027-09-13 20:00\n2,P2,1,2027-09-13 13:50");
    sheets.add("Parts", "P1,ea\nP2,ea").set("Options", "option\nA\nB");
    sheets.set("Bills", "parent,part,qty,station,when\nTEAL,P1,1,CH,A\nTEAL,P2,1,FN,B");
    sheets.set("Sequence", "line,seq,unit,floorplan,options\nL1,1,U1,TEAL,B\nL1,2,U2,TEAL,A");
    let rows = sheets.plan().rows("consequences", "", "unit part arrives stop_minutes adds_seconds");
    let arrives = "2027-09-13T07:00:00";
    assert_eq!(rows, [["U1", "P2", arrives, "420", "25200"], ["U2", "P1", arrives, "420", "0"]]);
    assert_eq!(sheets.look(None, false, lost).expect("a plan"), (vec!["2027-09-13 420".to_owned()], 420));
}

/// U1's piece costs 40 minutes of L1 from 06:00, so that it is 40 late; U2's is handed over at 07:30, and U2 comes at 07:40: behind U1's.
/// U3 would come at 08:40, and its piece is handed over at 09:00: 20 more; U4's, at 09:05, when U4 comes at
/// 10:00, adds nothing behind U3's. V1 on L2 waits from 06:00 to 12:10. Catches somebody named who is on another line, who comes later,
/// or whose piece is there before.
#[test]
fn who_adds_nothing_is_behind_the_last_before_it_on_its_line() {
    let mut sheets = four_units(
        "1,P1,1,2027-09-13 06:30\n2,P2,1,2027-09-13 07:20\n3,P3,1,2027-09-13 08:50\n4,P4,1,2027-09-13 08:55\n9,P9,1,2027-09-13 12:00",
    );
    sheets.add("Lines", "L2,DAY").add("Takt", "L2,2027-01-01,60").add("Stations", "L2,DH,1");
    sheets.add("Floorplans", "REED").add("Parts", "P9,ea").add("Bills", "REED,P9,1,DH,");
    sheets.add("Sequence", "L2,1,V1,REED,");
    let behind = sheets.look(None, false, |plan| {
        let code = |owner: OwnerId| plan.pace.owners[owner.at()].code.clone();
        let row = |row: &Consequence| (code(row.owner), plan.adds_seconds(row), plan.behind(row).map(code));
        consequences(plan).iter().map(row).collect::<Vec<_>>()
    });
    let mut behind = behind.expect("a plan");
    behind.sort();
    let row = |unit: &str, adds: i64, behind: Option<&str>| (unit.to_owned(), Some(adds), behind.map(str::to_owned));
    let expected = [
        row("U1", 2_400, None),
        row("U2", 0, Some("U1")),
        row("U3", 1_200, None),
        row("U4", 0, Some("U3")),
        row("V1", 22_200, None),
    ];
    assert_eq!(behind, expected);
}

/// Two units move at 07:00. U2's piece is handed over at 08:30, U1's at FN at 08:00: it adds nothing, behind U2's, though U2 comes behind it.
#[test]
fn one_of_the_same_move_is_behind_the_other() {
    let mut sheets = Sheets::plant(&["CH", "FN"]);
    sheets.set("Receipts", "purchase order,part,qty,due\n1,P1,1,2027-09-13 08:20\n2,P2,1,2027-09-13 07:50");
    sheets.add("Parts", "P1,ea\nP2,ea").set("Options", "option\nA\nB");
    sheets.set("Bills", "parent,part,qty,station,when\nTEAL,P1,1,CH,A\nTEAL,P2,1,FN,B");
    sheets.set("Sequence", "line,seq,unit,floorplan,options\nL1,1,U1,TEAL,B\nL1,2,U2,TEAL,A");
    let behind = sheets.look(None, false, |plan| {
        let rows = consequences(plan);
        rows.iter()
            .map(|row| plan.behind(row).map(|owner| plan.pace.owners[owner.at()].code.clone()))
            .collect::<Vec<_>>()
    });
    assert_eq!(behind.expect("a plan"), [Some("U2".to_owned()), None]);
}

/// U1 comes to CH at 06:00, to WA at 07:00 and to FN at 08:00, where its piece can be fitted at the last; it is there at 07:20 and handed over at
/// 07:30 at WA. It can follow, so that no line waits for it. Catches half an hour since U1's move to WA.
#[test]
fn what_can_follow_costs_nothing() {
    let mut sheets = Sheets::plant(&["CH", "WA", "FN"]);
    sheets.set("Parts", "part,uom,fit by\nP1,ea,FN").set("Bills", "parent,part,qty,station\nTEAL,P1,1,CH");
    sheets.set("Receipts", "purchase order,part,qty,due\n1,P1,1,2027-09-13 07:20").add("Sequence", "L1,1,U1,TEAL");
    let found = sheets.look(None, false, |plan| {
        let rows = consequences(plan);
        let told: Vec<_> =
            rows.iter().map(|row| (row.outcome, row.hand_over_at.map(|to| plan.plant.dest(to).code.clone()))).collect();
        (told, plan.loss_of(rows.iter()))
    });
    let (rows, loss) = found.expect("a plan");
    assert_eq!(rows, [(Outcome::CanFollow, Some("WA".to_owned()))]);
    assert_eq!(loss, plan::Loss::default());
}

/// U1 comes to CH as the plan begins. Its frame takes 600 minutes in a shop whose calendar gives single dates alone, from that day on: before it the shop
/// has no hours at all, so that no moment was soon enough for the bar. Catches a moment before all dates told as one.
#[test]
fn before_a_calendars_first_date_no_moment_is_soon_enough() {
    let mut sheets = Sheets::plant(&["CH"]);
    for day in 13..31 {
        sheets.add("Calendar", &format!("WELDERS,2027-09-{day},06:00,14:00"));
    }
    sheets.set("Shops", "shop,calendar\nWELD,WELDERS");
    sheets.set("Parts", "part,uom,source,shop,minutes\nBAR,ea,,,\nFRAME,ea,make,WELD,600");
    sheets.set("Bills", "parent,part,qty,station\nTEAL,FRAME,1,CH\nFRAME,BAR,1,").add("Sequence", "L1,1,U1,TEAL");
    let rows = sheets.plan().rows("consequences", "part=BAR", "to word saves_until");
    assert_eq!(rows, [["WELD", "stops the line", ""]]);
}

/// What lies in the stores of everything that is bought or comes off; a piece of a unit comes at a moment.
fn moved(plant: &Plant, unit: UnitId, part: PartId, there: Moment) -> Plant {
    let mut plant = plant.clone();
    let plenty = Quantity::whole(100_000);
    let is_made = |part: PartId| matches!(plant.part(part).source, check::Source::Make(_));
    let mut stock: Vec<Stock> = plant.stock.iter().filter(|row| is_made(row.part)).cloned().collect();
    let lies = |part, reserved| Stock {
        part,
        qty: plenty,
        location: String::new(),
        lineside: None,
        reserved,
        hold: None,
        row: 0,
    };
    let parts = (0..plant.parts.len()).map(PartId::of).filter(|part| !is_made(*part));
    stock.extend(parts.filter(|other| *other != part).map(|other| lies(other, None)));
    let others = (0..plant.units.len()).map(UnitId::of).filter(|other| *other != unit);
    stock.extend(others.map(|other| lies(part, Some(other))));
    plant.stock = stock;
    let day = there.date();
    let receipt = Receipt {
        order: "1".to_owned(),
        part,
        qty: plenty,
        due: there,
        timed: true,
        day,
        available: there,
        overdue: false,
        confirmed: None,
        supplier: String::new(),
        row: 0,
    };
    plant.receipts = vec![receipt];
    plant
}

/// The rows of a plan for a unit's pieces of a part, and whether anything stops for something else of the unit.
fn rows(plant: &Plant, unit: UnitId, part: PartId) -> (Vec<Consequence>, bool) {
    let request = Request { set_aside: true, ..Request::default() };
    let plan = plan::plan(plant, &request).0.expect("a plan");
    let own = |row: &Consequence| plan.pace.owners[row.owner.at()].unit == Some(unit);
    let (rows, others): (Vec<_>, Vec<_>) =
        consequences(&plan).into_iter().filter(own).partition(|row| row.part == part);
    (rows, others.iter().any(|row| row.outcome == Outcome::StopsTheLine))
}

/// When the last run of a unit's pieces of a part is picked.
fn picked(plant: &Plant, unit: UnitId, part: PartId) -> Moment {
    let request = Request { set_aside: true, ..Request::default() };
    let plan = plan::plan(plant, &request).0.expect("a plan");
    let supply = plan.supply(part);
    let own = supply.demands.iter().filter(|demand| plan.pace.owners[demand.owner.at()].unit == Some(unit));
    let runs = own.filter_map(|demand| plan.runs.serving(demand.need));
    runs.map(|run| run.picked).max().expect("a run")
}

/// What a book shows when a piece is moved.
#[derive(Debug, Default)]
struct Shown {
    at_stations: usize,
    at_shops: usize,
    /// Of these those whose jobs build for another shop.
    further: usize,
    /// A minute later it is still there by its need, where material is wanted for less time ahead than it takes to hand over.
    in_time_after: usize,
    stops_anyway: usize,
    never: usize,
}

/// Moves a unit's piece of a part to each moment at which it is said to save the line, and a minute behind that.
fn move_piece(plant: &Plant, (unit, part): (UnitId, PartId), told: &str, shown: &mut Shown) {
    let late = plant.as_of.plus(30 * 86_400);
    let (at_once, others) = rows(&moved(plant, unit, part, plant.as_of.plus(-30 * 86_400)), unit, part);
    if others || at_once.iter().any(|row| row.outcome == Outcome::StopsTheLine) {
        shown.stops_anyway += 1;
        return;
    }
    let (all, _) = rows(&moved(plant, unit, part, late), unit, part);
    let wanted_ahead = plant.dests.iter().filter_map(|dest| match dest.what {
        check::DestKind::Station { ahead, .. } => Some(ahead),
        check::DestKind::Shop(_) => None,
    });
    let short_notice = wanted_ahead.min() < Some(plant.hand_over);
    shown.never += all.iter().filter(|row| row.saves_until.is_none()).count();
    let moments: BTreeSet<Moment> = all.iter().filter_map(|row| row.saves_until).collect();
    for (number, until) in moments.into_iter().enumerate() {
        // At a later moment the unit's other pieces of the part are late that had to be there before.
        if number == 0 {
            let (then, _) = rows(&moved(plant, unit, part, until), unit, part);
            let wrong = then.iter().find(|row| row.outcome == Outcome::StopsTheLine);
            assert_eq!(wrong, None, "{told} at {until}");
        }
        let (after, _) = rows(&moved(plant, unit, part, until.plus(60)), unit, part);
        let row = after.iter().find(|row| row.saves_until == Some(until));
        let in_time = row.is_none_or(|row| row.outcome != Outcome::StopsTheLine);
        // A run that leaves as the stores close may be picked after it, and the piece is there for it.
        let for_its_run = || picked(&moved(plant, unit, part, until.plus(60)), unit, part) > until;
        assert!(!in_time || short_notice || for_its_run(), "{told} a minute after {until}: {row:?}");
        match row.filter(|_| !in_time) {
            Some(row) if matches!(plant.dest(row.to).what, check::DestKind::Station { .. }) => shown.at_stations += 1,
            Some(row) => {
                shown.at_shops += 1;
                shown.further += usize::from(further(plant, row));
            }
            None => shown.in_time_after += 1,
        }
    }
}

/// At its last moment nothing stops for a piece, a minute later something does; all other material is there.
#[test]
fn a_piece_saves_the_line_until_its_moment_and_no_longer() {
    let mut shown = Shown::default();
    for seed in 400_000..400_000 + rounds(120) {
        let sheets = Sheets(random_book(seed, Size::Small));
        let (plant, findings) = check::plant(&sheets.book(), None, Moment::default());
        assert!(!findings.any_error(), "seed {seed}: {findings:?}");
        let request = Request { set_aside: true, ..Request::default() };
        let plan = plan::plan(&plant, &request).0.expect("a plan");
        let mut pieces = BTreeSet::new();
        for part in (0..plant.parts.len()).map(PartId::of).filter(|part| plant.part(*part).bought()) {
            let supply = plan.supply(part);
            let owners = supply.demands.iter().map(|demand| &plan.pace.owners[demand.owner.at()]);
            pieces.extend(owners.filter(|owner| owner.planned).filter_map(|owner| Some((owner.unit?, part))));
        }
        let every = pieces.len().div_ceil(12).max(1);
        for piece in pieces.into_iter().step_by(every) {
            let told = format!("seed {seed} {} {}", plant.units[piece.0.at()].code, plant.part(piece.1).code);
            move_piece(&plant, piece, &told, &mut shown);
        }
    }
    println!("{shown:?}");
    assert!(shown.at_stations >= 100 && shown.at_shops >= 100 && shown.further >= 5, "{shown:?}");
    assert!(shown.in_time_after < (shown.at_stations + shown.at_shops) / 4, "{shown:?}");
}

/// Whether all jobs that take a shop's material build for another shop.
fn further(plant: &Plant, row: &Consequence) -> bool {
    let request = Request { set_aside: true, ..Request::default() };
    let plan = plan::plan(plant, &request).0.expect("a plan");
    let own = plan.jobs.iter().filter(|job| job.owner == row.owner && plant.shop(job.shop).dest == row.to);
    let mut takers = own.filter(|job| job.below.needs.iter().any(|need| need.0 == row.part));
    takers.all(|job| matches!(plant.dest(job.to).what, check::DestKind::Shop(_)))
}

/// The demo's book.
fn demo() -> Sheets {
    Sheets::read(&Path::new(env!("CARGO_MANIFEST_DIR")).join("data/alder-fen"))
}

/// All that stops the demo's line for a known time comes at 10:00 and is handed over at 10:10. The line works from 06:00 to 14:30 with
/// breaks at 08:30 (10 min) and 11:00 (30 min), on Thursday at 10:00, too. Tuesday: the fridge, from 09:50: 20. Thursday: the roof
/// air unit, from 06:30: 220 less two breaks of 10. Friday: the hob, from 07:05: 185 less 10. Wednesday: the table top of AF3446 comes at
/// 10:00; its dinette is there at 12:07, the slide box can begin 15 min later, takes 58.75, is 10 on the way and is handed over at
/// 13:40:45: from 07:20 that are 380.75 less 40. If nothing is made up, Wednesday's move is 20 min late already and the rest adds
/// nothing, as the line stands 340.75 by then.
#[test]
fn the_demos_line_loses_what_it_was_tried_to_lose() {
    let found = demo().look(None, false, |plan| {
        let minutes = |seconds: i64| (seconds + 59) / 60;
        let loss = &plan.effects.loss;
        let days = loss.by_date.iter().map(|lost| (lost.date.short(), minutes(lost.seconds))).collect::<Vec<_>>();
        (days, minutes(loss.if_nothing_is_made_up()), lineward::report::line_words::line(plan))
    });
    let (days, in_all, words) = found.expect("a plan");
    let expected = [("Tue 14 Sep", 20), ("Wed 15 Sep", 341), ("Thu 16 Sep", 200), ("Fri 17 Sep", 175)];
    assert_eq!(days, expected.map(|(day, minutes)| (day.to_owned(), minutes)));
    assert_eq!(in_all, 341);
    let told =
        "the line loses Tue 20, Wed 341, Thu 200, Fri 175 min, each day begun on its times; 341 if nothing is made up";
    assert!(words.contains(told), "{words}");
}

/// Ten minutes before the unit arrives: the fridge's on Tue 09:50, the roof air unit's on Thu 06:30. The table top of AF3446 goes through
/// two shops: the slide box must be there on Wed 07:10, so leave at 07:00 and begin 58.75 min before, at Tue 14:31:15 on the shop's
/// clock, which is 06:01:15; the dinette 15 min before that, Tue 14:16:15, so it leaves its shop 15 min earlier, on a clock that stops at
/// 14:00: Tue 13:45; it takes 22 min, and its material is wanted 60 min before: Tue 12:23.
#[test]
fn the_demos_pieces_save_the_line_until_their_moments() {
    let tables = demo().plan();
    for (piece, until) in [
        ("unit=AF3430 part=F14-01", "2027-09-14T09:40:00"),
        ("unit=AF3446 part=CTP-18-MO-01", "2027-09-14T12:23:00"),
        ("unit=AF3457 part=RAC-01", "2027-09-16T06:20:00"),
    ] {
        assert_eq!(tables.column("consequences", piece, "saves_until"), [until], "{piece}");
    }
}

/// The same, moved: each piece of the demo that was late stops nothing at its moment, and something a minute later.
#[test]
fn the_demos_pieces_are_moved() {
    let (plant, findings) = check::plant(&demo().book(), None, Moment::default());
    assert!(!findings.any_error());
    let mut shown = Shown::default();
    for (unit, part) in [("AF3430", "F14-01"), ("AF3446", "CTP-18-MO-01"), ("AF3457", "RAC-01")] {
        let unit = plant.units.iter().position(|row| row.code == unit).expect("the unit");
        let part = plant.parts.iter().position(|row| row.code == part).expect("the part");
        move_piece(&plant, (UnitId::of(unit), PartId::of(part)), &plant.parts[part].code, &mut shown);
    }
    assert_eq!((shown.at_stations, shown.at_shops, shown.further, shown.stops_anyway), (2, 1, 1, 0), "{shown:?}");
}
