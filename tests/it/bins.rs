//! Bins to count: catches a margin that is a piece too wide or too narrow, a bin that matters and is not told, and a loss that a whole plan
//! does not have.
//!
//! Rule `margin`.

use super::random_books::{Size, random_book};
use super::support::{Sheets, rounds};
use lineward::base::{Moment, PartId, Quantity};
use lineward::calls;
use lineward::check::{self, Plant};
use lineward::netting::Demand;
use lineward::plan::{Margin, Plan, Request, Worth, plan};
use lineward::report::sheet::Sheet;
use lineward::report::value::Value;
use lineward::supply::Covered;

fn planned(plant: &Plant) -> Option<Plan<'_>> {
    plan(plant, &Request { set_aside: true, ..Default::default() }).0
}

/// The plant with so much of a part gone from the stores, the last rows first.
fn without(plant: &Plant, part: PartId, mut gone: Quantity) -> Plant {
    let mut plant = plant.clone();
    let loose = |row: &&mut check::Stock| {
        row.part == part && row.hold.is_none() && row.reserved.is_none() && row.lineside.is_none()
    };
    for row in plant.stock.iter_mut().rev().filter(loose) {
        let taken = gone.min(row.qty).max(Quantity::ZERO);
        row.qty -= taken;
        gone -= taken;
    }
    assert!(gone.is_zero(), "no more is taken than lies there");
    plant
}

/// The demands of a part before a moment that are late or short, in their order.
fn lacking(plan: &Plan<'_>, part: PartId, until: Moment) -> Vec<Demand> {
    let supply = plan.supply(part);
    let pieces = supply.pegged().pieces().filter(|(demand, _)| demand.need < until);
    let late = pieces.filter(|(demand, peg)| peg.covered(demand.need) != Covered::InTime);
    late.map(|(demand, _)| *demand).collect()
}

/// What a part's margin says, against whole plans.
fn holds(before: &Plan<'_>, margin: &Margin, until: Moment, seed: u64) {
    let (plant, part) = (before.plant, margin.part);
    let code = &plant.part(part).code;
    assert!(margin.margin < margin.stores && margin.margin >= Quantity::ZERO, "seed {seed} {code}: {margin:?}");
    assert!(lacking(before, part, until).is_empty(), "seed {seed} {code} is late or short anyway");
    let gone = without(plant, part, margin.margin);
    let after = planned(&gone).expect("a plan as before");
    assert!(lacking(&after, part, until).is_empty(), "seed {seed} {code}: {margin:?}");
    let gone = without(plant, part, margin.one_step_more(before));
    let after = planned(&gone).expect("a plan as before");
    let first = lacking(&after, part, until).first().copied();
    assert_eq!(first, Some(margin.first), "seed {seed} {code}: {margin:?}");
}

/// A part that is not told: somebody lacks it anyway, or nobody does with nothing in the stores.
fn rightly_left_out(before: &Plan<'_>, part: PartId, until: Moment, seed: u64) -> bool {
    let plant = before.plant;
    let loose = |row: &&check::Stock| {
        row.part == part && row.hold.is_none() && row.reserved.is_none() && row.lineside.is_none()
    };
    let stores: Quantity = plant.stock.iter().filter(loose).map(|row| row.qty).sum();
    if !stores.is_positive() || !lacking(before, part, until).is_empty() {
        return false;
    }
    let gone = without(plant, part, stores);
    let after = planned(&gone).expect("a plan as before");
    assert!(lacking(&after, part, until).is_empty(), "seed {seed}: {} is not told", plant.part(part).code);
    true
}

