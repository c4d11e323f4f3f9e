//! The pull list's answers.

use super::Check;
use super::asked::{Asked, DAY, Row, Told, near, number, short};
use lineward::base::Moment;
use lineward::report::table::Value;
use std::collections::{BTreeMap, BTreeSet};

/// Whether a pull's material is there when its run is picked.
fn there(pull: &Row) -> bool {
    ["ready", "arriving"].contains(&&pull["status"])
}

/// How each question is checked, by sheet and heading.
pub const CHECKS: [(&str, &str, Check); 22] = [
    ("front", "does not work as it stands", does_it_work),
    ("front", "the line", first_stop),
    ("front", "pulls", pulls_of_runs),
    ("front", "not whole when picked", not_whole),
    ("overdue and owed", "why it is owed", owed),
    ("not pulled", "minutes late", not_there),
    ("the day's work", "next comes", emptied),
    ("the day's work", "how much of it", resting),
    ("the day's work", "pickers", pickers),
    ("the day's work", "begin by", begin),
    ("the day's work", "kg each", heavy),
    ("the line", "at the last", the_line),
    ("the dock", "straight to", straight),
    ("the dock", "promised", promised),
    ("walks 07.30", "take", taken),
    ("driver 07.30", "needed", first_station),
    ("driver 07.30", "kits", kits),
    ("driver 07.30", "kg", kilograms),
    ("driver 09.30", "at the last", special_runs),
    ("from the shops", "comes", from_the_shops),
    ("in line order", "place", in_line_order),
    ("bulk", "packs", packs),
];

/// The same sentence as on the other first sheets.
fn does_it_work(asked: &Asked<'_>) {
    let told = super::shortages::verdict(asked);
    assert!(told.contains(" does not work as it stands: 1 unit stops; "), "{told}");
    assert!(asked.texts("front").contains(&told), "{told}");
}

/// The first row of the consequences at a station that stops the line.
fn first_stop(asked: &Asked<'_>) {
    let stations: BTreeSet<String> = asked.of_book("Stations").iter().map(|row| row["station"].to_owned()).collect();
    let rows = asked.table("consequences");
    let first =
        rows.iter().find(|row| row["word"] == *"stops the line" && stations.contains(&row["to"])).expect("a stop");
    let told = format!("first {}, {} at", short(&first["arrives"]), &first["unit"]);
    assert!(asked.texts("front").contains(&told), "{told}");
}

fn pulls_of_runs(asked: &Asked<'_>) {
    for clock in ["05:30", "07:30", "09:30", "11:30", "13:30"] {
        let told =
            asked.rows("front", "pulls").into_iter().find(|row| row["run"] == format!("the {clock} run")).expect(clock);
        assert_eq!(told["pulls"], asked.run(clock).len().to_string(), "{clock}");
    }
}

fn not_whole(asked: &Asked<'_>) {
    for clock in ["05:30", "07:30", "09:30", "11:30", "13:30"] {
        let told =
            asked.rows("front", "pulls").into_iter().find(|row| row["run"] == format!("the {clock} run")).expect(clock);
        let open = asked.run(clock).iter().filter(|pull| !there(pull)).count();
        assert_eq!(told["not whole when picked"], open.to_string(), "{clock}");
    }
}

fn owed(asked: &Asked<'_>) {
    let told: BTreeSet<(String, String, String)> = asked
        .rows("overdue and owed", "why it is owed")
        .into_iter()
        .map(|row| (row["part"].clone(), row["to"].clone(), row["why it is owed"].clone()))
        .collect();
    let expected: BTreeSet<(String, String, String)> = asked
        .of_book("Extras")
        .iter()
        .map(|row| (row["part"].to_owned(), row["to"].to_owned(), row["reason"].to_owned()))
        .collect();
    assert_eq!(told, expected);
}

/// Each pull that is late, with the minutes of its peg.
fn not_there(asked: &Asked<'_>) {
    let told = asked.rows("not pulled", "minutes late");
    let open: Vec<&Row> = asked.pulls().filter(|pull| !there(pull)).collect();
    assert_eq!(told.len(), open.len());
    for pull in open {
        let same = |row: &&Row| ["unit", "part", "to"].iter().all(|name| row[name] == pull[name]);
        let told = told
            .iter()
            .find(|row| ["unit", "part", "to"].iter().all(|name| row[*name] == pull[name]))
            .unwrap_or_else(|| panic!("{pull:?}"));
        let late = asked
            .pegs(&pull["part"])
            .iter()
            .filter(same)
            .filter(|peg| peg["need"] == pull["need"])
            .map(|peg| number(&peg["late_minutes"]))
            .fold(0.0, f64::max);
        assert_eq!(told["minutes late"], if late > 0.0 { late.to_string() } else { String::new() }, "{pull:?}");
    }
}

