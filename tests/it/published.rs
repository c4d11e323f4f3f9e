//! Published worked examples and facts of the trade: catches a rule that is consistently wrong in both implementations.

use super::support::Sheets;
use lineward::base::Seconds;
use lineward::shops::{Slot, Times, schedule};
use nalgebra::{DMatrix, DVector};

/// A plant of `n` units of each given floorplan on one station X, takt a minute, stock and shops as asked later.
fn units_of(counts: &[(&str, usize)]) -> Sheets {
    let mut sheets = Sheets::plant(&["X"]);
    sheets.set("Takt", "line,from,minutes\nL1,2027-01-01,1").set("Floorplans", "floorplan");
    let mut seq = 0;
    for (floorplan, count) in counts {
        sheets.add("Floorplans", floorplan);
        for _ in 0..*count {
            seq += 1;
            sheets.add("Sequence", &format!("L1,{seq},U{seq},{floorplan}"));
        }
    }
    sheets
}

/// Source (seen): upper-secondary lesson script "Mehrstufige Produktionsprozesse", two-stage matrix product. 100 E1 and
/// 200 E2 take Z 800, 500, 500 and R 5500, 2000, 3800; one E1 takes R 13, 4, 8, one E2 21, 8, 15.
#[test]
fn two_stage_matrix_product() {
    let mut sheets = units_of(&[("E1", 100), ("E2", 200)]);
    sheets.set("Shops", "shop,calendar\nS,DAY");
    sheets.set("Parts", "part,uom,shop\nZ1,ea,S\nZ2,ea,S\nZ3,ea,S\nR1,ea,\nR2,ea,\nR3,ea,");
    let ends = [("E1", [2, 1, 1]), ("E2", [3, 2, 2])];
    let raws = [("R1", [5, 2, 1]), ("R2", [0, 4, 0]), ("R3", [1, 0, 6])];
    for z in 0..3 {
        ends.iter().for_each(|(end, needs)| {
            sheets.add("Bills", &format!("{end},Z{},{},X", z + 1, needs[z]));
        });
        raws.iter().for_each(|(raw, needs)| {
            sheets.add("Bills", &format!("Z{},{raw},{},", z + 1, needs[z]));
        });
    }
    let tables = sheets.plan();
    for (part, total) in [("Z1", 800.0), ("Z2", 500.0), ("Z3", 500.0), ("R1", 5500.0), ("R2", 2000.0), ("R3", 3800.0)] {
        assert_eq!(tables.sum("demands", &format!("part={part}"), "qty"), total, "{part}");
    }
    for (unit, raw) in [("U1", [13.0, 4.0, 8.0]), ("U101", [21.0, 8.0, 15.0])] {
        for (part, each) in ["R1", "R2", "R3"].iter().zip(raw) {
            assert_eq!(tables.sum("demands", &format!("unit={unit} part={part}"), "qty"), each, "{unit} {part}");
        }
    }
}

/// Source (seen in a lecture slide): Vollmann, Berry, Whybark, Manufacturing Planning and Control Systems, MRP chapter, the
/// snow shovel: 100 top handle assemblies wanted, 25 in stock. Children follow the parent's net, not its gross.
#[test]
fn snow_shovel_gross_to_net() {
    let mut sheets = units_of(&[("SHOVEL", 1)]);
    sheets.set("Shops", "shop,calendar\nASSEMBLY,DAY\nBRACKETS,DAY");
    sheets.set("Parts", "part,uom,shop\nTHA,ea,ASSEMBLY\nTH,ea,\nNAIL,ea,\nBA,ea,BRACKETS\nBRACKET,ea,\nCOUPLING,ea,");
    sheets.add("Bills", "SHOVEL,THA,100,X\nTHA,TH,1,\nTHA,NAIL,2,\nTHA,BA,1,\nBA,BRACKET,1,\nBA,COUPLING,1,");
    sheets.set("Stock", "part,qty\nTHA,25\nTH,22\nNAIL,4\nBA,27\nBRACKET,15\nCOUPLING,39");
    sheets.set(
        "Receipts",
        "purchase order,part,qty,due\n1,TH,25,2027-09-13\n2,NAIL,50,2027-09-13\n3,COUPLING,15,2027-09-13",
    );
    let tables = sheets.plan();
    assert_eq!(tables.column("jobs", "part=THA", "qty"), ["75"]);
    assert_eq!(tables.column("jobs", "part=BA", "qty"), ["48"]);
    for (part, net) in [("TH", 28.0), ("NAIL", 96.0), ("BRACKET", 33.0), ("COUPLING", 0.0)] {
        assert_eq!(tables.sum("pegs", &format!("part={part} cover=none"), "qty"), net, "{part}");
    }
}

