//! Cures: catches a cure out of order, one that stops somebody else unsaid, advice that does not work when all is done at once.
//!
//! The small books have one line from 06:00 to 14:00, takt one hour, no time ahead, ten minutes to hand over, one run a day,
//! picked at 06:00; as of Mon 13 Sep 06:00. A unit that starts on Tuesday needs its bolt at S1 on Tue 06:00.

use super::support::{Sheets, consequences};
use itertools::Itertools;
use lineward::base::{Moment, OwnerId, Quantity};
use lineward::check::{self, Plant};
use lineward::cures::{Advice, Change, Cures, Kind, changed};
use lineward::plan::{self, Outcome, Plan, Request};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

fn folder(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(name)
}

fn plant_of(sheets: &Sheets) -> Plant {
    let (plant, findings) = check::plant(&sheets.book(), None, Moment::default());
    assert!(!findings.any_error(), "{:?}", findings.iter().map(ToString::to_string).collect::<Vec<_>>());
    plant
}

fn planned(plant: &Plant) -> Plan<'_> {
    plan::plan(plant, &Request::default()).0.expect("a plan")
}

fn unit<'p>(plan: &'p Plan<'_>, owner: OwnerId) -> &'p str {
    &plan.pace.owners[owner.at()].code
}

/// `U1 BOLT S1 490: OnHold`, then whom it stops and whose pieces come later.
fn told(plan: &Plan<'_>, cures: &Cures) -> Vec<String> {
    let rows = cures.pieces.iter().map(|(piece, advice)| {
        let (part, place) = (&plan.plant.part(piece.part).code, &plan.plant.dest(piece.to).code);
        let minutes = piece.stop_minutes.map_or("?".to_owned(), |minutes| minutes.to_string());
        let advice = match advice {
            Advice::Do(cure) => {
                let stops = cure
                    .cost
                    .stops
                    .iter()
                    .map(|(owner, stop)| format!(", stops {} {}", unit(plan, *owner), stop.minutes));
                let late = cure.cost.late.iter();
                let late =
                    late.map(|(owner, part)| format!(", later {} {}", unit(plan, *owner), plan.plant.part(*part).code));
                let given = cure.given.iter().map(|given| {
                    let refilled = given.refilled.as_ref().map(|(order, at)| format!("{order} {}", at.short()));
                    format!(", from {} until {}", unit(plan, given.owner), refilled.unwrap_or_default())
                });
                let costs: String = stops.chain(late).chain(given).collect();
                format!("{:?}{costs}", cure.candidate.kind)
            }
            Advice::With(others) => format!("with {}", others.iter().join(" and ")),
            Advice::Nothing => "nothing".to_owned(),
        };
        format!("{} {part} {place} {minutes}: {advice}", unit(plan, piece.owner))
    });
    rows.collect()
}

/// What is told of a small book.
fn of(sheets: &Sheets) -> Vec<String> {
    let plant = plant_of(sheets);
    let plan = planned(&plant);
    told(&plan, &Cures::of(&plan))
}

/// Units that need one bolt each at S1, with the days on which they start.
fn bolts(starts: &[&str]) -> Sheets {
    let mut sheets = Sheets::plant(&["S1", "S2", "S3"]);
    sheets.set("Parts", "part,uom,lead days,minimum buy\nBOLT,ea,10,5");
    sheets.set("Bills", "parent,part,qty,station\nTEAL,BOLT,1,S1");
    sheets.set("Sequence", "line,seq,unit,floorplan,start");
    for (i, start) in starts.iter().enumerate() {
        sheets.add("Sequence", &format!("L1,{},U{},TEAL,2027-09-{start}", i + 1, i + 1));
    }
    sheets.set("Stock", "part,qty,location,station,unit,hold");
    sheets.set("Receipts", "purchase order,part,qty,due");
    sheets
}