/// Of a part of which nothing comes before the day is over, all that lay in the stores for anybody is pulled by then; what comes next is
/// the first of its receipts.
fn emptied(asked: &Asked<'_>) {
    let (stock, receipts) = (asked.of_book("Stock"), asked.of_book("Receipts"));
    let mut seen = 0;
    for row in asked.rows("the day's work", "next comes") {
        let part = &row["part"];
        let mut due: Vec<&str> =
            receipts.iter().filter(|receipt| receipt["part"] == **part).map(|receipt| &receipt["due"]).collect();
        due.sort_unstable();
        if due.first().is_some_and(|due| *due < "2027-09-15") {
            continue;
        }
        assert_eq!(row["next comes"].get(..10), Some(due.first().map_or("nothing co", |due| &due[..10])), "{row:?}");
        let lay = |row: &&Row| {
            row["part"] == **part && row["hold"].is_empty() && row["station"].is_empty() && row["unit"].is_empty()
        };
        let there: f64 = stock.iter().filter(lay).map(|row| number(&row["qty"])).sum();
        let pulled = asked.all_pulls().filter(|pull| pull["part"] == **part && pull["wave"] < *"2027-09-15");
        let pulled: f64 = pulled.map(|pull| number(&pull["qty"])).sum();
        assert!(pulled >= there, "{part}: {pulled} of {there}");
        seen += 1;
    }
    assert!(seen > 0);
}

/// Receipts without a time, overdue or not confirmed, that come before the picking of what they cover.
fn resting(asked: &Asked<'_>) {
    for row in asked.rows("the day's work", "how much of it") {
        let pieces = of_order(asked, &row["purchase order"], &row["part"]);
        let stores: f64 =
            pieces.iter().filter(|piece| !piece.straight && piece.wave.starts_with(DAY)).map(|piece| piece.qty).sum();
        let told = row["how much of it"].split(' ').next().expect("a number");
        assert!(near(number(told), stores), "{row:?}: {stores}");
        assert!(!row["promised"].is_empty() && row["promised"] != "confirmed");
    }
}

/// A piece that an order covers, and the run that it should go with.
struct Piece {
    qty: f64,
    wave: String,
    straight: bool,
}

fn of_order(asked: &Asked<'_>, order: &str, part: &str) -> Vec<Piece> {
    let pegs = asked.pegs(part).iter().filter(|peg| peg["source"] == *order && peg["cover"] == *"receipt");
    let piece = |peg: &Row| {
        let same =
            |pull: &&Row| ["part", "to"].iter().all(|name| pull[name] == peg[name]) && pull["wave"] <= peg["need"];
        let own = asked.all_pulls().filter(same).filter(|pull| pull["unit"] == peg["unit"] || pull["unit"].is_empty());
        let run = own.max_by_key(|pull| pull["wave"].to_owned())?;
        Some(Piece {
            qty: number(&peg["qty"]),
            wave: run["wave"].to_owned(),
            straight: peg["available"] > run["pick_start"],
        })
    };
    pegs.filter_map(piece).collect()
}

/// Walks of a run by their stops, 20 s each, put to pickers who have the time until the run leaves: the longest first.
fn busy(asked: &Asked<'_>, run: &str, minutes: usize) -> Vec<usize> {
    let mut walks: Vec<usize> = Vec::new();
    for row in asked.sheet(&format!("walks {run}")).rows.iter().flat_map(|row| &row.cells) {
        let Value::Text(text) = &row.value else { continue };
        if let Some((stops, _)) = text.split_once(" stops, picked from ") {
            walks.push(stops.parse().expect("a number"));
        }
    }
    walks.sort_unstable_by(|a, b| b.cmp(a));
    let mut busy: Vec<usize> = Vec::new();
    for stops in walks {
        match busy.iter_mut().find(|busy| **busy + stops * 20 <= minutes * 60) {
            Some(busy) => *busy += stops * 20,
            None => busy.push(stops * 20),
        }
    }
    busy
}

fn pickers(asked: &Asked<'_>) {
    let rows = asked.rows("the day's work", "pickers");
    for (run, minutes) in [("05:30", 60), ("07:30", 60), ("09:30", 45)] {
        let told = rows.iter().find(|row| row["run"] == format!("the {run} run")).expect(run);
        assert_eq!(told["pickers"], busy(asked, &run.replace(':', "."), minutes).len().to_string(), "{run}");
    }
}

/// The first run is picked without a break: the one with most to do begins so long before it leaves.
fn begin(asked: &Asked<'_>) {
    let rows = asked.rows("the day's work", "begin by");
    let told = rows.iter().find(|row| row["run"] == "the 05:30 run").expect("the first run");
    let most = busy(asked, "05.30", 60).into_iter().max().expect("a picker") as i64;
    let leaves = Moment::parse("2027-09-14 05:30").expect("a time").0;
    assert_eq!(told["begin by"], leaves.plus(-most).to_string());
}

