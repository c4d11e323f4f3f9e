//! The pull list's figures.

use super::How::{Anew, By, For};
use super::{
    Figures, OF_THE_BOOK, ROOM, day_work, dock, driver, in_order, labels, missed, notes, stores, takes, walks,
    whole_plan,
};
use crate::oracle::sheets::key;
use crate::questions::asked::{Asked, Row, Told, clock, minutes_up, near, number, seconds};
use std::collections::{BTreeMap, BTreeSet};

pub const LIST: &[Figures] = &[
    ("front", "run|pulls|kits|bulk|not whole when picked", Anew(runs)),
    ("front", "picking starts|kg|zones walked", Anew(stores::front)),
    ("front", "what is wrong|unit|part|to|qty|needed|comes|minutes late", Anew(wrong)),
    ("front", "what it does", By(&["the_front_says_whether_the_day_works", "a_heavy_piece_is_marked_on_all_paper"])),
    ("front", "why", By(&["the_front_says_whether_the_day_works"])),
    ("front", "description", OF_THE_BOOK),
    ("front", "plant|what this is|day|as of|the book", For("the book's and the command's own words")),
    ("front", "the sequence ends|units", By(&["the_front_says_whether_the_day_works"])),
    ("front", "the line|the line loses", Anew(whole_plan::the_line)),
    ("overdue and owed", "done", ROOM),
    ("overdue and owed", "run that has left|part|qty|uom|unit|to|needed|how it stands", Anew(overdue)),
    ("overdue and owed", "description|why it is owed", OF_THE_BOOK),
    ("overdue and owed", "goes with|where it comes from", Anew(dock::owed)),
    ("the line", "at|unit|unit arrives|what it does|what is not there|comes|at the last|fit by", Anew(the_line)),
    ("the line", "position", OF_THE_BOOK),
    (
        "the line",
        "where it is now|who brings it",
        For("the cover of the same piece in words; its moment and its effect are worked out"),
    ),
    ("the line", "decided|agreed with", ROOM),
    ("the day's work", "run|picked from|leaves|stops|walks|kits|kg|pickers|begin by", Anew(stores::work_of_runs)),
    ("the day's work", "zone|a run", Anew(day_work::zones)),
    ("the day's work", "part|location|kg each|today|to|with the runs", Anew(day_work::heavy)),
    ("the day's work", "part|location|empty after|next comes|how much|purchase order|promised", Anew(day_work::empty)),
    ("the day's work", "part|picked from|comes|how much of it|promised", Anew(day_work::resting)),
    ("the day's work", "description|supplier", OF_THE_BOOK),
    ("the dock", "sent", ROOM),
    ("the dock", "needed|comes|promised|straight to|at the last|to the stores|picked from|kg", Anew(dock::dock)),
    ("the dock", "mind", By(&["a_heavy_piece_is_marked_on_all_paper"])),
    ("the dock", "supplier|purchase order|part|description", OF_THE_BOOK),
    ("not pulled", "run|part|qty|uom|unit|to|needed|how it stands|comes|minutes late", Anew(not_pulled)),
    ("not pulled", "description|on hold (quality decides)", OF_THE_BOOK),
    (
        "not pulled",
        "why|what would help",
        For("the cover of the same piece in words; its moment and its minutes are worked out"),
    ),
    ("walks", "stop|location|take|part", Anew(stores::taken)),
    ("walks", "took", ROOM),
    ("walks", "for", Anew(walks::for_whom)),
    ("walks", "for|mind", Anew(walks::not_there)),
    ("walks", "mind", Anew(notes::to_mind)),
    ("labels", "unit|station|needed", Anew(labels::labels)),
    ("walks", "kits short|counted|who|when", ROOM),
    ("walks", "no|short", ROOM),
    ("misses", "run|walk|stop|short|counted|who|as of|day|the book|units set aside|walks", Anew(missed::read_back)),
    ("cards", "part|qty|kg", Anew(stores::cards)),
    ("cards", "in it", ROOM),
    (
        "cards",
        "location|description|uom",
        For("the places of the same takes as on the sheet of stops, and the book's own texts"),
    ),
    ("driver", "brought|done", ROOM),
    (
        "driver",
        "needed|station|unit arrives|kits|labels|lines in line order|lines of bulk|kg|heavy lines",
        Anew(driver::stations),
    ),
    ("driver", "at the last|from|there|what, for whom and where to|needed|note", Anew(driver::trips)),
    ("in line order", "there", ROOM),
    ("in line order", "station|unit|qty|part", Anew(in_line_order)),
    ("in line order", "place|run|needed|location|mind", Anew(in_order::in_line_order)),
    ("bulk", "there", ROOM),
    ("bulk", "run|to|part|qty|packs", Anew(bulk)),
    ("bulk", "first unit|needed|location|mind", Anew(in_order::bulk)),
    ("from the shops", "there", ROOM),
    (
        "from the shops",
        "comes|from|part|qty|unit|to|needed|slack, min|how it stands|minutes late",
        Anew(from_the_shops),
    ),
    ("from the shops", "description|uom", OF_THE_BOOK),
    ("from the shops", "comes off|goes to|unit|part|qty|how it stands|needed", Anew(whole_plan::comes_off)),
    ("bins to count", "part|by the book|may be wrong by|first to lack it", Anew(dock::bins)),
    (
        "bins to count",
        "location|because|then the line loses more",
        By(&["a_margin_stops_nobody_and_one_step_more_does", "the_sheet_says_why_and_what_it_costs"]),
    ),
    ("bins to count", "description", OF_THE_BOOK),
    ("bins to count", "counted|by, when", ROOM),
    ("kits", "all there", ROOM),
    ("kits", "run|station|unit|needed|lines|kg|weight not known (lines)|what is not in it", Anew(stores::kits)),
    ("kits", "floorplan", OF_THE_BOOK),
    ("stops", "done|was not there", ROOM),
    ("stops", "zone|location|part|bin before|take|left|what to know|kg each|kg", Anew(stores::stops)),
    ("stops", "goes to", Anew(takes::goes_to)),
    ("stops", "what to know", Anew(notes::to_know)),
    ("stops", "description|uom", OF_THE_BOOK),
];

