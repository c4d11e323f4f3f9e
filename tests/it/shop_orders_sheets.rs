//! What each feeder shop's lead must be able to read off `shop-orders.xlsx`, found by heading and content in the written
//! file. Catches a fact that is missing, on the wrong sheet, or worked out otherwise than with a pencil.
//!
//! Expected values are the facts worked out by hand for the example `shops`. Line minutes W count from Tuesday 06:00, the
//! break from 10:00 to 10:30 skipped: W 240 is 10:30.

use calamine::{Data, Reader, Xlsx};
use lineward::base::Moment;
use std::collections::BTreeMap;
use std::io::Cursor;
use std::path::{Path, PathBuf};

/// A row of a table: heading to the cell's text; times as `Tue 14 Sep 06:00`.
type Row = BTreeMap<String, String>;

/// The cells of each sheet as text, in the order of the sheets.
struct Written(Vec<(String, Vec<Vec<String>>)>);

fn example() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/examples/shops/book")
}

fn written(folder: &Path) -> Written {
    let book = lineward::book::open(folder).expect("the example book");
    let (plant, findings) = lineward::check::plant(&book, None, Moment::from_seconds(0));
    assert!(!findings.any_error());
    let (plan, _) = lineward::plan::plan(&plant, &Default::default());
    let plan = plan.expect("a plan");
    let workbooks = lineward::report::workbooks(&plan);
    let workbook = workbooks.iter().find(|workbook| workbook.file == "shop-orders.xlsx").expect("the shops' workbook");
    let bytes = lineward::report::to_xlsx(workbook).expect("its bytes");
    assert_eq!(bytes, lineward::report::to_xlsx(workbook).expect("its bytes"), "the same plan gives the same file");
    let mut xlsx: Xlsx<_> = calamine::open_workbook_from_rs(Cursor::new(bytes)).expect("a workbook");
    let rows = |range: calamine::Range<Data>| range.rows().map(|row| row.iter().map(text).collect()).collect();
    Written(xlsx.worksheets().into_iter().map(|(name, range)| (name, rows(range))).collect())
}

/// The example with some lines of its tables changed, and tables added.
fn changed(changes: &[(&str, &str, &str)], added: &[(&str, &str)]) -> Written {
    let folder = tempfile::tempdir().expect("a folder");
    for file in std::fs::read_dir(example()).expect("the example").map(|file| file.expect("a file")) {
        let name = file.file_name().into_string().expect("a name");
        let mut text = std::fs::read_to_string(file.path()).expect("a table");
        for (_, from, to) in changes.iter().filter(|(table, _, _)| *table == name) {
            assert!(text.contains(from), "{name} has no {from}");
            text = text.replace(from, to);
        }
        std::fs::write(folder.path().join(name), text).expect("written");
    }
    added.iter().for_each(|(name, text)| std::fs::write(folder.path().join(name), text).expect("written"));
    written(folder.path())
}

fn text(cell: &Data) -> String {
    match cell {
        Data::DateTime(time) => {
            // Days after 1899-12-30, as spreadsheets count.
            let seconds = (time.as_f64() * 86_400.0).round() as i64 - 25_569 * 86_400;
            let moment = Moment::from_seconds(seconds);
            if moment.time() == 0 { moment.date().short() } else { moment.short() }
        }
        other => other.to_string(),
    }
}

impl Written {
    fn sheet(&self, name: &str) -> &[Vec<String>] {
        let found = self.0.iter().find(|(sheet, _)| sheet == name);
        &found.unwrap_or_else(|| panic!("no sheet '{name}': {:?}", self.names())).1
    }

    fn names(&self) -> Vec<&str> {
        self.0.iter().map(|(name, _)| name.as_str()).collect()
    }

    /// The rows below the heading row that holds all the columns named, up to an empty row.
    fn rows(&self, sheet: &str, columns: &[&str]) -> Vec<Row> {
        let cells = self.sheet(sheet);
        let is_head = |row: &Vec<String>| columns.iter().all(|column| row.iter().any(|cell| cell == column));
        let head = cells.iter().position(is_head).unwrap_or_else(|| panic!("no {columns:?} on '{sheet}': {cells:#?}"));
        let body = cells[head + 1..].iter().take_while(|row| row.iter().any(|cell| !cell.is_empty()));
        body.map(|row| cells[head].iter().cloned().zip(row.iter().cloned()).collect()).collect()
    }

