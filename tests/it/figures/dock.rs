//! What comes to the stores and what of it is waited for: the dock, what is owed, and bins whose count matters.

use super::pull_list::of_nobody;
use super::stores::Load;
use super::takes::to_millionths;
use crate::oracle::clock::{DAY, day_of, print};
use crate::oracle::numbers::{Millionths, decimal, millionths, print as told};
use crate::oracle::plant::Source;
use crate::oracle::sheets::key;
use crate::oracle::waves::wave_before;
use crate::questions::asked::{Asked, Row, Told, near, number, seconds, short, whole};
use std::collections::{BTreeMap, BTreeSet};

/// What something waits for up to the end of the day: pieces of receipts, by order, part and moment.
#[derive(Default)]
pub struct Waits {
    need: String,
    straight: f64,
    stores: f64,
    /// When the first run is picked that takes some of it from the stores.
    pub picked: Option<i64>,
    last: Option<String>,
    all: f64,
}

impl Waits {
    /// What goes into the stores.
    pub fn to_stores(&self) -> Millionths {
        to_millionths(self.stores)
    }
}

/// Pieces by order, part and moment; and those of which the table of the consequences does not say which of several alike is meant.
type AllWaits = (BTreeMap<[String; 3], Waits>, BTreeSet<[String; 3]>);

/// What comes by the end of the day and is waited for.
pub fn waits(asked: &Asked<'_>) -> AllWaits {
    let day = &*asked.tables.day;
    let mut saves: BTreeMap<[&str; 3], BTreeSet<&str>> = BTreeMap::new();
    for row in asked.table("consequences") {
        saves.entry(["part", "unit", "to"].map(|column| &row[column])).or_default().insert(&row["saves_until"]);
    }
    let mut expected: BTreeMap<[String; 3], Waits> = BTreeMap::new();
    let mut twice = BTreeSet::new();
    for peg in asked.all_pegs().filter(|peg| peg["cover"] == *"receipt" && peg["available"][..10] <= *day) {
        let wave = wave_before(&asked.tables.plant, seconds(&peg["need"]));
        let straight = seconds(&peg["available"]) > wave.pick_start;
        if !straight && print(wave.clock)[..10] > *day {
            continue;
        }
        let of = [peg["source"].to_lowercase(), peg["part"].to_owned(), peg["available"].to_owned()];
        let waits = expected.entry(of.clone()).or_default();
        let qty = number(&peg["qty"]);
        waits.all += qty;
        if waits.need.is_empty() || peg["need"] < *waits.need {
            waits.need = peg["need"].to_owned();
        }
        if straight {
            waits.straight += qty;
            let own = saves.get(&["part", "unit", "to"].map(|column| &peg[column]));
            // Of several pieces alike the table does not say which is meant, and of one that nothing waits for nothing.
            match own.filter(|own| own.len() == 1).and_then(BTreeSet::first) {
                Some(at) => {
                    waits.last =
                        waits.last.take().into_iter().chain([(*at).to_owned()]).filter(|at| !at.is_empty()).min()
                }
                None => _ = twice.insert(of),
            }
        } else {
            waits.stores += qty;
            waits.picked = waits.picked.into_iter().chain([wave.pick_start]).min();
        }
    }
    (expected, twice)
}