/// What is for nobody has no unit in the tables.
pub fn of_nobody(unit: &str) -> &str {
    if unit == "no unit" { "" } else { unit }
}

fn is_there(pull: &Row) -> bool {
    ["ready", "arriving"].contains(&&pull["status"])
}

/// The runs of the day, and what is overdue, by the name that sheets have for them.
pub fn by_name<'a>(asked: &'a Asked<'_>) -> BTreeMap<String, Vec<&'a Row>> {
    let mut found: BTreeMap<String, Vec<&Row>> = BTreeMap::new();
    for (wave, pulls) in asked.listed_pulls() {
        let name = if asked.overdue(wave) { "overdue".to_owned() } else { format!("the {} run", clock(wave)) };
        found.entry(name).or_default().extend(pulls);
    }
    found
}

fn runs(asked: &Asked<'_>, sheet: &str) -> usize {
    let (by_name, rows) = (by_name(asked), asked.maybe_rows(sheet, "pulls"));
    let count = |pulls: &[&Row]| {
        let kits: BTreeSet<(&str, &str, &str)> = pulls
            .iter()
            .filter(|pull| pull["issue"] != *"bulk")
            .map(|pull| (&pull["wave"], &pull["unit"], &pull["to"]))
            .collect();
        let bulk = pulls.iter().filter(|pull| pull["issue"] == *"bulk").count();
        let open = pulls.iter().filter(|pull| !is_there(pull)).count();
        [pulls.len(), kits.len(), bulk, open].map(|number| number.to_string())
    };
    for row in rows.iter().filter(|row| row["run"] != "all") {
        let pulls = by_name.get(&row["run"]).map_or(&[][..], Vec::as_slice);
        let told = ["pulls", "kits", "bulk", "not whole when picked"].map(|heading| row[heading].clone());
        let [pulled, _, bulk, open] = count(pulls);
        assert_eq!([&told[0], &told[2], &told[3]], [&pulled, &bulk, &open], "{row:?}");
        if row["run"] != "overdue" {
            assert_eq!(told, count(pulls), "{row:?}: {pulls:#?}");
        }
    }
    rows.len()
}

/// The pulls that are not whole, with what is told of each of their pieces.
fn not_pulled(asked: &Asked<'_>, sheet: &str) -> usize {
    let rows = asked.maybe_rows(sheet, "what would help");
    if asked.texts(sheet).contains("more: see tables/pulls") {
        return 0;
    }
    let key = |row: &Told| ["run", "part", "unit", "to"].map(|heading| of_nobody(&row[heading]).to_lowercase());
    let told: BTreeSet<[String; 4]> = rows.iter().map(key).collect();
    let mut expected = BTreeSet::new();
    for (name, pulls) in by_name(asked) {
        for pull in pulls.into_iter().filter(|pull| !is_there(pull)) {
            let [part, unit, to] = ["part", "unit", "to"].map(|column| pull[column].to_lowercase());
            expected.insert([name.to_lowercase(), part, unit, to]);
        }
    }
    assert_eq!(told, expected);
    rows.iter().for_each(|row| piece(asked, row));
    rows.len()
}

