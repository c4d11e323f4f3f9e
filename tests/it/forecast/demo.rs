//! The demo's forecast, `data/TROUBLES.md`: what every unit takes, worked out from bills and units forecast; old parts that no unit takes any more.

use super::super::support::table_text;
use super::{Row, rows};
use lineward::base::Moment;
use lineward::compare::{Codes, CompareTerms, PlanRows, notice, text};
use lineward::forecast::foreseen;
use lineward::plan::{Plan, Request, plan};
use lineward::report::table::TABLES;
use lineward::{book, check};
use std::path::Path;

fn demo(look: impl FnOnce(&Plan<'_>)) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("data/alder-fen");
    let (plant, _) = check::plant(&book::open(&path).expect("the demo"), None, Moment::default());
    look(&plan(&plant, &Request::default()).0.expect("a plan"));
}

#[test]
fn the_demo_expects_what_its_troubles_say() {
    demo(|plan| {
        let table = TABLES.iter().find(|table| table.name == "outlook").expect("the table");
        let all = rows(&table_text(table, plan));
        let of = |part: &str| all.iter().filter(|row| row["part"] == part).collect::<Vec<&Row>>();
        for old in ["SNK-01", "GRG-01", "WLT-01", "CLC-06"] {
            assert!(of(old).is_empty(), "{old} has gone out");
        }
        // 62 + 94 + 94 + 62 and 48 + 86 + 102 + 68 + 8 units, one each; window latches 6, 8, 6, 8 and 6 a unit of each floorplan.
        for (new, first, second) in [("SNK-02", 312, 312), ("GRG-02", 312, 312), ("WLT-02", 2184, 2180)] {
            let rows = of(new);
            let [one, two] = rows[..] else { panic!("{new}: {rows:?}") };
            for (row, from, wanted) in [(one, "2027-10-06", first), (two, "2027-11-03", second)] {
                let told = ["mean", "half", "nearly_all"].map(|column| row[column].clone());
                assert!(row["from"] == from && told.iter().all(|told| *told == wanted.to_string()), "{row:?}");
            }
            let left = |row: &Row| row["left"].parse::<i64>().expect("whole latches");
            assert_eq!(left(two), left(one) - first, "{new}");
        }
        // The new floorplan's own, two a unit of eight units in the second period alone: nothing is there but what is planned for its three.
        let [frames] = &of("BNF-21-01")[..] else { panic!("a row of one period") };
        let told = ["from", "mean", "nearly_all", "left", "to_order"].map(|column| frames[column].as_str());
        assert_eq!(told, ["2027-11-03", "16", "16", "0", "16"]);
        // All units of the sequence are the sample, done ones and the held one too: of the new floorplan its three.
        let samples = &foreseen(plan).samples;
        let in_sequence = |at: usize| {
            plan.plant.units.iter().filter(|unit| unit.floorplan.as_ref().is_ok_and(|of| of.at() == at)).count()
        };
        assert_eq!(samples.len(), 5);
        for sample in samples {
            assert_eq!(sample.units.len(), in_sequence(sample.floorplan.at()).min(100));
            let new = plan.plant.floorplans[sample.floorplan.at()].code == "GODWIT 21";
            assert!(!new || sample.units.len() == 3);
            assert!(
                sample
                    .units
                    .windows(2)
                    .all(|two| plan.plant.units[two[0].at()].seq < plan.plant.units[two[1].at()].seq)
            );
        }
    });
}

/// A forecast of one unit more: told are the orders that differ by it, on the terminal and on a sheet; not what is expected and comes to
/// the same order.
#[test]
fn another_forecast_is_told_as_other_orders() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/examples/planner/book");
    let mut sheets = super::super::support::Sheets::read(&path);
    let mut codes = Codes::default();
    let mut planned = |units: u32| {
        let floorplan = sheets.0["Floorplans"]
            .lines()
            .nth(1)
            .and_then(|line| line.split(',').next())
            .expect("a floorplan")
            .to_owned();
        sheets.set("Forecast", &format!("floorplan,from,to,units\n{floorplan},2028-01-01,2028-01-31,{units}"));
        sheets.look(None, false, |plan| PlanRows::of_plan(plan, &mut codes).expect("its own tables")).expect("a plan")
    };
    let (ten, twelve) = (planned(10), planned(12));
    assert!(!ten.outlook.is_empty());
    let asked = CompareTerms { jobs_moved: 0, picked_through: None, as_of: None };
    assert!(notice(&ten, &ten, &asked).is_empty());
    let told = notice(&ten, &twelve, &asked);
    assert!(told.orders.is_empty() && !told.outlook.is_empty());
    for row in &twelve.outlook {
        let before = ten.outlook.iter().find(|other| other.part == row.part).expect("the same parts");
        let change = told.outlook.iter().find(|change| change.new.as_ref().is_some_and(|new| new.part == row.part));
        assert_eq!(change.is_some(), before.to_order != row.to_order, "{row:?}");
    }
    let text = text(&told, 100);
    let lines = text.lines().skip_while(|line| *line != "Orders for units past the sequence").skip(1);
    assert_eq!(lines.count(), told.outlook.len(), "{text}");
}