    /// The only row of a table in which a column holds a value, as the values of the columns named.
    fn row(&self, sheet: &str, (column, value): (&str, &str), columns: &[&str]) -> Vec<String> {
        let mut rows = self.rows(sheet, &[&[column], columns].concat());
        rows.retain(|row| row[column] == value);
        assert_eq!(rows.len(), 1, "{column} {value} on '{sheet}': {rows:#?}");
        columns.iter().map(|column| rows[0][*column].clone()).collect()
    }

    /// All text of a sheet.
    fn text(&self, sheet: &str) -> String {
        self.sheet(sheet).iter().map(|row| row.join(" ")).collect::<Vec<_>>().join("\n")
    }
}

/// Each shop has its own sheets; only those that give or take by-products have one for them.
#[test]
fn the_sheets_are_named_after_the_shops() {
    let written = written(&example());
    let names = written.names();
    assert_eq!(
        names[..5],
        ["all shops", "Cabinet shop", "Cabinet shop order", "Cabinet shop out", "Cabinet shop crew time"]
    );
    // What is only looked at stands behind all that is printed.
    let screens = ["all jobs", "sets", "by run", "material", "by due"].map(|behind| format!("Cabinet shop {behind}"));
    let first = names.iter().position(|name| *name == screens[0]).expect("a sheet");
    assert_eq!(names[first..first + 5], screens);
    assert!(names[..first].contains(&"Slide-box shop crew time"), "{names:?}");
    for name in ["Wall shop by-products", "Slide-box shop by-products"] {
        assert!(names.contains(&name), "{name}: {names:?}");
    }
}

/// Fact 1: with the microwave or without, a set D is one job of 45 min; the first is begun, the second is U5's.
#[test]
fn a_cabinet_set_is_one_job_with_what_its_options_ask_for() {
    let written = written(&example());
    let columns = ["part", "floorplan", "its options that matter", "material"];
    assert_eq!(written.row("Cabinet shop all jobs", ("unit", "U3"), &columns), ["CABS-D", "D", "MIC", "issued"]);
    assert_eq!(written.row("Cabinet shop all jobs", ("unit", "U5"), &columns), ["CABS-D", "D", "none", "ready"]);
    assert_eq!(written.row("Cabinet shop all jobs", ("unit", "U6"), &columns), ["CABS-T", "T", "", "ready"]);
    // U5's set is the only job due at W 165, 08:45.
    let due = written.row("Cabinet shop by due", ("due", "Tue 14 Sep 08:45"), &["jobs", "load, min"]);
    assert_eq!(due, ["1", "45"]);
}

/// Fact 2: due W 45, 105, 165, 225; earliest 0, 20, 90, 135; latest 0 (begun), 35, 110, 155; finished 20, 105, 155, 225. The 06:00 run brings
/// the material of all but the begun one, 30 min before a start: U4's is begun at 06:30 at the earliest, not at 06:20.
#[test]
fn the_cabinet_shop_reads_its_build_order() {
    let written = written(&example());
    let rows = written.rows(
        "Cabinet shop all jobs",
        &["unit", "latest start", "earliest start", "finish", "due", "crew", "late, min"],
    );
    let times = |row: &Row| {
        let clock = |column: &str| row[column].strip_prefix("Tue 14 Sep ").expect("on Tuesday").to_owned();
        [row["unit"].clone(), clock("earliest start"), clock("latest start"), clock("finish"), clock("due")].join(" ")
    };
    assert_eq!(
        rows.iter().map(times).collect::<Vec<_>>(),
        [
            "U3 06:00 06:00 06:20 06:45",
            "U4 06:30 06:35 07:45 07:45",
            "U5 07:30 07:50 08:35 08:45",
            "U6 08:15 08:35 09:45 09:45"
        ]
    );
    assert!(rows.iter().all(|row| row["late, min"].is_empty() && row["why"].is_empty() && row["crew"] == "1"));
    let run = |unit: &str| written.row("Cabinet shop all jobs", ("unit", unit), &["its run"]);
    assert_eq!(
        ["U3", "U4", "U5", "U6"].map(run),
        [[""], ["Tue 14 Sep 06:00"], ["Tue 14 Sep 06:00"], ["Tue 14 Sep 06:00"]]
    );
}