/// A piece is late by what its cover comes after its need.
fn piece(asked: &Asked<'_>, row: &Told) {
    let own = |peg: &&Row| peg["to"] == *row["to"] && peg["need"] == *row["needed"];
    let own: Vec<&Row> = asked.pegs(&row["part"]).iter().filter(own).collect();
    assert!(!own.is_empty(), "{row:?}");
    if row["comes"].is_empty() {
        // Of what comes off a unit, or from a shop, nothing may say when.
        let unknown = |peg: &&&Row| ["none", "by-product", "job"].contains(&&peg["cover"]);
        assert!(own.iter().any(|peg| unknown(&peg)), "{row:?}");
        assert_eq!(row["minutes late"], "");
        return;
    }
    let late = minutes_up(seconds(&row["comes"]) - seconds(&row["needed"])).max(0);
    assert_eq!(row["minutes late"], if late > 0 { late.to_string() } else { String::new() }, "{row:?}");
}

/// What is wrong today: late or short pieces of the pegs, late jobs as they are there, special runs as they are pulled.
fn wrong(asked: &Asked<'_>, sheet: &str) -> usize {
    let rows = asked.maybe_rows(sheet, "what is wrong");
    let of_pieces = rows
        .iter()
        .filter(|row| !["set aside", "late job"].contains(&&*row["what is wrong"]) && !row["part"].is_empty());
    of_pieces.clone().for_each(|row| piece(asked, row));
    for row in rows.iter().filter(|row| row["what is wrong"] == "late job" && !row["comes"].is_empty()) {
        let there = asked
            .table("jobs")
            .iter()
            .filter(|job| job["part"] == *row["part"] && job["unit"] == *of_nobody(&row["unit"]));
        assert!(there.clone().any(|job| job["there_at"] == *row["comes"]), "{row:?}");
        let late = minutes_up(seconds(&row["comes"]) - seconds(&row["needed"]));
        assert_eq!(row["minutes late"], late.to_string());
    }
    rows.len()
}

fn overdue(asked: &Asked<'_>, sheet: &str) -> usize {
    let columns = ["part", "uom", "unit", "to", "needed", "how it stands"];
    let rows = asked.maybe_rows(sheet, "run that has left");
    let mut told: Vec<[String; 8]> = rows
        .iter()
        .filter(|row| row.contains_key("run that has left"))
        .map(|row| {
            let [part, uom, unit, to, need, state] = columns.map(|column| of_nobody(&row[column]).to_owned());
            [row["run that has left"].clone(), part, row["qty"].clone(), uom, unit, to, need, state]
        })
        .collect();
    let late = asked.listed_pulls().filter(|(wave, _)| asked.overdue(wave)).flat_map(|(_, pulls)| pulls);
    let columns = ["wave", "part", "qty", "uom", "unit", "to", "need", "status"];
    let mut expected: Vec<[String; 8]> = late.map(|pull| columns.map(|column| pull[column].to_owned())).collect();
    // A long list has those that are needed first, and says how many more there are.
    let more = expected.len().saturating_sub(told.len());
    assert_eq!(asked.texts(sheet).contains(&format!("and {more} more, needed later")), more > 0, "{sheet}: {more}");
    expected.sort_by(|one, other| one[6].cmp(&other[6]));
    let needs: Vec<String> = expected.iter().map(|cells| cells[6].clone()).collect();
    let mut shown: Vec<String> = told.iter().map(|cells| cells[6].clone()).collect();
    shown.sort();
    assert_eq!(shown, needs[..shown.len()], "{sheet}");
    told.sort();
    expected.sort();
    if more == 0 {
        assert_eq!(told, expected);
    }
    assert!(told.iter().all(|cells| expected.binary_search(cells).is_ok()), "{sheet}: {told:?}");
    told.len()
}

/// The first rows of the consequences.
fn the_line(asked: &Asked<'_>, sheet: &str) -> usize {
    let rows = asked.maybe_rows(sheet, "at the last");
    for row in &rows {
        let there = if row["comes"] == "no time known" { "" } else { &*row["comes"] };
        let same = |known: &&Row| {
            known["unit"] == *row["unit"]
                && known["to"] == *row["at"]
                && known["arrives"] == *row["unit arrives"]
                && known["word"] == *row["what it does"]
                && known["there_at"] == *there
                && known["saves_until"] == *row["at the last"]
                && row["what is not there"].contains(&format!(" {}", &known["part"]))
        };
        let known: Vec<&Row> = asked.table("consequences").iter().filter(same).collect();
        let fit_by = |known: &&Row| *fit_by(asked, known) == *row["fit by"];
        assert!(known.iter().any(fit_by), "{row:?}: {known:?}");
    }
    rows.len()
}

/// The later station of the unit's line at which a piece can be fitted, by the book; blank where that is none.
fn fit_by<'a>(asked: &'a Asked<'_>, row: &Row) -> &'a str {
    let plant = &asked.tables.plant;
    let last = plant.parts[&key(&row["part"])].fit_by.as_ref().and_then(|station| plant.stations.get(station));
    let own = plant.stations.get(&key(&row["to"]));
    let later = last.zip(own).filter(|(last, own)| last.line == own.line && last.position > own.position);
    later.map_or("", |(last, _)| last.code.as_str())
}

