//! The shops' answers: what is built, with what, and what that costs. What leaves the shop is in `shop_out`, what takes time in `shop_time`.

use super::Check;
use super::asked::{AFTER, Asked, DAY, Row, between, clock, minutes_up, near, number, seconds, short, text, whole};
use super::{shop_out, shop_time};
use crate::oracle::clock::print;
use crate::oracle::sheets::key;
use crate::oracle::waves::wave_before;
use lineward::report::table::Value;
use std::collections::{BTreeMap, BTreeSet};

/// How each question is checked, by sheet and heading.
pub const CHECKS: [(&str, &str, Check); 20] = [
    ("all shops", "to start by the day's end", shop_time::by_the_days_end),
    ("Cabinet shop order", "no.", build_order),
    ("Cabinet shop all jobs", "earliest start", shop_time::earliest),
    ("Cabinet shop order", "run", runs_of_jobs),
    ("Cabinet shop", "why", waits),
    ("Cabinet shop", "all there", not_there),
    ("Slide-box shop order", "at the last", from_other_shops),
    ("Cabinet shop order", "beyond the bills", remakes),
    ("Cabinet shop", "how it stands", shop_time::how_late),
    ("Slide-box shop", "costs the line", costs),
    ("Cabinet shop out", "leaves by", shop_out::leaves),
    ("WALLSHOP out", "by the hour", shop_out::by_the_hour),
    ("WALLSHOP out", "set", shop_out::sets),
    ("WALLSHOP by-products", "taken by", shop_out::taken_by),
    ("WALLSHOP by-products", "slack, min", shop_out::slack),
    ("Cabinet shop", "A crew less", shop_time::a_crew_less),
    ("Cabinet shop crew time", "load so far, min", shop_time::load_so_far),
    ("Cabinet shop crew time", "crew time so far, min", shop_time::time_so_far),
    ("WALLSHOP", "Can lose", shop_time::can_lose),
    ("Cabinet shop by run", "run", by_run),
];

/// Each shop's code, and its name on its sheets.
pub const SHOPS: [(&str, &str); 3] =
    [("CABSHOP", "Cabinet shop"), ("WALLSHOP", "WALLSHOP"), ("SLIDESHOP", "Slide-box shop")];

/// A shop's jobs in the order of their table, which is that of their numbers.
pub fn jobs<'a>(asked: &'a Asked<'_>, shop: &str) -> Vec<&'a Row> {
    asked.table("jobs").iter().filter(|job| job["shop"] == *shop).collect()
}

/// A shop's working seconds at a moment.
pub fn worked(asked: &Asked<'_>, shop: &str, time: &str) -> i64 {
    asked.tables.plant.calendar_of_shop(&key(shop)).worked(seconds(time))
}

/// The moment at which so much is worked, something beginning then.
pub fn starts(asked: &Asked<'_>, shop: &str, worked: i64) -> String {
    print(asked.tables.plant.calendar_of_shop(&key(shop)).starts(worked))
}

/// Something ending then.
pub fn ends(asked: &Asked<'_>, shop: &str, worked: i64) -> String {
    print(asked.tables.plant.calendar_of_shop(&key(shop)).ends(worked))
}

pub fn ahead(asked: &Asked<'_>, shop: &str) -> i64 {
    asked.tables.plant.shops[&key(shop)].deliver_ahead
}

pub fn transit(asked: &Asked<'_>, shop: &str) -> i64 {
    asked.tables.plant.shops[&key(shop)].transit
}

/// When a job's material is needed.
pub fn material_need(asked: &Asked<'_>, job: &Row) -> String {
    let shop = &job["shop"];
    starts(asked, shop, worked(asked, shop, &job["start"]) - ahead(asked, shop))
}

pub fn begun(job: &Row) -> bool {
    job["material"] == *"issued"
}

/// `AF3446 DINETTE-18`, as sheets name a job of which its unit has one.
pub fn name(job: &Row) -> String {
    format!("{} {}", &job["unit"], &job["part"])
}

/// When a piece is there, late material of the job waited for that it comes from.
pub fn there(asked: &Asked<'_>, peg: &Row) -> String {
    let job = || asked.table("jobs").iter().find(|job| job["job"] == peg["source"]).expect("a job");
    if peg["cover"] == *"job" { job()["there_at"].to_owned() } else { peg["available"].to_owned() }
}

/// A moment on a page of a day: its clock, with the weekday where it is on another.
pub fn on(time: &str, day: &str) -> String {
    if time.starts_with(day) { clock(time) } else { format!("{} {}", &short(time)[..3], clock(time)) }
}