#[test]
fn a_margin_stops_nobody_and_one_step_more_does() {
    let (mut told, mut fractions, mut lost, mut left_out, mut with_receipts) = (0, 0, 0, 0, 0);
    for seed in 0..rounds(500) {
        let sheets = Sheets(random_book(seed, Size::Small));
        let (plant, findings) = check::plant(&sheets.book(), None, Moment::default());
        assert!(!findings.any_error(), "seed {seed}: {findings:?}");
        let Some(before) = planned(&plant) else { continue };
        let until = before.last_count_day().plus(1).midnight();
        let margins = before.margins();
        let order = |margin: &Margin| (margin.margin, margin.first.need, margin.part);
        assert!(margins.is_sorted_by_key(order), "seed {seed}");
        // Each book another few of them.
        for margin in margins.iter().skip(seed as usize % 2).step_by(2) {
            holds(&before, margin, until, seed);
            told += 1;
            fractions += usize::from(margin.margin.millionths() % Quantity::SCALE != 0);
            with_receipts += usize::from(margin.comes.is_positive());
        }
        let others = (0..plant.parts.len())
            .map(PartId::of)
            .filter(|part| plant.part(*part).bought() && !margins.iter().any(|margin| margin.part == *part));
        left_out += others
            .skip(seed as usize % 7)
            .step_by(7)
            .filter(|part| rightly_left_out(&before, *part, until, seed))
            .count();
        for bin in calls::bins(&before).first.iter().skip(seed as usize % 2).step_by(2) {
            let gone = without(&plant, bin.margin.part, bin.margin.one_step_more(&before));
            let after = planned(&gone).expect("a plan as before");
            let (now, then) = (Worth::of_plan(&before), Worth::of_plan(&after));
            let more = bin.loses.expect("few pieces are missing");
            let by_dates = then.loss.by_dates() - now.loss.by_dates();
            let in_all = then.loss.if_nothing_is_made_up() - now.loss.if_nothing_is_made_up();
            let no_end = then.no_end as i64 - now.no_end as i64;
            assert_eq!((more.by_dates, more.in_all, more.no_end), (by_dates, in_all, no_end), "seed {seed}: {bin:?}");
            lost += usize::from(by_dates > 0 || no_end > 0);
        }
    }
    println!(
        "{told} margins, {fractions} of them fractions, {with_receipts} with receipts, {lost} with a loss, {left_out} left out"
    );
    assert!(told > 500 && fractions > 50 && lost > 100 && left_out > 100 && with_receipts > 20);
}

/// A unit an hour from 06:00, eight a day, for 30 hours from Monday: U1 to U8 on Monday, U9 to U16 on Tuesday, then Wednesday; U25 to U30 on
/// Thursday, the third day that is looked at.
fn by_hand() -> Sheets {
    let mut sheets = Sheets::plant(&["A", "B"]);
    sheets.set("Parts", "part,uom,location\nP,ea,S-1\nQ,ea,S-2\nR,ea,S-3\nS,ea,S-4\nT,ea,S-5\nV,ea,S-6\nW,ft,S-7");
    // B is an hour behind A.
    sheets.set(
        "Bills",
        "parent,part,qty,station\nTEAL,P,1,A\nTEAL,Q,1,B\nTEAL,R,1,A\nTEAL,S,1,A\nTEAL,V,1,A\nTEAL,W,0.5,A",
    );
    for unit in 1..=30 {
        sheets.add("Sequence", &format!("L1,{unit},U{unit},TEAL"));
    }
    sheets.set("Stock", "part,qty,location,station,unit,hold");
    // P: 12 are there, U12 takes the last on Tue 09:00, half an hour before 20 more come; 30 need 30, so that 2 are left at the end.
    sheets.add("Stock", "P,5,S-1,,,\nP,7,S-9,,,");
    // Q: U1 and U2 have lineside stock, U3 its own, 5 are on hold; 27 need 27 of 40.
    sheets.add("Stock", "Q,40,S-2,,,\nQ,2,,B,,\nQ,1,S-2,,U3,\nQ,5,S-2,,,bent");
    // R: 30 of 100. S: only one, so that U2 lacks it anyway. T: nobody needs it. V: 50 come at once, and none has to lie there.
    sheets.add("Stock", "R,100,S-3,,,\nS,1,S-4,,,\nT,5,S-5,,,\nV,3,S-6,,,\nW,15.2,S-7,,,");
    sheets.set("Receipts", "purchase order,part,qty,due\n1,P,20,2027-09-14 09:30\n2,V,50,2027-09-13 06:00");
    sheets
}