fn sums<'r>(rows: impl Iterator<Item = ([&'r str; 3], f64)>) -> BTreeMap<[String; 3], f64> {
    let mut sums: BTreeMap<[String; 3], f64> = BTreeMap::new();
    rows.for_each(|(of, qty)| *sums.entry(of.map(str::to_owned)).or_default() += qty);
    sums
}

fn alike(told: &BTreeMap<[String; 3], f64>, expected: &BTreeMap<[String; 3], f64>) -> usize {
    assert!(told.keys().eq(expected.keys()), "{told:?}\n{expected:?}");
    assert!(told.iter().all(|(of, qty)| near(*qty, expected[of])), "{told:?}\n{expected:?}");
    told.len()
}

fn in_line_order(asked: &Asked<'_>, sheet: &str) -> usize {
    let rows = asked.maybe_rows(sheet, "place");
    let rows = rows.iter().filter(|row| row["place"] != "place" && !row["part"].is_empty());
    let qty = |told: &str| number(told.split(' ').next().expect("a number"));
    let told = sums(rows.map(|row| ([&*row["station"], of_nobody(&row["unit"]), &*row["part"]], qty(&row["qty"]))));
    let pulls = asked.listed_pulls().flat_map(|(_, pulls)| pulls).filter(|pull| pull["issue"] == *"sequence");
    alike(&told, &sums(pulls.map(|pull| ([&pull["to"], &pull["unit"], &pull["part"]], number(&pull["qty"])))))
}

fn bulk(asked: &Asked<'_>, sheet: &str) -> usize {
    let rows = asked.maybe_rows(sheet, "packs");
    let rows: Vec<&Told> = rows.iter().filter(|row| row["packs"] != "packs" && !row["part"].is_empty()).collect();
    let qty = |told: &str| number(told.split(' ').next().expect("a number"));
    for row in &rows {
        let pack =
            asked.row("Parts", "part", &row["part"]).get("pack quantity").and_then(|pack| pack.parse::<f64>().ok());
        if let Some(pack) = pack.filter(|pack| *pack > 0.0) {
            assert!(near(number(&row["packs"]) * pack, qty(&row["qty"])), "{row:?}: {pack}");
        }
    }
    let told = sums(rows.iter().map(|row| ([&*row["run"], &*row["to"], &*row["part"]], qty(&row["qty"]))));
    let pulls: Vec<(String, &Row)> = asked
        .listed_pulls()
        .flat_map(|(wave, pulls)| pulls.iter().map(move |pull| (wave, pull)))
        .filter(|(_, pull)| pull["issue"] == *"bulk")
        .map(|(wave, pull)| (if asked.overdue(wave) { "overdue".to_owned() } else { clock(wave) }, pull))
        .collect();
    alike(&told, &sums(pulls.iter().map(|(run, pull)| ([&**run, &pull["to"], &pull["part"]], number(&pull["qty"])))))
}

/// Jobs that are there on the day or should be, late material waited for.
fn from_the_shops(asked: &Asked<'_>, sheet: &str) -> usize {
    let rows = asked.maybe_rows(sheet, "slack, min");
    let rows: Vec<&Told> = rows.iter().filter(|row| row.contains_key("slack, min")).collect();
    let day = &asked.tables.day;
    let mut expected: Vec<[String; 9]> = Vec::new();
    for job in asked.table("jobs") {
        let need = asked.peg_of_job(job)["need"].to_owned();
        let there = job["there_at"].to_owned();
        let today = there.starts_with(day.as_str()) || (there.is_empty() || there[..10] > **day) && need[..10] <= **day;
        if !today {
            continue;
        }
        let slack = (!there.is_empty()).then(|| (seconds(&need) - seconds(&there)).div_euclid(60));
        let late = (!there.is_empty()).then(|| minutes_up(seconds(&there) - seconds(&need))).filter(|late| *late > 0);
        let told = |number: Option<i64>| number.map_or(String::new(), |number| number.to_string());
        let comes = if there.is_empty() { "no time known".to_owned() } else { there };
        let [shop, part, qty, unit, to] = ["shop", "part", "qty", "unit", "to"].map(|column| job[column].to_owned());
        expected.push([comes, shop, part, qty, unit, to, need, told(slack.filter(|slack| *slack >= 0)), told(late)]);
    }
    let columns = ["comes", "from", "part", "qty", "unit", "to", "needed", "slack, min", "minutes late"];
    let mut told: Vec<[String; 9]> =
        rows.iter().map(|row| columns.map(|column| of_nobody(&row[column]).to_owned())).collect();
    told.sort();
    expected.sort();
    assert_eq!(told, expected);
    told.len()
}