/// The whole minute at or before a moment, and at or behind it.
pub fn minute(time: &str) -> String {
    print(seconds(time).div_euclid(60) * 60)
}

pub fn minute_up(time: &str) -> String {
    print(minutes_up(seconds(time)) * 60)
}

/// A job on the paper of a day.
struct OnPaper {
    day: &'static str,
    number: usize,
    crew: String,
    what: String,
    minutes: i64,
    below: String,
}

fn on_paper(asked: &Asked<'_>, sheet: &str) -> Vec<OnPaper> {
    let (mut day, mut crews, mut found) = (DAY, BTreeMap::new(), Vec::<OnPaper>::new());
    // The last job of each column.
    let mut last: BTreeMap<u16, usize> = BTreeMap::new();
    for row in &asked.sheet(sheet).rows {
        let cells: BTreeMap<u16, &Value<'_>> = row.cells.iter().map(|cell| (cell.column, &cell.value)).collect();
        for (column, value) in &cells {
            let told = text(value);
            if told.contains("build order, ") {
                day = if told.contains("14 September") { DAY } else { AFTER };
                last.clear();
            } else if let Some(crew) = told.strip_prefix("crew ") {
                crews.insert(*column - 1, crew.to_owned());
            } else if let Value::Whole(number) = value
                && let Some(crew) = crews.get(column)
            {
                last.insert(*column, found.len());
                let (what, minutes) = (text(cells[&(column + 1)]), whole(&text(cells[&(column + 2)])));
                let number = usize::try_from(*number).expect("a number");
                found.push(OnPaper { day, number, crew: crew.clone(), what, minutes, below: String::new() });
            } else if let Some(at) = column.checked_sub(1).and_then(|column| last.get(&column))
                && !cells.contains_key(&(column - 1))
            {
                found[*at].below += &format!("{told} ");
            }
        }
    }
    assert!(found.len() > 20, "{sheet}: {}", found.len());
    found
}

/// On paper are the jobs that begin on the two days, numbered as they begin in the shop, with the crew's minutes.
fn build_order(asked: &Asked<'_>) {
    for (shop, sheet) in SHOPS {
        let (jobs, mut told) = (jobs(asked, shop), on_paper(asked, &format!("{sheet} order")));
        told.sort_by_key(|told| told.number);
        let soon = jobs.iter().filter(|job| job["start"] < *"2027-09-16").count();
        assert!(told.iter().map(|told| told.number).eq(1..=soon), "{shop}");
        for told in told {
            let job = jobs[told.number - 1];
            assert_eq!((told.what, &*told.crew), (name(job), &job["crew"]));
            assert!(job["start"].starts_with(told.day), "{job:?}");
            let length = worked(asked, shop, &job["finish"]) - worked(asked, shop, &job["start"]);
            assert_eq!(told.minutes, minutes_up(length), "{job:?}");
            let start = if begun(job) { "begun".to_owned() } else { format!("by {}", clock(&minute(&job["start"]))) };
            assert!(told.below.starts_with(&start), "{}: {start}", told.below);
        }
    }
}

/// The last run at or before the need brings the material; where something of it is pulled, that run is named.
fn runs_of_jobs(asked: &Asked<'_>) {
    let mut seen = 0;
    for (shop, sheet) in SHOPS {
        let jobs = jobs(asked, shop);
        for told in on_paper(asked, &format!("{sheet} order")) {
            let job = jobs[told.number - 1];
            let run = print(wave_before(&asked.tables.plant, seconds(&material_need(asked, job))).clock);
            let words = format!("; {} run", on(&run, told.day));
            let own = |pull: &&Row| pull["wave"] == *run && pull["to"] == *shop && pull["unit"] == job["unit"];
            let pulled = !begun(job) && asked.all_pulls().any(|pull| own(&pull));
            assert!(told.below.contains(&words) || !pulled, "{}: {words}", told.below);
            assert!(!told.below.contains(" run") || told.below.contains(&words), "{}: {words}", told.below);
            seen += usize::from(pulled);
        }
    }
    assert!(seen > 100, "{seen}");
}

/// The pegs of a job's material.
fn material<'a>(asked: &'a Asked<'_>, job: &Row) -> Vec<&'a Row> {
    let need = material_need(asked, job);
    let own = |peg: &&Row| peg["to"] == job["shop"] && peg["unit"] == job["unit"] && peg["need"] == *need;
    asked.all_pegs().filter(own).collect()
}