/// The dock's page.
pub fn dock(asked: &Asked<'_>, sheet: &str) -> usize {
    let rows = asked.maybe_rows(sheet, "straight to");
    let rows: Vec<&Told> = rows.iter().filter(|row| row.contains_key("to the stores")).collect();
    let (expected, twice) = waits(asked);
    if !asked.texts(sheet).contains(" more, needed later: see tables/pegs") {
        assert_eq!(rows.len(), expected.len());
    }
    assert!(rows.is_sorted_by_key(|row| &row["needed"]), "{rows:?}");
    for row in &rows {
        let of = [row["purchase order"].to_lowercase(), row["part"].clone(), row["comes"].clone()];
        let waits = expected.get(&of).unwrap_or_else(|| panic!("{row:?}"));
        let first = |told: &str| told.split(' ').next().filter(|told| !told.is_empty()).map_or(0.0, number);
        let open = open(asked, &row["purchase order"], &row["part"], &row["comes"]);
        let part = &asked.tables.plant.parts[&key(&row["part"])];
        let step = 10_f64.powi(-(part.decimals.min(6) as i32));
        // Rounded up to what can be sent, and no more than is open.
        let sent = |qty: f64| ((qty / step - 1e-7).ceil() * step).min(open);
        assert_eq!(row["needed"], waits.need, "{row:?}");
        assert!(near(first(&row["straight to"]), sent(waits.straight)), "{row:?}: {}", waits.straight);
        assert!(near(first(&row["to the stores"]), sent(waits.stores)), "{row:?}: {}", waits.stores);
        assert_eq!(row["picked from"], waits.picked.map_or(String::new(), print), "{row:?}");
        if !twice.contains(&of) {
            assert_eq!(row["at the last"], waits.last.clone().unwrap_or_default(), "{row:?}");
        }
        let mut load = Load::default();
        load.add(asked, &row["part"], waits.all);
        assert!(load.is_told(&row["kg"]), "{row:?}");
        assert_eq!(row["promised"], promise(asked, &row["purchase order"], &row["part"], &row["comes"]), "{row:?}");
    }
    rows.len()
}

/// What is open of an order and a part at a moment.
fn open(asked: &Asked<'_>, order: &str, part: &str, comes: &str) -> f64 {
    let own = asked
        .tables
        .plant
        .receipts
        .iter()
        .filter(|row| key(&row.order) == key(order) && row.part == key(part) && row.available == seconds(comes));
    own.map(|row| row.qty as f64 / 1e6).sum()
}

/// What is said of the moment of a delivery: nobody promised it where one of its rows is overdue, says a day only or is denied.
pub fn promise(asked: &Asked<'_>, order: &str, part: &str, comes: &str) -> String {
    let plant = &asked.tables.plant;
    let as_of = seconds(&asked.tables.as_of);
    // Both in the order of the sheet, without parts that the book does not know.
    let known = asked.of_book("Receipts").iter().filter(|row| plant.parts.contains_key(&key(&row["part"])));
    let own = known.zip(&plant.receipts).filter(|(_, receipt)| {
        key(&receipt.order) == key(order) && receipt.part == key(part) && receipt.available == seconds(comes)
    });
    let (mut overdue, mut day_only, mut denied, mut confirmed) = (false, false, false, true);
    for (row, _) in own {
        let due = crate::oracle::clock::moment(&row["due"]).expect("a moment");
        overdue |= if due.has_time { due.clock < as_of } else { day_of(due.clock) < day_of(as_of) };
        day_only |= !due.has_time;
        denied |= row.get("confirmed").is_some_and(|told| told.trim() == "no");
        confirmed &= row.get("confirmed").is_some_and(|told| told.trim() == "yes");
    }
    match (overdue, day_only, denied) {
        (true, ..) => "overdue, not promised",
        (_, true, true) => "day only, not confirmed",
        (_, true, false) => "day only",
        (_, false, true) => "not confirmed",
        _ if confirmed => "confirmed",
        _ => "",
    }
    .to_owned()
}