/// Done at W 20, 90, 135, 205 at the earliest and due 45, 105, 165, 225: 25, 15, 30, 20 min are left, 15 before U4's.
/// Load so far 20, 90, 135, 205 of 45, 105, 165, 225 crew-minutes: never more than there is, least left 15 before 07:45.
#[test]
fn the_cabinet_shop_knows_what_it_can_lose() {
    let written = written(&example());
    let text = written.text("Cabinet shop");
    assert!(text.contains(
        "Can lose 15 min at any time before the first job is late (U4 CABS-T, due Tue 14 Sep 07:45); 15 min"
    ));
    assert!(
        text.contains("no extra crew-minutes needed before any due; least left 15 before Tue 14 Sep 07:45"),
        "{text}"
    );
    assert!(text.contains("hours, rest and cure times are limits the lead checks"));
    let columns = ["load so far, min", "crew time so far, min", "left, min", "extra needed before, min"];
    let due = written.row("Cabinet shop by due", ("due", "Tue 14 Sep 07:45"), &columns);
    assert_eq!(due, ["90", "105", "15", ""]);
    // 205 min are due on Tuesday, of 480 min of one crew.
    let day =
        written.row("Cabinet shop crew time", ("day", "Tue 14 Sep"), &["jobs due", "load, min", "crew time, min"]);
    assert_eq!(day, ["4", "205", "480"]);
    // The slide boxes take every minute from W 155 to 230; until then the shop only waits: 155 min can be lost right now.
    let columns = ["can lose at any time, min", "can lose right now, min", "late", "extra crew-minutes needed"];
    assert_eq!(written.row("all shops", ("shop", "Slide-box shop"), &columns), ["0", "155", "0", "0"]);
    assert_eq!(written.row("all shops", ("shop", "Wall shop"), &columns), ["20", "20", "0", "0"]);
}

/// Fact 3: 5 + 3 + 5 = 13 sheets of board, all with the 06:00 run; none for U3's set, whose board is at the saw.
#[test]
fn the_board_is_read_by_job_and_by_run() {
    let written = written(&example());
    let rows = written.rows("Cabinet shop material", &["job", "part", "qty", "how it comes", "how it stands"]);
    let told = rows
        .iter()
        .map(|row| format!("{} {} {} {}", row["job"], row["qty"], row["how it comes"], row["how it stands"]));
    assert_eq!(
        told.collect::<Vec<_>>(),
        ["U4 CABS-T 5 the 06:00 run ready", "U5 CABS-D 3 the 06:00 run ready", "U6 CABS-T 5 the 06:00 run ready"]
    );
    let run = written.row("Cabinet shop by run", ("part", "BRD-15"), &["run", "qty", "for", "how it stands"]);
    assert_eq!(run, ["Tue 14 Sep 06:00", "13", "U4 U5 U6", "ready"]);
}

/// Fact 4: walls due W 120 and 240, built 60-120 and 180-240; panels free 140 and 260 after 20 min on the way, needed 15 min
/// before the slide boxes start at 155 and 275: no slack, and nothing late.
#[test]
fn the_wall_shop_and_the_slide_box_shop_agree_on_the_panel() {
    let written = written(&example());
    let columns = ["latest start", "finish", "due"];
    let rows = written.rows("Wall shop all jobs", &columns);
    let u4 = rows.iter().find(|row| row["unit"] == "U4").expect("U4");
    let u6 = rows.iter().find(|row| row["unit"] == "U6").expect("U6");
    let times = |row: &Row| columns.map(|column| row[column].replace("Tue 14 Sep ", "")).join(" ");
    assert_eq!((times(u4), times(u6)), ("07:00 08:00 08:00".into(), "09:00 10:00 10:30".into()));
    let columns = ["unit", "piece", "free at", "taken by", "must be there by", "slack, min", "how it stands"];
    for sheet in ["Wall shop by-products", "Slide-box shop by-products"] {
        let rows = written.rows(sheet, &columns);
        let told = |row: &Row| columns.map(|column| row[column].replace("Tue 14 Sep ", "")).join(" ");
        assert_eq!(
            rows.iter().map(told).collect::<Vec<_>>(),
            ["U4 CUT-T 08:20 U4 SBX-T 08:20 0 in time", "U6 CUT-T 10:50 U6 SBX-T 10:50 0 in time"],
            "{sheet}"
        );
    }
    let slides = written.rows("Slide-box shop all jobs", &columns[..1]);
    assert_eq!(slides.iter().map(times_of_slide).collect::<Vec<_>>(), ["08:35 09:50", "11:05 12:20"]);
    assert!(written.text("all shops").contains("Tue 14 Sep: 10 jobs, none late, all material in time"));
}