/// A job that waits for material: for which, when it can start, and how late it is then; on both papers alike.
fn waits(asked: &Asked<'_>) {
    let mut seen = 0;
    for (shop, sheet) in SHOPS.iter().filter(|(shop, _)| *shop != "WALLSHOP") {
        let (jobs, papers) = (jobs(asked, shop), on_paper(asked, &format!("{sheet} order")));
        for told in asked.rows(sheet, "why").iter().filter(|row| row["why"].contains("waits for ")) {
            let job = jobs[usize::try_from(whole(&told["no."])).expect("a number") - 1];
            assert_eq!(told["what"], name(job));
            let late: Vec<&Row> =
                material(asked, job).into_iter().filter(|peg| *there(asked, peg) > peg["need"]).collect();
            let parts: BTreeSet<&str> = late.iter().map(|peg| &peg["part"]).collect();
            let all = late.iter().map(|peg| there(asked, peg)).max().expect("a late peg");
            let start = starts(asked, shop, worked(asked, shop, &all) + ahead(asked, shop));
            let late = minutes_up(seconds(&job["there_at"]) - seconds(&asked.peg_of_job(job)["need"]));
            let parts: Vec<&str> = parts.into_iter().collect();
            let expected = format!(
                "material: waits for {}, can start {}, is then {late} min late",
                parts.join(", "),
                short(&start)
            );
            assert_eq!(told["why"], expected);
            let paper = papers.iter().find(|paper| paper.what == name(job)).expect("a job on paper");
            let start = format!("no start before {}", on(&minute_up(&start), paper.day));
            assert!(paper.below.contains(&start), "{}: {start}", paper.below);
            seen += 1;
        }
    }
    assert_eq!(seen, 4);
}

/// Of each part that is not there: how much, since when, and when the last of it comes.
fn not_there(asked: &Asked<'_>) {
    for (shop, sheet) in SHOPS.iter().filter(|(shop, _)| *shop != "WALLSHOP") {
        let soon = jobs(asked, shop).into_iter().filter(|job| job["start"] < *"2027-09-16" && !begun(job));
        let late = soon.flat_map(|job| material(asked, job));
        let late: Vec<&Row> = late.filter(|peg| *there(asked, peg) > peg["need"]).collect();
        let parts: BTreeSet<&str> = late.iter().map(|peg| &peg["part"]).collect();
        let told = asked.rows(sheet, "all there");
        assert_eq!(told.len(), parts.len(), "{sheet}");
        for told in told {
            let own: Vec<&&Row> = late.iter().filter(|peg| peg["part"] == *told["part"]).collect();
            let (qty, uom) = told["qty"].split_once(' ').expect("a unit of measure");
            assert!(near(number(qty), own.iter().map(|peg| number(&peg["qty"])).sum()), "{told:?}");
            assert_eq!(uom, &asked.row("Parts", "part", &told["part"])["uom"]);
            assert_eq!(Some(&*told["first needed"]), own.iter().map(|peg| &peg["need"]).min());
            let last = own.iter().map(|peg| there(asked, peg)).max().expect("a piece");
            assert_eq!(told["all there"], short(&last));
            let units: BTreeSet<&str> = own.iter().map(|peg| &peg["unit"]).collect();
            assert_eq!(told["for"].split("; ").collect::<BTreeSet<_>>(), units);
        }
    }
}

/// What other shops bring: from which, when it is free there, here, and at the last.
fn from_other_shops(asked: &Asked<'_>) {
    let jobs = jobs(asked, "SLIDESHOP");
    let mut seen = 0;
    for paper in on_paper(asked, "Slide-box shop order") {
        let job = jobs[paper.number - 1];
        let comes = |peg: &&Row| {
            ["job", "by-product"].contains(&&peg["cover"]) && peg["available"] > *"2027-09-13T14:30:00" && !begun(job)
        };
        let expected: BTreeSet<String> = material(asked, job)
            .into_iter()
            .filter(comes)
            .map(|peg| {
                let here = there(asked, peg);
                let gives = |giver: &&Row| {
                    let own =
                        if peg["cover"] == *"job" { giver["job"] == peg["source"] } else { gives(asked, giver, peg) };
                    giver["unit"] == peg["unit"] && own
                };
                let giver =
                    &asked.table("jobs").iter().find(gives).unwrap_or_else(|| panic!("who gives {peg:?}"))["shop"];
                let free = ends(asked, giver, worked(asked, giver, &here) - transit(asked, giver));
                let [free, here] = [free, here].map(|time| on(&minute_up(&time), paper.day));
                let last = on(&minute(&peg["need"]), paper.day);
                format!("{} from {giver}: free {free}, here {here}, at the last {last}", &peg["part"])
            })
            .collect();
        for words in &expected {
            assert!(paper.below.contains(words), "{}: {words}", paper.below);
        }
        assert_eq!(paper.below.matches("at the last").count(), expected.len(), "{}", paper.below);
        seen += expected.len();
    }
    assert!(seen > 20, "{seen}");
}