/// The bolt of PO 9 is there on Wed 06:00, handed over at 06:10: 480 minutes of Tuesday and 10. One lies on hold.
#[test]
fn stock_on_hold_comes_first_and_is_not_released() {
    let mut sheets = bolts(&["14"]);
    sheets.add("Stock", "BOLT,1,Q-1,,,rust").add("Receipts", "9,BOLT,1,2027-09-15");
    assert_eq!(of(&sheets), ["U1 BOLT S1 490: OnHold"]);
    let plant = plant_of(&sheets);
    let held: Vec<_> = plant.stock.iter().filter(|row| row.hold.is_some()).map(|row| row.qty.to_string()).collect();
    assert_eq!(held, ["1"], "the plant itself is as it was");
}

/// A bolt on hold that is reserved for another unit is not asked for: a part shipment is.
#[test]
fn stock_on_hold_for_another_unit_is_left_alone() {
    let mut sheets = bolts(&["14", "16"]);
    sheets.add("Stock", "BOLT,1,Q-1,,U2,rust").add("Receipts", "9,BOLT,2,2027-09-15");
    assert_eq!(of(&sheets), ["U1 BOLT S1 490: PartShipment"]);
}

/// U2, a DUNLIN, needs its bolt at S2 on Thu 07:00 and has one at the line there; PO 9 comes on Wed, for U1 490 minutes late
/// and for U2 in time.
#[test]
fn loose_stock_of_a_later_need_is_taken_where_a_receipt_refills_it() {
    let mut sheets = bolts(&["14"]);
    sheets.set("Floorplans", "floorplan\nTEAL\nDUNLIN").add("Bills", "DUNLIN,BOLT,1,S2");
    sheets.add("Sequence", "L1,2,U2,DUNLIN,2027-09-16");
    sheets.add("Stock", "BOLT,1,,S2,,").add("Receipts", "9,BOLT,1,2027-09-15");
    assert_eq!(of(&sheets), ["U1 BOLT S1 490: LooseStock, from U2 until 9 Wed 15 Sep 06:00"]);
    // With one bolt on Friday only, 3 × 480 + 10, U2 would stand instead: the supplier is asked.
    sheets.set("Receipts", "purchase order,part,qty,due\n9,BOLT,1,2027-09-17");
    assert_eq!(of(&sheets), ["U1 BOLT S1 1450: PartShipment"]);
}

/// U2's bolt is wanted at S2 480 minutes ahead of Wed 07:00, on Tue 07:00, and takes the one in the stores; U1's, wanted at S3
/// on Tue 08:00, comes at 10:00, handed over at 10:10: 130 minutes. U2 can wait for it.
#[test]
fn a_unit_that_can_wait_gives_its_loose_stock() {
    let mut sheets = bolts(&["14"]);
    sheets.set("Stations", "line,station,position,deliver ahead\nL1,S1,1,0\nL1,S2,2,480\nL1,S3,3,0");
    sheets.set("Floorplans", "floorplan\nTEAL\nDUNLIN");
    sheets.set("Bills", "parent,part,qty,station\nTEAL,BOLT,1,S3\nDUNLIN,BOLT,1,S2");
    sheets.add("Sequence", "L1,2,U2,DUNLIN,2027-09-15");
    sheets.add("Stock", "BOLT,1,A-1,,,").add("Receipts", "9,BOLT,1,2027-09-14 10:00");
    assert_eq!(of(&sheets), ["U1 BOLT S3 130: LooseStock, later U2 BOLT, from U2 until 9 Tue 14 Sep 10:00"]);
}

/// U2's and U3's bolts are wanted at S2 540 minutes ahead of Wed 07:00 and 08:00, on Tue 06:00 and 07:00, and take the two in
/// the stores; U1's two, wanted at S3 on Tue 08:00, come at 10:00. Neither has two: both wait.
#[test]
fn units_that_can_wait_give_together_what_none_has_alone() {
    let mut sheets = bolts(&["14"]);
    sheets.set("Stations", "line,station,position,deliver ahead\nL1,S1,1,0\nL1,S2,2,540\nL1,S3,3,0");
    sheets.set("Floorplans", "floorplan\nTEAL\nDUNLIN");
    sheets.set("Bills", "parent,part,qty,station\nTEAL,BOLT,2,S3\nDUNLIN,BOLT,1,S2");
    sheets.add("Sequence", "L1,2,U2,DUNLIN,2027-09-15").add("Sequence", "L1,3,U3,DUNLIN,2027-09-15");
    sheets.add("Stock", "BOLT,2,A-1,,,").add("Receipts", "9,BOLT,2,2027-09-14 10:00");
    let row = "U1 BOLT S3 130: LooseStock, later U2 BOLT, later U3 BOLT, from U2 until 9 Tue 14 Sep 10:00, \
               from U3 until 9 Tue 14 Sep 10:00";
    assert_eq!(of(&sheets), [row]);
}