fn times_of_slide(row: &Row) -> String {
    ["latest start", "finish"].map(|column| row[column].replace("Tue 14 Sep ", "")).join(" ")
}

/// U2's set stands in stock, U4's leaves the shop at W 105 and is there at 120, 08:00, when it is needed.
#[test]
fn a_set_tells_when_it_is_ready() {
    let written = written(&example());
    let columns = ["to", "pieces", "set ready", "needed", "how it stands", "from"];
    let u2 = written.row("Cabinet shop sets", ("unit", "U2"), &columns);
    assert_eq!(u2, ["CB", "1", "", "Tue 14 Sep 06:00", "there", "stock, reserved"]);
    let u4 = written.row("Cabinet shop sets", ("unit", "U4"), &columns);
    assert_eq!(u4, ["CB", "1", "Tue 14 Sep 08:00", "Tue 14 Sep 08:00", "in time", "crew 1"]);
}

/// Walls T of 100 min instead of 60: the wall shop works 0-40, 40-140, 140-180, 180-280 on jobs due 100, 120, 220, 240, so
/// U4's wall is done 20 and U6's 40 min after its due: in time at the line (there at 160 and 300, needed 180 and 300), but
/// the panels free the slide boxes at 175 and 315 only, done 250 and 390, due 230 and 350: 20 and 40 min late.
/// Load so far 40, 140, 180, 280 of 100, 120, 220, 240: 20 extra before W 120 (08:00), 40 in all before W 240 (10:30).
#[test]
fn a_late_job_says_how_late_and_why() {
    let written = changed(&[("Parts.csv", "make,WAL,60", "make,WAL,100")], &[]);
    let late = |unit: &str| written.row("Slide-box shop all jobs", ("unit", unit), &["late, min", "why"]);
    assert_eq!(late("U4"), ["20", "by-product: waits for CUT-T until Tue 14 Sep 08:55"]);
    assert_eq!(late("U6"), ["40", "by-product: waits for CUT-T until Tue 14 Sep 11:45"]);
    let rows = written.rows("Wall shop all jobs", &["unit", "late, min", "why"]);
    let wall = rows.iter().find(|row| row["unit"] == "U4").expect("U4's wall");
    assert_eq!(wall["late, min"], "");
    assert_eq!(
        wall["why"],
        "crew time: not enough, the crew is busy until Tue 14 Sep 06:40; done 20 min after its due, by which what comes off \
         it is wanted"
    );
    let text = written.text("Wall shop");
    let extra = "at least 20 extra crew-minutes needed before Tue 14 Sep 08:00, 40 in all before Tue 14 Sep 10:30";
    assert!(text.contains(extra), "{text}");
    assert!(written.text("Slide-box shop").contains("Can lose 0 min: 2 jobs done after the due as it is"));
    let first = written.rows("all shops", &["how it stands", "what", "why"]);
    assert_eq!((first[0]["how it stands"].as_str(), first[0]["unit"].as_str()), ("late 40 min", "U6"));
    assert_eq!((first[1]["how it stands"].as_str(), first[1]["unit"].as_str()), ("late 20 min", "U4"));
}