/// More than 25 kg a piece; all that is pulled of it.
fn heavy(asked: &Asked<'_>) {
    for row in asked.rows("the day's work", "kg each") {
        assert_eq!(Some(number(&row["kg each"])), asked.weight(&row["part"]));
        let told = row["today"].split(' ').next().expect("a number");
        let pulled = asked.pulls().filter(|pull| pull["part"] == *row["part"] && there(pull));
        assert!(near(number(told), pulled.map(|pull| number(&pull["qty"])).sum()), "{row:?}");
    }
}

fn the_line(asked: &Asked<'_>) {
    let rows = asked.table("consequences");
    let told = asked.rows("the line", "at the last");
    let soon = rows.iter().filter(|row| row["arrives"] < *"2027-09-15").count();
    assert_eq!(told.len(), soon.min(22));
    for told in told {
        let same = |row: &&Row| {
            row["unit"] == *told["unit"] && row["to"] == *told["at"] && row["arrives"] == *told["unit arrives"]
        };
        let part = |row: &&Row| told["what is not there"].contains(&format!(" {} ", &row["part"]));
        let row = rows.iter().filter(same).find(part).unwrap_or_else(|| panic!("{told:?}"));
        assert_eq!((&*told["at the last"], &*told["what it does"]), (&row["saves_until"], &row["word"]));
        let comes = if row["there_at"].is_empty() { "no time known" } else { &row["there_at"] };
        assert_eq!(told["comes"], comes);
    }
}

fn straight(asked: &Asked<'_>) {
    for row in asked.rows("the dock", "straight to") {
        let pieces = of_order(asked, &row["purchase order"], &row["part"]);
        let straight: f64 = pieces.iter().filter(|piece| piece.straight).map(|piece| piece.qty).sum();
        let told = row["straight to"].split(' ').next().filter(|told| !told.is_empty()).map_or(0.0, number);
        assert!(near(told, straight), "{row:?}: {straight}");
    }
}

/// `overdue` of a date before the as-of date; `day only` where the book's row has no time.
fn promised(asked: &Asked<'_>) {
    let receipts = asked.of_book("Receipts");
    for row in asked.rows("the dock", "promised") {
        let due = receipts
            .iter()
            .find(|receipt| receipt["purchase order"] == *row["purchase order"] && receipt["part"] == *row["part"]);
        let due = &due.expect("a receipt")["due"];
        let expected = match (due < "2027-09-13T14:30", due.len() > 10) {
            (true, _) if due < "2027-09-13" || due.len() > 10 => "overdue, not promised",
            (_, false) => "day only",
            _ => "",
        };
        assert!(row["promised"].starts_with(expected), "{row:?}: {due}");
        assert!(!expected.is_empty() || !row["promised"].contains("overdue"), "{row:?}");
    }
}

/// All takes of a run's walks, and what is not there at their ends, are what the run should bring.
fn taken(asked: &Asked<'_>) {
    let mut told: BTreeMap<String, f64> = BTreeMap::new();
    for row in
        asked.rows("walks 07.30", "take").into_iter().filter(|row| row.contains_key("take") && !row["part"].is_empty())
    {
        let Some((qty, _)) = row["take"].split_once(' ') else { continue };
        *told.entry(row["part"].clone()).or_default() += number(qty);
    }
    let mut expected: BTreeMap<String, f64> = BTreeMap::new();
    asked
        .run("07:30")
        .iter()
        .for_each(|pull| *expected.entry(pull["part"].to_owned()).or_default() += number(&pull["qty"]));
    assert!(told.keys().eq(expected.keys()));
    assert!(told.iter().all(|(part, qty)| near(*qty, expected[part])));
}

fn driven<'a>(asked: &'a Asked<'_>) -> BTreeMap<String, Vec<&'a Row>> {
    let mut of_stations: BTreeMap<String, Vec<&Row>> = BTreeMap::new();
    for pull in asked.run("07:30").into_iter().filter(|pull| there(pull)) {
        of_stations.entry(pull["to"].to_owned()).or_default().push(pull);
    }
    of_stations
}

/// The rows of the first table of a driver's page, by station.
fn stations(asked: &Asked<'_>) -> Vec<(String, Told)> {
    let rows = asked.rows("driver 07.30", "labels").into_iter().filter(|row| row.contains_key("heavy lines"));
    rows.map(|row| (row["station"].split(' ').next().expect("a code").to_owned(), row)).collect()
}

fn first_station(asked: &Asked<'_>) {
    let (told, expected) = (stations(asked), driven(asked));
    assert!(told.is_sorted_by_key(|(_, row)| row["needed"].clone()));
    for (station, row) in &told {
        let first = expected[station].iter().map(|pull| &pull["need"]).min();
        assert_eq!(Some(&*row["needed"]), first, "{station}");
    }
    assert_eq!(told.len(), expected.len());
}