/// U1 needs two: one lies on hold, one at S2, where nobody needs it. Neither place has enough, both together have.
#[test]
fn what_is_on_hold_and_what_lies_elsewhere_do_together() {
    let mut sheets = bolts(&["14"]);
    sheets.set("Bills", "parent,part,qty,station\nTEAL,BOLT,2,S1");
    sheets.add("Stock", "BOLT,1,Q-1,,,rust").add("Stock", "BOLT,1,,S2,,").add("Receipts", "9,BOLT,2,2027-09-15");
    assert_eq!(of(&sheets), ["U1 BOLT S1 490: OnHold"]);
    let plant = plant_of(&sheets);
    let plan = planned(&plant);
    let cures = Cures::of(&plan);
    let rows: Vec<(usize, String)> = cures
        .changes()
        .iter()
        .filter_map(|change| match change {
            Change::Keep { stock, qty, .. } => Some((*stock, qty.to_string())),
            _ => None,
        })
        .collect();
    assert_eq!(rows, [(0, "1".to_owned()), (1, "1".to_owned())]);
}

/// A bolt is reserved for U2, which needs it on Thu 06:00; PO 9 refills it on Wed.
#[test]
fn a_reservation_due_later_is_given_where_a_receipt_refills_it() {
    let mut sheets = bolts(&["14", "16"]);
    sheets.add("Stock", "BOLT,1,A-1,,U2,").add("Receipts", "9,BOLT,1,2027-09-15");
    assert_eq!(of(&sheets), ["U1 BOLT S1 490: Reservation, from U2 until 9 Wed 15 Sep 06:00"]);
}

/// U1 stands there already: nothing that is still to be sent comes in time. PO 9 comes on Friday, 4 × 480 + 10 later; with
/// U2's bolt it is U2 that stands, from Thu 06:00 on, for 490 minutes. Without that bolt U1 takes PO 9, and nothing brings U2's.
#[test]
fn what_works_for_nobody_says_its_price_and_is_not_counted() {
    let mut sheets = bolts(&["13", "16"]);
    sheets.add("Stock", "BOLT,1,A-1,,U2,").add("Receipts", "9,BOLT,1,2027-09-17");
    let plant = plant_of(&sheets);
    let plan = planned(&plant);
    let cures = Cures::of(&plan);
    let row = "U1 BOLT S1 1930: Reservation, stops U2 490, later U2 BOLT, from U2 until 9 Fri 17 Sep 06:00";
    assert_eq!(told(&plan, &cures), [row]);
    assert_eq!(cures.units(), (0, 0, 1));
    assert!(cures.changes().is_empty(), "what stops another is no advice to be done with the rest");
    sheets.set("Stock", "part,qty");
    assert_eq!(of(&sheets), ["U1 BOLT S1 1930: nothing", "U2 BOLT S1 ?: Order"]);
}

/// One crew, 480 minutes each: the panel, due Tue 07:00 as it is wanted 480 minutes ahead of Wed 07:00, is made on Monday, and
/// the box, due Tue 08:00, on Tuesday up to 14:00: 360 minutes. The other way round the panel comes on Tuesday: U2 has time.
#[test]
fn the_shop_makes_first_what_stops_the_line() {
    let mut sheets = bolts(&["14"]);
    sheets.set("Stations", "line,station,position,deliver ahead\nL1,S1,1,0\nL1,S2,2,480\nL1,S3,3,0");
    sheets.set("Floorplans", "floorplan\nTEAL\nDUNLIN");
    sheets.set("Shops", "shop,calendar\nCAB,DAY");
    sheets.set("Parts", "part,uom,source,shop,minutes\nBOX,ea,make,CAB,480\nPANEL,ea,make,CAB,480");
    sheets.set("Bills", "parent,part,qty,station\nTEAL,BOX,1,S3\nDUNLIN,PANEL,1,S2");
    sheets.add("Sequence", "L1,2,U2,DUNLIN,2027-09-15");
    assert_eq!(of(&sheets), ["U1 BOX S3 360: MakeFirst, later U2 PANEL"]);
}