/// 5 sheets of board instead of 20, and 3 more at 08:00: U4 takes the 5; U5's 3 come 40 min after its need, 07:20; it can
/// start 30 min after they are there, at 08:30 (W 150), is done at 195, at the line at 210 (09:30), needed 09:00: 30 min
/// late. U6's 5 are short: late, too, and nothing says how long.
#[test]
fn missing_material_is_told_with_what_it_does() {
    let receipts = "purchase order,part,qty,due\n7001,BRD-15,3,2027-09-14 08:00\n";
    let written = changed(&[("Stock.csv", "BRD-15,20", "BRD-15,5")], &[("Receipts.csv", receipts)]);
    let stands = |unit: &str| written.row("Cabinet shop all jobs", ("unit", unit), &["material", "why"]);
    assert_eq!(stands("U4"), ["ready", ""]);
    assert_eq!(
        stands("U5"),
        [
            "late, all there Tue 14 Sep 08:00",
            "material: waits for BRD-15, can start Tue 14 Sep 08:30, is then 30 min late"
        ]
    );
    assert_eq!(stands("U6"), ["short of BRD-15 (5 sheet)", "material: nothing open covers what is short"]);
    let late = |unit: &str| written.row("Cabinet shop all jobs", ("unit", unit), &["earliest start", "late, min"]);
    assert_eq!(late("U5"), ["Tue 14 Sep 08:30", "30"]);
    assert_eq!(late("U6"), ["no time known", "not known"]);
    let columns = ["late", "of them no time known", "in time, material late"];
    assert_eq!(written.row("all shops", ("shop", "Cabinet shop"), &columns), ["2", "1", "0"]);
    // Crews can save neither U5's nor U6's; U4's, due W 105, is done at 90. U5's counts when it is done, W 195, U6's not at all.
    let lose = "Can lose 0 min: 2 jobs done after the due as it is. The others can lose 15 min";
    assert!(written.text("Cabinet shop").contains(lose), "{}", written.text("Cabinet shop"));
    let due = written.rows("Cabinet shop by due", &["due", "load so far, min", "crew time so far, min"]);
    let due = due
        .iter()
        .map(|row| [&row["due"], &row["load so far, min"], &row["crew time so far, min"]].map(String::as_str));
    let at = ["Tue 14 Sep 06:45", "Tue 14 Sep 07:45", "Tue 14 Sep 09:15"];
    assert_eq!(due.collect::<Vec<_>>(), [[at[0], "20", "45"], [at[1], "90", "105"], [at[2], "135", "195"]]);
    let set = |unit: &str| written.row("Cabinet shop sets", ("unit", unit), &["how it stands", "set ready"]);
    assert_eq!(set("U5"), ["late 30 min", "Tue 14 Sep 09:30"]);
    assert_eq!(set("U6"), ["late, no time known", ""]);
}

/// What the slide-box shop of the demo calls late: the boxes of AF3446 and AF3451, whose dinettes wait for a table top that comes on Wed
/// 10:00. The dinettes are there at 12:07, and both boxes, whose work is then begun side by side, at 13:30:45. They are needed half an hour
/// before their units arrive, at 06:50 and 09:30: 400.75 and 240.75 minutes of the clock late.
#[test]
fn late_material_travels_from_shop_to_shop() {
    let written = written(&Path::new(env!("CARGO_MANIFEST_DIR")).join("data/alder-fen"));
    let rows = written.rows("Slide-box shop all jobs", &["unit", "late, min", "material"]);
    let late = rows.iter().filter(|row| !row["late, min"].is_empty());
    let late: Vec<_> =
        late.map(|row| [&row["unit"], &row["late, min"], &row["material"]].map(String::as_str)).collect();
    let material = "late, all there Wed 15 Sep 12:07";
    assert_eq!(late, [["AF3446", "401", material], ["AF3451", "241", material]]);
    assert!(written.text("Slide-box shop").contains("2 late"));
    let rows = written.rows("Slide-box shop sets", &["unit", "set ready", "how it stands"]);
    let late = rows.iter().filter(|row| row["how it stands"].starts_with("late"));
    let late: Vec<_> = late.map(|row| (row["unit"].as_str(), row["set ready"].as_str())).collect();
    assert_eq!(late, [("AF3446", "Wed 15 Sep 13:30:45"), ("AF3451", "Wed 15 Sep 13:30:45")]);
}