#[test]
fn margins_by_hand() {
    let look = |plan: &Plan<'_>| {
        let told = |margin: &Margin| {
            let (part, owner) = (plan.plant.part(margin.part), &plan.pace.owners[margin.first.owner.at()].code);
            let Margin { margin, comes, needed, at, .. } = margin;
            format!("{} {margin}: {comes} come, {needed} needed by {}; {owner}", part.code, at.short())
        };
        plan.margins().iter().map(told).collect::<Vec<_>>()
    };
    let found = by_hand().look(None, false, look).expect("a plan");
    // W: 30 halves of 15.2 leave 0.2, a step of 0.001 more and the last lacks it. Q: 40 less 27 leave 13; U30 comes to B on Thu 12:00.
    let expected = [
        "P 0: 0 come, 12 needed by Tue 14 Sep 09:00; U12",
        "W 0.2: 0 come, 15 needed by Thu 16 Sep 11:00; U30",
        "Q 13: 0 come, 27 needed by Thu 16 Sep 12:00; U30",
        "R 70: 0 come, 30 needed by Thu 16 Sep 11:00; U30",
    ];
    assert_eq!(found, expected);
    // Over one day, Tuesday, 16 units need it: of P 12 and 20 and less 16 leave 16, but U12 still takes the last of 12.
    let mut sheets = by_hand();
    sheets.add("Settings", "count days,1");
    let found = sheets.look(None, false, look).expect("a plan");
    let expected = [
        "P 0: 0 come, 12 needed by Tue 14 Sep 09:00; U12",
        "W 7.2: 0 come, 8 needed by Tue 14 Sep 13:00; U16",
        "Q 28: 0 come, 12 needed by Tue 14 Sep 13:00; U15",
        "R 84: 0 come, 16 needed by Tue 14 Sep 13:00; U16",
    ];
    assert_eq!(found, expected);
}

/// Of P and Q all three are needed: U3 takes the last Q at A at 08:00, the last P an hour later at B. Of equal margins the first need stands first;
/// catches them in code order.
#[test]
fn of_equal_margins_the_first_need_stands_first() {
    let mut sheets = Sheets::plant(&["A", "B"]);
    sheets.add("Parts", "P,ea\nQ,ea").add("Bills", "TEAL,P,1,B\nTEAL,Q,1,A");
    sheets.add("Sequence", "L1,1,U1,TEAL\nL1,2,U2,TEAL\nL1,3,U3,TEAL").set("Stock", "part,qty\nP,3\nQ,3");
    let told = sheets.look(None, false, |plan| {
        let told = |margin: &Margin| format!("{} {}", plan.plant.part(margin.part).code, margin.first.need.short());
        plan.margins().iter().map(told).collect::<Vec<_>>()
    });
    assert_eq!(told.expect("a plan"), ["Q Mon 13 Sep 08:00", "P Mon 13 Sep 09:00"]);
}

fn text(sheet: &Sheet<'_>) -> String {
    let cell = |value: &Value<'_>| match value {
        Value::Text(text) => text.to_string(),
        other => format!("{other:?}"),
    };
    let row = |row: &lineward::report::sheet::Row<'_>| {
        row.cells.iter().map(|at| cell(&at.value)).collect::<Vec<_>>().join(" | ")
    };
    sheet.rows.iter().map(row).collect::<Vec<_>>().join("\n")
}

/// On paper: where it lies, why it may be wrong by so little, who lacks it then, and what the line loses. U12 would wait from its arrival
/// at 09:00 until 09:40, when what comes at 09:30 is handed over: 40 minutes.
#[test]
fn the_sheet_says_why_and_what_it_costs() {
    let look = |plan: &Plan<'_>| {
        let workbooks = lineward::report::workbooks(plan);
        let sheet = workbooks[0].sheets.iter().find(|sheet| sheet.name == "bins to count").expect("the sheet");
        text(sheet)
    };
    let told = by_hand().look(None, false, look).expect("a plan");
    let row = told.lines().find(|line| line.contains(" | P | ")).expect("its row");
    for piece in [
        "5 at S-1; 7 at S-9 | P | ",
        "12 ea | 0 ea",
        "U12 at A, Tue 09:00",
        "12 there - 12 needed by then",
        "| 40 min |",
    ] {
        assert!(row.contains(piece), "{piece} in {row}");
    }
    assert!(told.contains("lineward try BOOK --set 'Stock PART LOCATION qty=COUNT'"), "{told}");
    assert!(told.contains("Thursday 16 September 2027"), "{told}");
    let mut nothing = by_hand();
    nothing.set("Stock", "part,qty");
    let told = nothing.look(None, false, look).expect("a plan");
    assert!(told.contains("No bin"), "{told}");
}