/// Whether a by-product comes off a job: a line of its part's bill gives it, and it is there when the job's way is done.
pub fn gives(asked: &Asked<'_>, job: &Row, peg: &Row) -> bool {
    let bills = asked.of_book("Bills").iter();
    let given = bills
        .clone()
        .any(|line| line["parent"] == job["part"] && line["part"] == peg["part"] && line["qty"].starts_with('-'));
    let shop = &job["shop"];
    given && ends(asked, shop, worked(asked, shop, &job["finish"]) + transit(asked, shop)) == peg["available"]
}

/// A job that an extra asks for is marked, in the words of its row; no other is.
fn remakes(asked: &Asked<'_>) {
    let mut told = BTreeSet::new();
    for (shop, sheet) in SHOPS {
        for paper in on_paper(asked, &format!("{sheet} order")) {
            if let Some((_, reason)) = paper.below.split_once("beyond the bills: ") {
                told.insert((shop, paper.what, reason.trim().to_owned()));
            }
        }
    }
    let made = |extra: &&Row| asked.row("Parts", "part", &extra["part"])["source"] == *"make";
    let expected: BTreeSet<_> = asked
        .of_book("Extras")
        .iter()
        .filter(made)
        .map(|extra| {
            let shop = &asked.row("Parts", "part", &extra["part"])["shop"];
            let shop = SHOPS.iter().find(|(code, _)| code == &shop).expect("a shop").0;
            (shop, format!("{} {}", &extra["unit"], &extra["part"]), extra["reason"].to_owned())
        })
        .collect();
    assert!(!expected.is_empty());
    assert_eq!(told, expected);
}

/// What a late job costs: of the rows of the consequences at the station where it ends, by itself or within what another shop makes of it.
fn costs(asked: &Asked<'_>) {
    let mut seen = 0;
    for sheet in ["Cabinet shop", "Slide-box shop"] {
        for told in asked.rows(sheet, "costs the line") {
            let (unit, part) = told["what"].split_once(' ').expect("a unit and a part");
            let is_station =
                |row: &&Row| asked.of_book("Stations").iter().any(|station| station["station"] == row["to"]);
            let ends =
                |row: &&Row| row["part"] == *part || told["to"] == "SLIDESHOP" && row["part"].starts_with("SLBOX");
            let stops =
                |row: &&Row| row["unit"] == *unit && row["word"] == *"stops the line" && is_station(row) && ends(row);
            let Some(row) = asked.table("consequences").iter().find(stops) else {
                assert_eq!(told["costs the line"], "nothing");
                continue;
            };
            let (adds, alone) = (minutes_up(whole(&row["adds_seconds"])), whole(&row["stop_minutes"]));
            seen += 1;
            if adds == alone {
                assert_eq!(told["costs the line"], format!("{adds} min"));
                continue;
            }
            let behind = between(&told["costs the line"], ", behind ", ";");
            assert_eq!(told["costs the line"], format!("{adds} min, behind {behind}; {alone} by itself"));
            // The line stands for that unit already.
            let first = |row: &&Row| row["unit"] == *behind && row["word"] == *"stops the line" && is_station(row);
            let first = asked.table("consequences").iter().find(first).expect("a stop");
            assert!(first["arrives"] < row["arrives"] && first["arrives"][..10] == row["arrives"][..10]);
        }
    }
    assert_eq!(seen, 4);
}

/// What the day's runs bring a shop, run by run.
fn by_run(asked: &Asked<'_>) {
    for (shop, sheet) in SHOPS {
        let mut told: BTreeMap<[String; 2], f64> = BTreeMap::new();
        for row in asked.rows(&format!("{sheet} by run"), "run") {
            *told.entry(["run", "part"].map(|column| row[column].clone())).or_default() += number(&row["qty"]);
        }
        let mut expected: BTreeMap<[String; 2], f64> = BTreeMap::new();
        for pull in asked.all_pulls().filter(|pull| pull["to"] == *shop && pull["wave"].starts_with(DAY)) {
            *expected.entry(["wave", "part"].map(|column| pull[column].to_owned())).or_default() +=
                number(&pull["qty"]);
        }
        assert!(told.keys().eq(expected.keys()) && told.len() > 50, "{shop}: {} of {}", told.len(), expected.len());
        assert!(told.iter().all(|(of, qty)| near(*qty, expected[of])), "{shop}");
    }
}