/// U1 has the bolt in stock; PO 9 comes at 09:00, handed over at 09:10: 130 minutes after 07:00, 70 after 08:00. One each of
/// it is asked for by the picking of the 06:00 run.
#[test]
fn so_much_of_a_receipt_comes_sooner_as_stops_the_line() {
    let mut sheets = bolts(&["14", "14", "14"]);
    sheets.add("Stock", "BOLT,1,A-1,,,").add("Receipts", "9,BOLT,20,2027-09-14 09:00");
    assert_eq!(of(&sheets), ["U2 BOLT S1 130: PartShipment", "U3 BOLT S1 70: PartShipment"]);
    let plant = plant_of(&sheets);
    let plan = planned(&plant);
    let cures = Cures::of(&plan);
    let by = Moment::parse("2027-09-14 06:00").expect("a moment").0;
    for change in cures.changes() {
        let Change::Sooner { receipt: 0, qty, by: at } = change else { panic!("{change:?}") };
        assert_eq!((qty.to_string().as_str(), *at), ("1", by));
    }
    let after = changed(&plant, cures.changes());
    let open: Vec<String> = after.receipts.iter().map(|row| row.qty.to_string()).collect();
    assert_eq!(open, ["18", "1", "1"], "nothing comes twice, and nothing is lost");
    assert_eq!(cures.units(), (2, 0, 2));
}

/// Nothing brings U2's bolt, needed on Mon 27; ten days before that is Fri 17. At least five can be ordered, and U3 has one.
/// With twenty days it is Tue 7: past.
#[test]
fn another_order_says_whether_it_is_inside_its_lead_time() {
    let mut sheets = bolts(&["14", "27", "28"]);
    sheets.add("Stock", "BOLT,1,A-1,,,");
    let plant = plant_of(&sheets);
    let plan = planned(&plant);
    let cures = Cures::of(&plan);
    assert_eq!(told(&plan, &cures), ["U2 BOLT S1 ?: Order", "U3 BOLT S1 ?: with 0"]);
    let by = Moment::parse("2027-09-27 06:00").expect("a moment").0;
    let [Change::Order { qty, by: at, .. }] = cures.changes()[..] else { panic!("{:?}", cures.changes()) };
    assert_eq!((qty.to_string().as_str(), *at), ("5", by));
    assert_eq!(cures.units(), (2, 0, 2));
    sheets.set("Parts", "part,uom,lead days,minimum buy\nBOLT,ea,20,5");
    let plant = plant_of(&sheets);
    let plan = planned(&plant);
    // U3, too, leans on the order that U2 needs: Mon 27 less 20 days is Tue 7.
    assert_eq!(Cures::of(&plan).units(), (0, 2, 2));
}

/// Two bolts of U1 come with PO 9 on Wednesday, in two rows: the bill's and one that is owed since midnight. Each row is moved
/// once.
#[test]
fn a_delivery_in_two_rows_is_not_sent_twice() {
    let mut sheets = bolts(&["14"]);
    sheets.set("Extras", "part,qty,to,needed,unit\nBOLT,1,S1,2027-09-14,U1");
    sheets.add("Receipts", "9,BOLT,1,2027-09-15\n9,BOLT,1,2027-09-15");
    assert_eq!(of(&sheets), ["U1 BOLT S1 490: PartShipment"]);
    let plant = plant_of(&sheets);
    let cures = Cures::of(&planned(&plant));
    let sent: Vec<(usize, String)> = cures
        .changes()
        .iter()
        .filter_map(|change| match change {
            Change::Sooner { receipt, qty, .. } => Some((*receipt, qty.to_string())),
            _ => None,
        })
        .collect();
    assert_eq!(sent, [(0, "1".to_owned()), (1, "1".to_owned())]);
}