/// Source (memory): Heizer and Render, Operations Management, the speaker kit: 50 A take B 100, C 150, D 800, E 500,
/// F 300, G 300.
#[test]
fn speaker_kit() {
    let mut sheets = units_of(&[("A", 50)]);
    sheets.set("Parts", "part,uom,source\nB,ea,phantom\nC,ea,phantom\nF,ea,phantom\nD,ea,\nE,ea,\nG,ea,");
    sheets.add("Bills", "A,B,2,X\nA,C,3,X\nB,D,2,\nB,E,2,\nC,E,2,\nC,F,2,\nF,G,1,\nF,D,2,");
    let tables = sheets.plan();
    for (part, total) in [("D", 800.0), ("E", 500.0), ("G", 300.0)] {
        assert_eq!(tables.sum("demands", &format!("part={part}"), "qty"), total, "{part}");
    }
    // B, C and F as parts that are made, each in a shop of its own: their totals can be read, too.
    sheets.set("Shops", "shop,calendar\nS1,DAY\nS2,DAY\nS3,DAY");
    sheets.set("Parts", "part,uom,shop\nB,ea,S1\nC,ea,S2\nF,ea,S3\nD,ea,\nE,ea,\nG,ea,");
    let tables = sheets.plan();
    for (part, total) in [("B", 100.0), ("C", 150.0), ("D", 800.0), ("E", 500.0), ("F", 300.0), ("G", 300.0)] {
        assert_eq!(tables.sum("demands", &format!("part={part}"), "qty"), total, "{part}");
    }
}

/// Source: Vazsonyi; Leontief: total requirements are `(I − A)⁻¹ d`, here solved by a general linear-algebra library on
/// random bills without cycles. Whole quantities, so that both are exact.
#[test]
fn total_requirements_solve_the_linear_system() {
    let mut dice = fastrand::Rng::with_seed(7);
    for _ in 0..20 {
        let (made, bought) = (8, 6);
        let size = made + bought;
        let mut a = DMatrix::<f64>::zeros(size, size);
        let mut sheets = units_of(&[("P", 3)]);
        sheets.set("Parts", "part,uom,source");
        (0..size).for_each(|i| {
            sheets.add("Parts", &format!("N{i},ea,{}", if i < made { "phantom" } else { "buy" }));
        });
        for parent in 0..made {
            for child in parent + 1..size {
                let qty = dice.u32(0..4);
                if qty > 0 && dice.u8(0..3) == 0 {
                    a[(child, parent)] = f64::from(qty);
                    sheets.add("Bills", &format!("N{parent},N{child},{qty},"));
                }
            }
        }
        let mut d = DVector::<f64>::zeros(size);
        for top in 0..3 {
            let qty = dice.u32(1..4);
            d[top] = f64::from(3 * qty);
            sheets.add("Bills", &format!("P,N{top},{qty},X"));
        }
        let total = (DMatrix::identity(size, size) - a).lu().solve(&d).expect("bills without cycles can be solved");
        let tables = sheets.plan();
        for part in made..size {
            let planned = tables.sum("demands", &format!("part=N{part}"), "qty");
            assert!(
                (planned - total[part]).abs() < 1e-6 * planned.max(1.0),
                "N{part}: {planned} {}\n{}",
                total[part],
                sheets.shown()
            );
        }
    }
}

/// One bought part whose gross requirement on each day from Monday 13 September on is given; weeks of the textbooks are
/// days here. Gives date-wise balances, planned receipts and releases as `(day, amount)` with the first day 1.
fn record(terms: &str, on_hand: u32, receipt: u32, gross: &[u32]) -> (Vec<String>, Vec<(usize, String, String)>) {
    let mut sheets = Sheets::plant(&["X"]);
    sheets.set("Calendar", "calendar,day,start,end\nDAY,Mon-Sun,00:00,24:00");
    sheets.set("Settings", "key,value\nas of,2027-09-13 00:00\nreceipts at,00:00");
    sheets.set("Parts", &format!("part,uom,lead days,minimum buy,buy multiple,cover days,safety stock\nP,ea,{terms}"));
    sheets.set("Stock", &format!("part,qty\nP,{on_hand}"));
    sheets.set("Receipts", &format!("purchase order,part,qty,due\n1,P,{receipt},2027-09-13"));
    sheets.set("Extras", "part,qty,to,needed");
    for (i, qty) in gross.iter().enumerate() {
        sheets.add("Extras", &format!("P,{qty},X,2027-09-{} 12:00", 13 + i));
    }
    let tables = sheets.plan();
    let day = |date: &str| date[8..].parse::<usize>().expect("a day") - 12;
    let balances = (0..gross.len()).map(|i| {
        let known = tables.column("balances", &format!("date=2027-09-{}", 13 + i), "available");
        known.first().cloned().unwrap_or_else(|| "-".to_owned())
    });
    let planned = tables.rows("balances", "", "date planned_receipt planned_release");
    let planned =
        planned.into_iter().filter(|row| row[1] != "0").map(|row| (day(&row[0]), row[1].clone(), row[2].clone()));
    (balances.collect(), planned.collect())
}