/// The bins of which a small miscount makes somebody lack a part: over the needs up to the last count day the least of what lies in the stores
/// and has come, less what was drawn.
pub fn bins(asked: &Asked<'_>, sheet: &str) -> usize {
    let rows = asked.maybe_rows(sheet, "first to lack it");
    let plant = &asked.tables.plant;
    let mut settings = asked.of_book("Settings").iter();
    let days = settings.rfind(|row| row["key"] == *"count days").map_or(3, |row| whole(&row["value"]));
    let mut day = day_of(seconds(&asked.tables.as_of));
    for _ in 0..days {
        day += 1;
        while plant.stores().first_moment(day).is_none() {
            day += 1;
        }
    }
    let until = print((day + 1) * DAY);
    let mut expected: Vec<(i128, String, String, [String; 3])> = Vec::new();
    for (code, part) in plant.parts.iter().filter(|(_, part)| part.source == Source::Buy) {
        let loose = plant.stock.iter().filter(|row| row.part == *code && row.unit.is_none() && row.at.is_none());
        let stores: i128 = loose.map(|row| row.qty).sum();
        if stores <= 0 {
            continue;
        }
        let step = 10_i128.pow(6 - part.decimals.min(6));
        let exact = |qty: &str| millionths(decimal(qty).expect("a number"));
        let mut drawn: Vec<(i128, &Row)> = Vec::new();
        let mut needed = 0;
        let of_stores = |peg: &&Row| ["stock", "receipt", "none"].contains(&&peg["cover"]) && peg["need"] < *until;
        let pegs: Vec<&Row> = asked.pegs(&part.code).iter().filter(of_stores).collect();
        for same in pegs.chunk_by(|one, other| ["need", "unit", "to"].iter().all(|column| one[column] == other[column]))
        {
            needed += same.iter().map(|peg| exact(&peg["qty"])).sum::<i128>();
            let come =
                plant.receipts.iter().filter(|row| row.part == *code && row.available <= seconds(&same[0]["need"]));
            drawn.push((stores + come.map(|row| row.qty).sum::<i128>() - needed, same[0]));
        }
        let Some(margin) = drawn.iter().map(|(left, _)| *left).min() else { continue };
        if margin < 0 || margin >= stores {
            continue;
        }
        let gone = (margin + step).min(stores);
        let first = drawn.iter().find(|(left, _)| *left < gone).expect("somebody lacks it").1;
        let whose = if first["unit"].is_empty() { "no unit" } else { &first["unit"] };
        let cells = [
            format!("{} {}", told(stores), part.uom),
            format!("{} {}", told(margin / step * step), part.uom),
            format!("{whose} at {}, ", &first["to"]),
        ];
        expected.push((margin, first["need"].to_owned(), part.code.to_lowercase(), cells));
    }
    expected.sort();
    assert_eq!(rows.len(), expected.len().min(20), "{expected:#?}");
    for (row, (.., part, [stores, margin, first])) in rows.iter().zip(&expected) {
        assert_eq!([&row["part"].to_lowercase(), &row["by the book"], &row["may be wrong by"]], [part, stores, margin]);
        assert!(row["first to lack it"].starts_with(first), "{row:?}: {first}");
    }
    rows.len()
}

/// What is owed: when, how it stands and with which run it goes, by its pegs.
pub fn owed(asked: &Asked<'_>, sheet: &str) -> usize {
    let rows = asked.maybe_rows(sheet, "why it is owed");
    let rows: Vec<&Told> = rows.iter().filter(|row| row.contains_key("goes with")).collect();
    let mut seen = 0;
    for row in rows.iter().filter(|row| row["how it stands"] != "set aside") {
        let own = |peg: &&Row| {
            peg["unit"] == *of_nobody(&row["unit"]) && peg["to"] == *row["to"] && peg["need"] == *row["needed"]
        };
        let pegs: Vec<&Row> = asked.pegs(&row["part"]).iter().filter(own).collect();
        assert!(!pegs.is_empty(), "{row:?}");
        let short_of = pegs.iter().any(|peg| peg["cover"] == *"none");
        let late = pegs.iter().any(|peg| peg["late_minutes"] != *"0");
        let stands = if short_of {
            "short"
        } else if late {
            "late"
        } else {
            "in time"
        };
        assert_eq!(row["how it stands"], stands, "{row:?}: {pegs:?}");
        let stores = pegs.iter().any(|peg| !["by-product", "lineside", "job"].contains(&&peg["cover"]));
        let run = stores.then(|| print(wave_before(&asked.tables.plant, seconds(&row["needed"])).clock));
        let run = run.map_or(String::new(), |run| {
            let day = if run[..10] == *asked.tables.day { String::new() } else { format!(", {}", &short(&run)[..10]) };
            format!("the {} run{day}", &run[11..16])
        });
        assert!(row["goes with"].trim_end() == run.trim_end(), "{row:?}: {run}");
        for peg in pegs.iter().take(2) {
            let words = match &peg["cover"] {
                "by-product" => "comes off the unit".to_owned(),
                "reserved" => "reserved stock".to_owned(),
                "lineside" => "lies there already".to_owned(),
                "stock" => "stock".to_owned(),
                "receipt" => format!("order {}, {}", &peg["source"], short(&peg["available"])),
                "job" => short(&peg["available"]),
                _ => "nothing covers it".to_owned(),
            };
            assert!(row["where it comes from"].contains(&words), "{row:?}: {words}");
        }
        seen += 1;
    }
    seen
}