/// U1 needs three: PO 9 brings one on Wednesday, nothing the others; three lie at S2, where nobody needs them. The first that is
/// taken leaves PO 9's to serve one of the others: all three are taken, or U1 waits for PO 9 still.
#[test]
fn pieces_of_one_place_are_cured_all_of_them() {
    let mut sheets = bolts(&["14"]);
    sheets.set("Bills", "parent,part,qty,station\nTEAL,BOLT,3,S1");
    sheets.add("Stock", "BOLT,3,,S2,,").add("Receipts", "9,BOLT,1,2027-09-15");
    assert_eq!(of(&sheets), ["U1 BOLT S1 490: LooseStock", "U1 BOLT S1 ?: LooseStock"]);
    let plant = plant_of(&sheets);
    let cures = Cures::of(&planned(&plant));
    let kept = cures.changes().into_iter().filter_map(|change| match change {
        Change::Keep { qty, .. } => Some(*qty),
        _ => None,
    });
    assert_eq!(kept.sum::<Quantity>().to_string(), "3");
    assert_eq!(cures.units(), (1, 0, 1));
}

/// U2, a DUNLIN, needs a bolt, which is reserved for it, and a nut on Thu 06:00; the nut comes on Mon 20: 480 + 480 + 10. U1's
/// bolt comes on Fri 17: 3 × 480 + 10. With U2's bolt U1 would move on, but U2 would wait for PO 9 once it has its nut.
#[test]
fn a_unit_that_stops_anyhow_gives_nothing_it_needs() {
    let mut sheets = bolts(&["14"]);
    sheets
        .set("Floorplans", "floorplan\nTEAL\nDUNLIN")
        .add("Parts", "NUT,ea,10,")
        .add("Sequence", "L1,2,U2,DUNLIN,2027-09-16");
    sheets.add("Bills", "DUNLIN,BOLT,1,S1\nDUNLIN,NUT,1,S1").add("Stock", "BOLT,1,A-1,,U2,");
    sheets.add("Receipts", "9,BOLT,1,2027-09-17\n8,NUT,1,2027-09-20");
    assert_eq!(of(&sheets), ["U1 BOLT S1 1450: PartShipment", "U2 NUT S1 970: PartShipment"]);
    let plant = plant_of(&sheets);
    assert_eq!(Cures::of(&planned(&plant)).units(), (2, 0, 2));
}

/// U1 stands there and waits: nothing that is still to be sent comes in time. What comes for U2 goes to U1 first: two are
/// asked for.
#[test]
fn what_comes_is_enough_for_those_who_need_it_before() {
    let mut sheets = bolts(&["13", "16"]);
    sheets.set("Parts", "part,uom,lead days\nBOLT,ea,1").add("Receipts", "9,BOLT,5,2027-09-17");
    let asked = |sheets: &Sheets| {
        let plant = plant_of(sheets);
        let cures = Cures::of(&planned(&plant));
        assert_eq!(cures.units(), (1, 0, 2));
        let cure = cures.pieces[1].1.working().expect("a cure of U2").candidate.clone();
        let qty = cure.changes.iter().map(|change| match change {
            Change::Sooner { qty, .. } | Change::Order { qty, .. } => *qty,
            other => panic!("{other:?}"),
        });
        (qty.sum::<Quantity>().to_string(), cure.ahead.to_string())
    };
    // Mon to Thu, 4 × 480 + 10; and Thursday.
    assert_eq!(of(&sheets), ["U1 BOLT S1 1930: nothing", "U2 BOLT S1 490: PartShipment"]);
    assert_eq!(asked(&sheets), ("2".to_owned(), "1".to_owned()));
    sheets.set("Receipts", "purchase order,part,qty,due");
    assert_eq!(of(&sheets), ["U1 BOLT S1 ?: nothing", "U2 BOLT S1 ?: Order"]);
    assert_eq!(asked(&sheets), ("2".to_owned(), "1".to_owned()));
}

