//! Where a stage's comparison turns, by hand: found by changing one comparison, sign or order of a stage at a time (see DEVELOPERS.md) and looking
//! which change no test noticed. Each test says the change that it catches.

use super::support::Sheets;
use lineward::base::{Moment, PartId};
use lineward::plan::{self, Request};
use lineward::report::table::Value;
use lineward::{check, pulls};

/// Waves at 07:00; a need at 06:00 of Monday goes with the run of Friday, however far ahead a calendar's first date of its own lies. Catches
/// a search for that run which begins at that date.
#[test]
fn a_need_before_the_first_run_goes_with_the_last_one_of_the_week_before() {
    let mut sheets = Sheets::plant(&["S1"]);
    sheets.set("Calendar", "calendar,day,start,end\nDAY,Mon-Fri,06:00,14:00\nDAY,2027-12-24,,");
    sheets.set("Waves", "wave,time\nA,07:00").add("Parts", "BOLT,ea").add("Bills", "TEAL,BOLT,1,S1");
    sheets.add("Sequence", "L1,1,U1,TEAL");
    assert_eq!(sheets.plan().column("pulls", "part=BOLT", "wave"), ["2027-09-10T07:00:00"]);
}

/// Two rows of one order and one of another, all there at one moment: two pegs. Catches an order looked up at the wrong receipt.
#[test]
fn rows_of_one_order_are_one_peg_and_another_order_is_another() {
    let mut sheets = Sheets::plant(&["S1"]);
    sheets.add("Parts", "BOLT,ea").add("Bills", "TEAL,BOLT,3,S1").add("Sequence", "L1,1,U1,TEAL");
    sheets
        .set("Receipts", "purchase order,part,qty,due\n7,BOLT,1,2027-09-14\n7,BOLT,1,2027-09-14\n8,BOLT,1,2027-09-14");
    assert_eq!(sheets.plan().rows("pegs", "part=BOLT", "source qty"), [["7", "2"], ["8", "1"]]);
}

/// The welder begins the frame at midnight, an hour before it is needed at 01:00, and needs its box then: that is no need of the day before.
/// Catches a day that reaches to the first moment of the next.
#[test]
fn a_need_at_midnight_is_one_of_the_next_day() {
    let box_needed = |start: &str| {
        let mut sheets = Sheets::plant(&["S1", "S2"]);
        sheets.set("Calendar", "calendar,day,start,end\nDAY,Mon-Sun,00:00,00:00");
        sheets.set("Shops", "shop,calendar\nWELD,DAY\nCAB,DAY");
        sheets.set("Parts", "part,uom,source,shop,minutes\nFRAME,ea,make,WELD,60\nBOX,ea,make,CAB,10");
        sheets.add("Bills", "TEAL,FRAME,1,S2\nFRAME,BOX,1,");
        sheets.set("Sequence", &format!("line,seq,unit,floorplan,start\nL1,1,U1,TEAL,{start}"));
        let looked = sheets.look(None, false, |plan| {
            let workbooks = lineward::report::workbooks(plan);
            let sheets = workbooks.iter().flat_map(|workbook| &workbook.sheets);
            let from_shops = sheets.filter(|sheet| sheet.name.ends_with("from shops"));
            let mut cells = from_shops.flat_map(|sheet| &sheet.rows).flat_map(|row| &row.cells);
            (plan.day.to_string(), cells.any(|cell| matches!(&cell.value, Value::Text(text) if text == "BOX")))
        });
        looked.unwrap_or_else(|findings| panic!("{findings:?}"))
    };
    // The plan's day is the first whose run, at midnight, is still to come.
    assert_eq!(box_needed("2027-09-15"), ("2027-09-14".to_owned(), false));
    assert_eq!(box_needed("2027-09-14"), ("2027-09-14".to_owned(), true));
}