fn orders(planned: &[(usize, String, String)]) -> Vec<(usize, &str)> {
    planned.iter().map(|(day, qty, _)| (*day, qty.as_str())).collect()
}

/// Source (seen): Krajewski, Ritzman, Malhotra, Operations Management, the driveshaft, lot for lot.
#[test]
fn driveshaft_lot_for_lot() {
    let (balances, planned) = record("3,,,,", 10, 75, &[30, 25, 20, 15, 30, 30, 50, 50]);
    assert_eq!(balances, ["55", "30", "10", "0", "0", "0", "0", "0"]);
    assert_eq!(orders(&planned), [(4, "5"), (5, "30"), (6, "30"), (7, "50"), (8, "50")]);
    // Lead 3: what is received in period 4 is released in period 1.
    assert_eq!(planned[0].2, "2027-09-13");
}

/// Source (seen, periods 1 to 6): a textbook exercise with an opening receipt, lot for lot.
#[test]
fn opening_receipt_lot_for_lot() {
    let (balances, planned) = record("2,,,,", 20, 140, &[60, 10, 45, 45, 80, 80, 80]);
    assert_eq!(balances, ["100", "90", "45", "0", "0", "0", "0"]);
    assert_eq!(orders(&planned), [(5, "80"), (6, "80"), (7, "80")]);
}

/// Source: Krajewski and Ritzman, the ladder-back seat (inputs seen, results memory): fixed lots of 230, period order of
/// 3, lot for lot, and fixed lots with a safety stock of 80. Days without any event have no row.
#[test]
fn ladder_back_seat_by_four_lot_rules() {
    let gross = [150, 0, 0, 120, 0, 150, 120, 0];
    let (balances, planned) = record("2,230,230,,", 37, 230, &gross);
    assert_eq!(balances, ["117", "-", "-", "227", "-", "77", "187", "-"]);
    assert_eq!(orders(&planned), [(4, "230"), (7, "230")]);
    assert_eq!(orders(&record("2,,,3,", 37, 230, &gross).1), [(4, "153"), (7, "120")]);
    assert_eq!(orders(&record("2,,,,", 37, 230, &gross).1), [(4, "3"), (6, "150"), (7, "120")]);
    assert_eq!(orders(&record("2,230,230,,80", 37, 230, &gross).1), [(4, "230"), (6, "230")]);
}

/// Source (seen in lecture notes): Tompkins et al., Facilities Planning, serial scrap: 97,000 good pieces through scraps of
/// 4, 1 and 3 percent take 105,219 in; multiplying by 1.04, 1.01 and 1.03 would give 104,945.
#[test]
fn serial_scrap_divides() {
    let mut sheets = units_of(&[("P", 1)]);
    sheets.set("Parts", "part,uom,source,issue\nA,kg,phantom,\nB,kg,phantom,\nC,ea,buy,bulk");
    sheets.set("Bills", "parent,part,qty,station,scrap\nP,A,97000,X,3%\nA,B,1,,0.01\nB,C,1,,4%");
    assert_eq!(sheets.plan().column("pulls", "part=C", "qty"), ["105219"]);
}

/// The entry times of units in a plant with a calendar and a takt.
fn entries(calendar: &str, takt: &str, units: usize) -> Vec<String> {
    let mut sheets = units_of(&[("P", units)]);
    sheets.set("Takt", &format!("line,from,minutes\nL1,2027-01-01,{takt}"));
    sheets.set("Calendar", &format!("calendar,day,start,end,open\n{calendar}"));
    sheets.plan().column("units", "", "enters")
}

/// Source (seen): Stevenson, Operations Management: two shifts of 480 minutes, each less two breaks of 20 and a lunch of
/// 30, are 820 minutes; 80 units make a takt of 10.25. So at that takt exactly 80 units enter in a day.
#[test]
fn takt_of_two_shifts() {
    let breaks = ["08:00,08:20", "10:00,10:30", "12:00,12:20", "16:00,16:20", "18:00,18:30", "20:00,20:20"];
    let breaks: String = breaks.iter().map(|hours| format!("\nDAY,Mon-Fri,{hours},no")).collect();
    let entries = entries(&format!("DAY,Mon-Fri,06:00,22:00,{breaks}"), "10.25", 81);
    assert_eq!(entries.iter().filter(|enters| enters.starts_with("2027-09-13")).count(), 80);
    assert_eq!(entries[1], "2027-09-13T06:10:15");
    assert_eq!(entries[80], "2027-09-14T06:00:00");
}