/// U1's nut is short; its box, needed at S3 on Tue 08:00, waits for a hinge that is on hold and for a bolt that comes on Friday.
/// With the hinge the box would be there at a known time, which is no longer stop than before; it takes both, not the nut.
#[test]
fn what_is_done_for_all_material_of_a_job_serves_what_is_made_of_it() {
    let mut sheets = bolts(&["14"]);
    sheets.set("Shops", "shop,calendar\nCAB,DAY");
    sheets.set("Parts", "part,uom,source,shop,minutes\nBOX,ea,make,CAB,60\nBOLT,ea,,,\nHINGE,ea,,,\nNUT,ea,,,");
    sheets.set("Bills", "parent,part,qty,station\nTEAL,NUT,1,S1\nTEAL,BOX,1,S3\nBOX,BOLT,1,\nBOX,HINGE,1,");
    sheets.add("Stock", "HINGE,1,Q-1,,,rust").add("Receipts", "9,BOLT,1,2027-09-17");
    let told =
        ["U1 NUT S1 ?: Order", "U1 BOLT CAB ?: PartShipment", "U1 HINGE CAB ?: OnHold", "U1 BOX S3 ?: with 1 and 2"];
    assert_eq!(of(&sheets), told);
}

/// The planner's morning: U6's axles are asked for ahead of time; the roof air unit on hold is quality's to decide.
#[test]
fn the_planners_morning() {
    let sheets = Sheets::read(&folder("tests/examples/planner/book"));
    assert_eq!(of(&sheets), ["U6 AX-35 CH 40: PartShipment", "U5 RA-13 FN 760: OnHold"]);
}

/// How long each unit stops, the unknown longest.
fn stops(plan: &Plan<'_>) -> BTreeMap<String, i64> {
    let mut stops: BTreeMap<String, i64> = BTreeMap::new();
    for row in consequences(plan).iter().filter(|row| row.outcome == Outcome::StopsTheLine) {
        let longest = stops.entry(unit(plan, row.owner).to_owned()).or_default();
        *longest = row.stop_minutes.unwrap_or(i64::MAX).max(*longest);
    }
    stops
}

/// Nineteen units of the demo stop. All advice that works, done at once: at least half of them keep moving, also without the
/// orders inside their lead time, and nobody else stops or stops longer.
#[test]
fn half_of_the_demos_units_keep_moving_and_nobody_else_stops() {
    let book = lineward::book::open(&folder("data/alder-fen")).expect("the demo");
    let (plant, _) = check::plant(&book, None, Moment::default());
    let plan = planned(&plant);
    let cures = Cures::of(&plan);
    let before = stops(&plan);
    assert_eq!(before.len(), 19);
    let sure = cures.pieces.iter().filter_map(|(_, advice)| advice.working()).filter(|cure| !cure.inside_lead_time);
    for (changes, moving) in [(sure.flat_map(|cure| &cure.candidate.changes).collect(), 15), (cures.changes(), 19)] {
        let after = changed(&plant, changes);
        let after = stops(&planned(&after));
        assert_eq!(before.keys().filter(|unit| !after.contains_key(*unit)).count(), moving);
        assert!(after.iter().all(|(unit, stop)| before.get(unit).is_some_and(|old| old >= stop)), "{after:?}");
    }
    assert_eq!(cures.units(), (15, 4, 19));
}

/// What `data/TROUBLES.md` says of each planted trouble.
#[test]
fn each_planted_trouble_has_its_cure() {
    let book = lineward::book::open(&folder("data/alder-fen")).expect("the demo");
    let (plant, _) = check::plant(&book, None, Moment::default());
    let plan = planned(&plant);
    let mut kinds: BTreeMap<&str, Kind> = BTreeMap::new();
    for (piece, advice) in &Cures::of(&plan).pieces {
        if let Advice::Do(cure) = advice {
            kinds.insert(&plant.part(piece.part).code, cure.candidate.kind);
        }
    }
    let expected = [
        ("BIK-01", Kind::Order),
        ("BNF-21-01", Kind::Order),
        ("CTP-18-MO-01", Kind::PartShipment),
        ("F14-01", Kind::PartShipment),
        ("HB4-01", Kind::OnHold),
        ("OSH-01", Kind::Order),
        ("RAC-01", Kind::PartShipment),
        ("SNK-01", Kind::Order),
        ("WIN-21-03", Kind::PartShipment),
    ];
    assert_eq!(kinds, BTreeMap::from(expected));
}