fn kits(asked: &Asked<'_>) {
    let expected = driven(asked);
    for (station, row) in stations(asked) {
        let units: BTreeSet<&str> =
            expected[&station].iter().map(|pull| &pull["unit"]).filter(|unit| !unit.is_empty()).collect();
        let told = if row["kits"].is_empty() { 0 } else { row["kits"].parse().expect("a number") };
        assert_eq!(units.len(), told, "{station}");
    }
}

fn kilograms(asked: &Asked<'_>) {
    let expected = driven(asked);
    for (station, row) in stations(asked) {
        let weights: Vec<Option<f64>> =
            expected[&station].iter().map(|pull| Some(asked.weight(&pull["part"])? * number(&pull["qty"]))).collect();
        if weights.iter().all(Option::is_none) {
            assert_eq!(row["kg"], "not known", "{station}");
            continue;
        }
        let all: f64 = weights.into_iter().flatten().sum();
        assert!((number(&row["kg"]) - all).abs() < 1e-3, "{station}: {row:?} {all}");
    }
}

fn special_runs(asked: &Asked<'_>) {
    let rows = asked.table("consequences");
    let (mut seen, mut named) = (0, 0);
    for told in
        asked.rows("driver 09.30", "at the last").into_iter().filter(|row| row["from"].starts_with("special run"))
    {
        let what = &told["what, for whom and where to"];
        named += what.matches(" for AF").count();
        for row in rows {
            let whose = format!(" for {} at {}", &row["unit"], &row["to"]);
            if what.contains(&format!(" {} ", &row["part"])) && what.contains(&whose) {
                assert_eq!(*told["at the last"], row["saves_until"]);
                seen += 1;
            }
        }
    }
    assert!(seen > 0 && seen == named, "{seen} of {named}");
}

fn from_the_shops(asked: &Asked<'_>) {
    let jobs = asked.table("jobs");
    let told = asked.rows("from the shops", "how it stands").into_iter().filter(|row| row.contains_key("from"));
    let mut seen = 0;
    for told in told {
        let same = |job: &&Row| {
            job["shop"] == *told["from"]
                && job["unit"] == *told["unit"]
                && job["part"] == *told["part"]
                && job["to"] == *told["to"]
        };
        assert!(jobs.iter().filter(same).any(|job| job["there_at"] == *told["comes"]), "{told:?}");
        seen += 1;
    }
    let today = jobs.iter().filter(|job| job["there_at"].starts_with(DAY)).count();
    assert!(seen >= today && today > 0, "{seen} of {today}");
}

/// At each station units come in the order in which they enter the line.
fn in_line_order(asked: &Asked<'_>) {
    let enters: BTreeMap<String, String> =
        asked.table("units").iter().map(|row| (row["unit"].to_owned(), row["enters"].to_owned())).collect();
    let mut of_stations: BTreeMap<String, BTreeMap<u32, String>> = BTreeMap::new();
    let mut seen = 0;
    for row in asked.rows("in line order", "place").into_iter().filter(|row| row["place"] != "place") {
        of_stations
            .entry(row["station"].clone())
            .or_default()
            .insert(row["place"].parse().expect("a number"), row["unit"].clone());
        seen += 1;
    }
    for (station, units) in of_stations {
        assert!(units.keys().copied().eq(1..=units.len() as u32), "{station}");
        assert!(units.values().map(|unit| &enters[unit]).is_sorted(), "{station}: {units:?}");
    }
    assert_eq!(seen, asked.pulls().filter(|pull| pull["issue"] == *"sequence").count());
}

/// Whole packs, as many as the book says that a pack holds.
fn packs(asked: &Asked<'_>) {
    let parts: BTreeMap<String, String> =
        asked.of_book("Parts").iter().map(|row| (row["part"].to_owned(), row["pack quantity"].to_owned())).collect();
    let mut told: BTreeMap<(String, String, String), f64> = BTreeMap::new();
    for row in asked.rows("bulk", "packs") {
        let qty = number(row["qty"].split(' ').next().expect("a number"));
        if let Ok(pack) = parts[&row["part"]].parse::<f64>() {
            assert!(near(number(&row["packs"]) * pack, qty), "{row:?}: {pack}");
        }
        *told.entry((row["run"].clone(), row["to"].clone(), row["part"].clone())).or_default() += qty;
    }
    let pulls = asked.pulls().filter(|pull| pull["issue"] == *"bulk");
    let expected: BTreeMap<(String, String, String), f64> = pulls
        .map(|pull| {
            ((pull["wave"][11..16].to_owned(), pull["to"].to_owned(), pull["part"].to_owned()), number(&pull["qty"]))
        })
        .collect();
    assert_eq!(told, expected);
}