/// Packs of a hundred bolts, 60 a unit. U3 comes to S1, U2 to S2 and U1 to S3 at 08:00, so that U1's station opens its pack first, by rank, and S1
/// last; U4 comes to S1 at 09:00, when 40 are left there, and a pack follows with the next run. Pulls stand by run, then by station, as a bin that
/// runs short is shared out. Catches pulls that are left in the order in which packs are opened.
#[test]
fn the_packs_of_a_run_stand_by_station() {
    let mut sheets = Sheets::plant(&["S1", "S2", "S3"]);
    sheets.set("Waves", "wave,time\nA,07:00\nB,09:00");
    sheets.set("Parts", "part,uom,issue,pack quantity\nBOLT,ea,bulk,100").set("Options", "option\nA\nB\nC");
    sheets.set("Bills", "parent,part,qty,station,when\nTEAL,BOLT,60,S1,C\nTEAL,BOLT,60,S2,B\nTEAL,BOLT,60,S3,A");
    sheets.set(
        "Sequence",
        "line,seq,unit,floorplan,options\nL1,1,U1,TEAL,A\nL1,2,U2,TEAL,B\nL1,3,U3,TEAL,C\nL1,4,U4,TEAL,C",
    );
    let shown = sheets.look(None, false, |plan| {
        let (id, part) = (PartId::of(0), plan.plant.part(PartId::of(0)));
        let supply = plan.supply(id);
        let mut shown = Vec::new();
        pulls::pulls(id, part, supply.pegged(), &plan.runs, |pull, first| {
            shown.push((*pull, first));
        });
        let traced = pulls::traced(id, part, supply.pegged(), &plan.runs);
        let alike = traced.iter().map(|row| (row.pull, row.demands[0].0)).eq(shown.iter().copied());
        let told = shown.iter().map(|(pull, first)| {
            format!("{} {} {} for demand {first}", pull.run.leaves, plan.plant.dest(pull.to).code, pull.qty)
        });
        (told.collect::<Vec<_>>(), alike)
    });
    let (shown, alike) = shown.unwrap_or_else(|findings| panic!("{findings:?}"));
    let run = |time: &str, rest: &str| format!("2027-09-13T{time}:00 {rest}");
    let first =
        [run("07:00", "S1 100 for demand 2"), run("07:00", "S2 100 for demand 1"), run("07:00", "S3 100 for demand 0")];
    let then = [run("09:00", "S1 100 for demand 3")];
    assert_eq!(shown, [first.as_slice(), &then].concat());
    assert!(alike, "traced pulls stand in the same order");
}

/// One crew; each job takes 300 minutes, and the line wants all within the hour, so that jobs stand by due, rank and part: U1's box, U1's frame, then U2's.
/// Tried first is U2's frame. Catches one more taken for it: another part of U2, U1's frame, or all.
#[test]
fn the_job_that_is_tried_first_is_one_job() {
    let mut sheets = Sheets::plant(&["S1"]);
    sheets.set("Shops", "shop,calendar\nWELD,DAY");
    sheets.set("Parts", "part,uom,source,shop,minutes\nBOX,ea,make,WELD,300\nFRAME,ea,make,WELD,300");
    sheets.add("Bills", "TEAL,BOX,1,S1\nTEAL,FRAME,1,S1");
    sheets.set("Sequence", "line,seq,unit,floorplan,start\nL1,1,U1,TEAL,\nL1,2,U2,TEAL,");
    let usual = ["U1 BOX 0", "U1 FRAME 300", "U2 BOX 600", "U2 FRAME 900"];
    assert_eq!(jobs_with_first(&sheets, None), usual);
    let first = ["U2 FRAME 0", "U1 BOX 300", "U1 FRAME 600", "U2 BOX 900"];
    assert_eq!(jobs_with_first(&sheets, Some(("U2", "FRAME"))), first);
    // Needed in 25 weeks, it still goes before what is late already; U2's box is done as it is needed, after 125 days of 480 minutes.
    sheets.set("Sequence", "line,seq,unit,floorplan,start\nL1,1,U1,TEAL,\nL1,2,U2,TEAL,2028-03-06");
    let first = ["U2 FRAME 0", "U1 BOX 300", "U1 FRAME 600", "U2 BOX 59700"];
    assert_eq!(jobs_with_first(&sheets, Some(("U2", "FRAME"))), first);
}

/// The jobs of a plan, one of them tried first, by their start: whose, of what, and how many working minutes after the plan's moment.
fn jobs_with_first(sheets: &Sheets, first: Option<(&str, &str)>) -> Vec<String> {
    let (mut plant, findings) = check::plant(&sheets.book(), None, Moment::default());
    assert!(!findings.any_error(), "{findings:?}");
    let part = |code: &str| PartId::of(plant.parts.iter().position(|part| part.code == code).expect("a part"));
    plant.first_jobs = first.into_iter().map(|(unit, code)| (unit.to_owned(), part(code))).collect();
    let plan = plan::plan(&plant, &Request::default()).0.expect("a plan");
    let now = plant.calendar(plant.lines[0].calendar).worked(plant.as_of);
    let mut jobs: Vec<_> = plan.jobs.iter().collect();
    jobs.sort_by_key(|job| job.slot.start);
    let told = jobs.iter().map(|job| {
        let minutes = (job.slot.start - now) / 60;
        format!("{} {} {minutes}", plan.pace.owners[job.owner.at()].code, plant.part(job.part).code)
    });
    told.collect()
}
