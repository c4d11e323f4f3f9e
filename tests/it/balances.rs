//! What a balance begins with: catches stock that nobody can use and that hides what must be ordered, and a number told otherwise
//! by another sheet or answer.

use super::oracle;
use super::support::Sheets;
use lineward::base::{Moment, PartId, Quantity};
use lineward::{check, plan, uses};

/// Two stations, each an hour; U1 enters at 06:00, U2 at 07:00, H is on hold. Each takes 3 pieces at S1 and 1 at S2: 8 in all.
/// Of the stock, U1 takes the 2 in the stores and is 1 short, and 1 of the 4 that lie at S2; U2 takes 4 of the 5 reserved for
/// it. Nobody takes what is reserved for H, lies at S1B, or is on hold. So 2 + 1 + 4 = 7 can be used of 2 + 4 + 5 + 7 + 6.
pub fn plant() -> Sheets {
    let mut sheets = Sheets::plant(&["S1", "S2", "S1B"]);
    sheets.set("Parts", "part,uom,safety stock\nP,ea,");
    sheets.add("Bills", "TEAL,P,3,S1\nTEAL,P,1,S2");
    sheets.set("Sequence", "line,seq,unit,floorplan,hold\nL1,1,U1,TEAL,\nL1,2,U2,TEAL,\nL1,3,H,TEAL,bent");
    sheets.set("Stock", "part,qty,station,unit,hold\nP,2,,,\nP,4,S2,,\nP,5,,U2,\nP,7,,H,\nP,6,S1B,,\nP,9,,,cracked");
    sheets
}

/// The rows of the balances, alike by both implementations.
fn balances(sheets: &Sheets) -> Vec<String> {
    let found = sheets.plan().0["balances"].replace("\r\n", "\n");
    assert_eq!(found, oracle::plan(&sheets.0, None, false).expect("a plan").balances);
    found.lines().skip(1).map(str::to_owned).collect()
}

/// 7 less 8 is 1 short, which is ordered; a safety stock of 2 is ordered with it.
#[test]
fn what_nobody_can_use_hides_no_shortage() {
    let mut sheets = plant();
    let short = sheets.plan().rows("pegs", "cover=none", "unit to qty");
    assert_eq!(short, [["U1", "S1", "1"]]);
    assert_eq!(balances(&sheets), ["P,2027-09-13,8,0,0,1,2027-09-13"]);
    sheets.set("Parts", "part,uom,safety stock\nP,ea,2");
    assert_eq!(balances(&sheets), ["P,2027-09-13,8,0,2,3,2027-09-13"]);
}

/// U1 and U2 take 8 of the 12 in the stores; the 4 that are left serve anybody, and count.
#[test]
fn what_is_left_in_the_stores_counts() {
    let mut sheets = plant();
    sheets.set("Stock", "part,qty,station,unit,hold\nP,12,,,\nP,6,S1B,,\nP,7,,H,");
    assert_eq!(balances(&sheets), ["P,2027-09-13,8,0,4,0,"]);
}

/// `uses` tells the same number as the balance.
#[test]
fn uses_tells_what_the_plan_can_use() {
    let book = plant().book();
    let (plant, findings) = check::plant(&book, None, Moment::default());
    assert!(!findings.any_error());
    let plan = plan::plan(&plant, &plan::Request::default()).0.expect("a plan");
    let told = uses::uses(&plan, &book, PartId(0));
    assert_eq!((told.total, told.usable), (Quantity::whole(8), Quantity::whole(7)));
}

/// Of frames the 3 in the stores can be used, and the one that U1 takes of those at S2. Nobody asks for inserts, nor for bolts as
/// no frame is made: what lies at S1 is of no use.
#[test]
fn parts_that_are_made_or_not_asked_for_are_told_alike() {
    let mut sheets = Sheets::plant(&["S1", "S2"]);
    sheets.set("Shops", "shop,calendar\nFRAMES,DAY");
    sheets.set("Parts", "part,uom,source,shop\nFRAME,ea,make,FRAMES\nINSERT,ea,make,FRAMES\nBOLT,ea,buy,");
    sheets.add("Bills", "TEAL,FRAME,1,S2\nFRAME,BOLT,1,\nINSERT,BOLT,1,");
    sheets.add("Sequence", "L1,1,U1,TEAL");
    sheets.set("Stock", "part,qty,station\nFRAME,3,\nFRAME,4,S2\nINSERT,5,\nINSERT,6,S1\nBOLT,7,\nBOLT,8,S1");
    let book = sheets.book();
    let (plant, findings) = check::plant(&book, None, Moment::default());
    assert!(!findings.any_error());
    let plan = plan::plan(&plant, &plan::Request::default()).0.expect("a plan");
    let usable = |code: &str| {
        let part = plant.parts.iter().position(|part| part.code == code).expect("a part");
        uses::uses(&plan, &book, PartId::of(part)).usable
    };
    assert_eq!(["FRAME", "INSERT", "BOLT"].map(usable), [4, 5, 7].map(Quantity::whole));
}