/// Source (both seen in teaching notes): 24,000 s for 80 units are 300 s each; 480 minutes for 240 units are 2 each.
#[test]
fn takt_of_one_shift() {
    let first = entries("DAY,Mon-Fri,06:00,12:40,", "5", 81);
    assert_eq!((first[79].as_str(), first[80].as_str()), ("2027-09-13T12:35:00", "2027-09-14T06:00:00"));
    let second = entries("DAY,Mon-Fri,06:00,14:00,", "2", 241);
    assert_eq!((second[239].as_str(), second[240].as_str()), ("2027-09-13T13:58:00", "2027-09-14T06:00:00"));
}

fn times(length: Seconds, release: Seconds, due: Seconds) -> Times {
    Times { length, release, due }
}

/// The largest lateness of jobs taken one after the other in an order.
fn lateness(jobs: &[Times], order: &[usize]) -> Seconds {
    let mut clock = 0;
    let late = order.iter().map(|&job| {
        clock = jobs[job].release.max(clock) + jobs[job].length;
        clock - jobs[job].due
    });
    late.max().expect("jobs")
}

/// All orders of `n` jobs.
fn orders_of(n: usize) -> Vec<Vec<usize>> {
    itertools::Itertools::permutations(0..n, n).collect()
}

fn forward_order(slots: &[Slot]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..slots.len()).collect();
    order.sort_by_key(|job| slots[*job].earliest);
    order
}

/// Source (seen): Pinedo, Scheduling: one crew, lengths 4, 2, 6, 5, releases 0, 1, 3, 5, dues 8, 12, 11, 10: the best
/// possible maximum lateness is 5, by the order 1-3-4-2. Checked against all 24 orders.
#[test]
fn release_dates_and_maximum_lateness() {
    let jobs = [times(4, 0, 8), times(2, 1, 12), times(6, 3, 11), times(5, 5, 10)];
    assert_eq!(orders_of(4).iter().map(|order| lateness(&jobs, order)).min(), Some(5));
    let slots = schedule(&jobs, 0, 1, 0, None);
    assert_eq!(forward_order(&slots), [0, 2, 3, 1]);
    assert_eq!(slots.iter().zip(&jobs).map(|(slot, job)| slot.finish - job.due).max(), Some(5));
}

/// Source (seen): Jackson 1955; data in "Algorithms Notes for Professionals": lateness by earliest due date −3, −3, −3, 1,
/// 3, 4; the order 3-2-5-4-1-6 gives 7. Without release dates it is optimal: checked against all 720 orders.
#[test]
fn earliest_due_date_first() {
    let jobs = [times(3, 0, 6), times(2, 0, 8), times(1, 0, 9), times(4, 0, 9), times(3, 0, 10), times(2, 0, 11)];
    let slots = schedule(&jobs, 0, 1, 0, None);
    let late: Vec<Seconds> = slots.iter().zip(&jobs).map(|(slot, job)| slot.earliest + job.length - job.due).collect();
    assert_eq!(late, [-3, -3, -3, 1, 3, 4]);
    assert_eq!(lateness(&jobs, &[2, 1, 4, 3, 0, 5]), 7);
    assert_eq!(orders_of(6).iter().map(|order| lateness(&jobs, order)).min(), Some(4));
}

/// Source (seen): Graham's list rule: lengths 4, 5, 6, 7, 8 in that order: two crews end at 18, three at 13.
#[test]
fn parallel_crews_take_jobs_in_turn() {
    let jobs: Vec<Times> = (4..=8).map(|length| times(length, 0, 0)).collect();
    for (crews, end) in [(2, 18), (3, 13)] {
        let slots = schedule(&jobs, 0, crews, 0, None);
        assert_eq!(slots.iter().map(|slot| slot.finish).max(), Some(end), "{crews} crews");
    }
}

/// Source (seen): a first-in first-out textbook exercise: 30, 60 and 50 received in that order, 100 issued: 30 from the
/// first, 60 from the second, 10 from the third.
#[test]
fn the_oldest_is_taken_first() {
    let mut sheets = units_of(&[("P", 1)]);
    sheets.add("Parts", "A,ea").add("Bills", "P,A,100,X");
    // Entered out of order: the dates decide.
    sheets.set("Receipts", "purchase order,part,qty,due\n3,A,50,2027-09-17\n1,A,30,2027-09-15\n2,A,60,2027-09-16");
    let pegs = sheets.plan().rows("pegs", "part=A", "source qty");
    assert_eq!(pegs, [["1", "30"], ["2", "60"], ["3", "10"]]);
}
