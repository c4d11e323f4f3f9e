//! Changes that begin with a unit: catches one that begins too soon or never on another line.

use super::oracle;
use super::support::Sheets;
use lineward::base::{Moment, PartId, UnitId};
use lineward::report::why::text;
use lineward::{check, plan, why};

/// Two lines of one station, a unit an hour from 06:00. On L1 come P1, P2, then H and P4 on hold, P5 is done, and P6 enters at
/// 09:00, one place left empty before it. On L2 Q1 to Q5 enter from 06:00 to 10:00. Change C1 begins with H: OLD goes out, NEW
/// comes in.
fn plant() -> Sheets {
    let mut sheets = Sheets::plant(&["A"]);
    sheets.add("Lines", "L2,DAY").add("Takt", "L2,2027-01-01,60").add("Stations", "L2,B,1");
    sheets.set("Parts", "part,uom\nOLD,ea\nNEW,ea");
    sheets.set("Changes", "change,from date,from unit\nC1,,H");
    sheets.set(
        "Bills",
        "parent,part,qty,station,when,from change,until change\nTEAL,OLD,1,A,L1,,C1\nTEAL,NEW,1,A,L1,C1,\nTEAL,OLD,1,B,L2,,C1\n\
         TEAL,NEW,1,B,L2,C1,",
    );
    sheets.set("Sequence", "line,seq,unit,floorplan,gap,hold,done");
    sheets.add(
        "Sequence",
        "L1,1,P1,TEAL,,,\nL1,2,P2,TEAL,,,\nL1,3,H,TEAL,,bent,\nL1,4,P4,TEAL,,bent,\nL1,5,P5,TEAL,,,yes",
    );
    sheets.add("Sequence", "L1,6,P6,TEAL,1,,");
    sheets.add("Sequence", "L2,1,Q1,TEAL,,,\nL2,2,Q2,TEAL,,,\nL2,3,Q3,TEAL,,,\nL2,4,Q4,TEAL,,,\nL2,5,Q5,TEAL,,,");
    sheets
}

/// The units that get the new part, by need and rank, alike by both implementations.
fn new(sheets: &Sheets) -> Vec<String> {
    let tables = sheets.plan();
    assert_eq!(
        tables.0["demands"].replace("\r\n", "\n"),
        oracle::plan(&sheets.0, None, false).expect("a plan").demands
    );
    let units = tables.column("demands", "part=NEW", "unit");
    assert_eq!(units.len() + tables.column("demands", "part=OLD", "unit").len(), sheets.on_plan());
    units
}

/// The kinds of what is found, and where.
fn found(sheets: &Sheets) -> Vec<String> {
    sheets.findings().iter().map(|f| format!("{} row {} {}", f.kind.name, f.place.row, f.place.column)).collect()
}

impl Sheets {
    /// How many units are neither held nor done.
    fn on_plan(&self) -> usize {
        self.0["Sequence"].lines().skip(1).filter(|line| !line.ends_with("yes") && !line.contains("bent")).count()
    }

    fn replace(&mut self, table: &str, from: &str, to: &str) {
        let text = self.0[table].clone();
        assert!(text.contains(from), "{table} does not hold {from}");
        self.set(table, &text.replacen(from, to, 1));
    }
}

/// P6 enters at 09:00 with Q4: on L2 it is these that begin.
#[test]
fn a_held_unit_s_change_begins_elsewhere_with_the_next_behind_it() {
    assert_eq!(new(&plant()), ["P6", "Q4", "Q5"]);
    assert_eq!(found(&plant()), [""; 0]);
}

/// Let go, H enters at 08:00, and P6 at 10:00.
#[test]
fn a_unit_that_is_let_go_begins_it_itself() {
    let mut sheets = plant();
    sheets.replace("Sequence", "H,TEAL,,bent,", "H,TEAL,,,");
    assert_eq!(new(&sheets), ["H", "Q3", "Q4", "P6", "Q5"]);
}

/// All that enter from now on come behind a unit that is done; one that is done and held is done.
#[test]
fn a_done_unit_lies_before_all() {
    for done in ["H,TEAL,,,yes", "H,TEAL,,bent,yes"] {
        let mut sheets = plant();
        sheets.replace("Sequence", "H,TEAL,,bent,", done);
        assert_eq!(new(&sheets), ["Q1", "Q2", "Q3", "P6", "Q4", "Q5"]);
        assert_eq!(found(&sheets), [""; 0]);
    }
}

/// Without P6 only held and done units are left behind H: a warning, once there is another line and nothing else to begin with.
#[test]
fn with_nobody_behind_it_other_lines_do_not_reach_it() {
    let mut sheets = plant();
    sheets.replace("Sequence", "\nL1,6,P6,TEAL,1,,", "");
    assert_eq!(new(&sheets), [""; 0]);
    assert_eq!(found(&sheets), ["unreached-change row 2 from unit"]);
    let mut with_date = sheets.clone();
    with_date.set("Changes", "change,from date,from unit\nC1,2027-09-13,H");
    assert_eq!(new(&with_date), ["P1", "Q1", "P2", "Q2", "Q3", "Q4", "Q5"]);
    assert_eq!(found(&with_date), [""; 0]);
    let mut alone = sheets.clone();
    for table in ["Lines", "Takt", "Stations", "Bills", "Sequence"] {
        let text: Vec<&str> = alone.0[table].lines().filter(|line| !line.contains("L2")).collect();
        let text = text.join("\n");
        alone.set(table, &text);
    }
    assert_eq!(new(&alone), [""; 0]);
    assert_eq!(found(&alone), [""; 0]);
}

/// What `why` says of a unit's new part.
fn told(sheets: &Sheets, unit: &str) -> String {
    let book = sheets.book();
    let (plant, _) = check::plant(&book, None, Moment::default());
    let plan = plan::plan(&plant, &plan::Request::default()).0.expect("a plan");
    let unit = plant.units.iter().position(|known| known.code == unit).expect("a unit");
    let part = plant.parts.iter().position(|known| known.code == "NEW").expect("a part");
    let why = why::why(&plan, &book, UnitId::of(unit), PartId::of(part));
    text(&why).split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn why_tells_with_whom_it_begins_on_the_unit_s_line() {
    let mut sheets = plant();
    let with = told(&sheets, "Q1");
    assert!(
        with.contains("with H (on hold; on this line as P6 enters, the next behind it, Mon 13 Sep 09:00)"),
        "{with}"
    );
    assert!(told(&sheets, "P1").contains("which starts with H;"), "{}", told(&sheets, "P1"));
    sheets.replace("Sequence", "\nL1,6,P6,TEAL,1,,", "");
    let never = told(&sheets, "Q1");
    assert!(never.contains("with H (on hold, nobody behind it: not on this line)"), "{never}");
}
