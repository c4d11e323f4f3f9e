//! The buyer's figures of what lies ahead: past the sequence, changes still to come, first builds; and stock that quality holds.

use super::shortages::waiting;
use crate::oracle::clock::{DAY, day_of};
use crate::oracle::plant::Source;
use crate::oracle::sheets::key;
use crate::questions::asked::{Asked, Row, near, number, seconds};
use std::collections::{BTreeMap, BTreeSet};

/// Each order for what is forecast, as its table has it; rounded up to what is counted, or to the nearest.
pub fn past(asked: &Asked<'_>, sheet: &str) -> usize {
    let rows = asked.maybe_rows(sheet, "nearly all");
    let ordered: Vec<&Row> = asked.table("outlook").iter().filter(|row| row["to_order"] != *"0").collect();
    if !asked.texts(sheet).contains(" more, to be placed later: ") {
        assert_eq!(rows.len(), ordered.len());
    }
    let today = day_of(seconds(&asked.tables.as_of));
    for row in &rows {
        let own = |known: &&&Row| {
            known["part"] == *row["part"] && known["from"] == *row["for units from"] && known["to"] == *row["to"]
        };
        let known = ordered.iter().find(own).unwrap_or_else(|| panic!("{row:?}"));
        let part = &asked.tables.plant.parts[&key(&row["part"])];
        let step = |decimals: u32| 10_f64.powi(-(decimals.min(6) as i32));
        let up = |column: &str| (number(&known[column]) / step(part.decimals) - 1e-7).ceil() * step(part.decimals);
        assert!(near(number(&row["half"]), up("half")), "{row:?}: {known:?}");
        assert!(near(number(&row["nearly all"]), up("nearly_all")), "{row:?}: {known:?}");
        assert_eq!(row["order qty"], known["to_order"], "{row:?}");
        let half = |decimals: u32| step(decimals) / 2.0 + 1e-6;
        let off = |heading: &str, column: &str| (number(&row[heading]) - number(&known[column])).abs();
        assert!(off("mean", "mean") <= half(part.decimals.max(1)), "{row:?}: {known:?}");
        assert!(off("left", "left") <= half(part.decimals), "{row:?}: {known:?}");
        // The last day on which the stores are open up to that of the table, today where that is closed.
        let by = day_of(seconds(&known["order_by"]));
        let open = |day: &i64| asked.tables.plant.stores().first_moment(*day).is_some();
        let mut acted = by;
        while by >= today && acted > today && !open(&acted) {
            acted -= 1;
        }
        if by >= today {
            assert_eq!(day_of(seconds(&row["order by"])), acted, "{row:?}: {known:?}");
        }
        let inside = row["lead time"].starts_with("inside lead time");
        assert_eq!(inside, by < today, "{row:?}");
        assert!(row["lead time"].ends_with(&format!(", {} days", part.lead_days)), "{row:?}");
        let price = asked.row("Parts", "part", &row["part"])["cost"].to_owned();
        match price.is_empty() {
            true => assert!(Asked::money(row, "cost").parse::<f64>().is_err(), "{row:?}"),
            false => {
                let cost = number(&price) * number(&row["order qty"]);
                assert!((number(Asked::money(row, "cost")) - cost).abs() < 1e-4, "{row:?}: {cost}");
            }
        }
    }
    rows.len()
}

/// What is left of a bought part when the sequence has ended, its planned orders left out; `None` where nothing happens to it.
fn left(asked: &Asked<'_>, part: &str) -> Option<f64> {
    let days = || asked.table("balances").iter().filter(|day| day["part"] == *part);
    let planned: f64 =
        days().filter(|day| !day["planned_receipt"].is_empty()).map(|day| number(&day["planned_receipt"])).sum();
    days().next_back().map(|day| number(&day["available"]) - planned)
}

/// As the book says it: what is left and short of what goes out, and what that costs. A beginning enters when its unit does.
pub fn run_out(asked: &Asked<'_>, sheet: &str) -> usize {
    let rows = asked.maybe_rows(sheet, "left of what goes out");
    let mut seen = 0;
    for row in rows.iter().filter(|row| row["begun with"] != "begun with") {
        let unit = asked.table("units").iter().find(|unit| unit["unit"] == *row["begun with"]);
        assert_eq!(row["enters"], unit.map_or(String::new(), |unit| unit["enters"].to_owned()), "{row:?}");
        let as_it_is = row["begun with"] == "as it is";
        assert_eq!(as_it_is, row["mark"].contains("as the book says"), "{row:?}");
        seen += 1;
        if !as_it_is {
            continue;
        }
        let (mut cost, mut whole) = (0.0, true);
        for (heading, sign) in [("left of what goes out", 1.0), ("short of what goes out", -1.0)] {
            for told in row[heading].split("; ").filter(|told| !told.is_empty()) {
                let words: Vec<&str> = told.split(' ').collect();
                let [part, qty, ..] = words[..] else { continue };
                if part == "and" || !asked.tables.plant.parts.contains_key(&key(part)) {
                    whole = false;
                    continue;
                }
                if let Some(left) = left(asked, part) {
                    assert!(near(number(qty) * sign, left), "{row:?}: {part} {left}");
                }
                let price = asked.row("Parts", "part", part).get("cost").unwrap_or("");
                if sign > 0.0 && !price.is_empty() {
                    cost += number(price) * number(qty);
                }
            }
        }
        if whole && !Asked::money(row, "at cost").is_empty() {
            assert!((number(Asked::money(row, "at cost")) - cost).abs() < 1e-4, "{row:?}: {cost}");
        }
    }
    seen
}

/// What the first need of a new part is, what there is of it, and what the book does not say of it.
pub fn first_builds(asked: &Asked<'_>, sheet: &str) -> usize {
    let rows = asked.maybe_rows(sheet, "what is missing");
    let plant = &asked.tables.plant;
    let rows: Vec<_> = rows.iter().filter(|row| row["part"] != "part").collect();
    for row in &rows {
        let part = &plant.parts[&key(&row["part"])];
        let pegs = asked.pegs(&row["part"]);
        let first = pegs.first();
        assert_eq!(row["needed"], first.map_or("", |peg| &peg["need"]), "{row:?}");
        let whose = first.map_or("", |peg| &peg["unit"]);
        assert_eq!(row["by"], whose, "{row:?}");
        let bought = part.source == Source::Buy;
        let usable = |stock: &crate::oracle::plant::StockRow| {
            let loose = part.source != Source::Make || !plant.is_configured(&key(&row["part"]));
            plant.stock_counts(stock) && (stock.unit.is_some() || loose)
        };
        let stock = plant.stock.iter().filter(|stock| stock.part == key(&row["part"]) && usable(stock));
        let stock: f64 = stock.map(|stock| stock.qty as f64 / 1e6).sum();
        assert!(near(number(&row["in stock"]), stock), "{row:?}: {stock}");
        let open = plant.receipts.iter().filter(|receipt| bought && receipt.part == key(&row["part"]));
        let open: f64 = open.map(|receipt| receipt.qty as f64 / 1e6).sum();
        if bought {
            assert!(near(number(&row["open"]), open), "{row:?}: {open}");
        }
        let comes = pegs.iter().filter(|peg| peg["cover"] == *"receipt").map(|peg| peg["available"].to_owned()).min();
        assert_eq!(row["first comes"], comes.unwrap_or_default(), "{row:?}");
        let of_first: Vec<&Row> = first.map_or(Vec::new(), |first| {
            let same = |peg: &&Row| ["need", "unit", "to"].iter().all(|column| peg[column] == first[column]);
            pegs.iter().take_while(same).collect()
        });
        let short = of_first.iter().any(|peg| peg["cover"] == *"none");
        let late = !short && of_first.iter().any(|peg| peg["late_minutes"] != *"0");
        let known = asked.row("Parts", "part", &row["part"]);
        let says = |words: &str| row["what is missing"].contains(words);
        if bought {
            let none = stock == 0.0 && open == 0.0;
            assert_eq!(says("nothing in stock or on order"), short && none, "{row:?}");
            assert_eq!(says("the first piece is short"), short && !none, "{row:?}");
            assert_eq!(says("the first piece comes late"), late, "{row:?}");
            assert_eq!(says("weight not known"), known.get("weight").is_none_or(str::is_empty), "{row:?}");
            assert_eq!(says("no supplier"), known.get("supplier").is_none_or(str::is_empty), "{row:?}");
            assert_eq!(says("lead days not known"), part.lead_days == 0, "{row:?}");
            let by = first.map(|peg| day_of(seconds(&peg["need"])) - part.lead_days);
            let inside = by.is_some_and(|by| by < day_of(seconds(&asked.tables.as_of)));
            assert_eq!(says("inside lead time"), short && part.lead_days > 0 && inside, "{row:?}");
            assert_eq!(row["order by"].is_empty(), part.lead_days == 0 || !(short || late), "{row:?}");
            if !row["order by"].is_empty() {
                let told = day_of(seconds(&row["order by"]));
                assert!(told <= by.expect("a need") || told == seconds(&asked.tables.as_of) / DAY, "{row:?}");
            }
        }
        assert_eq!(row["kg"].is_empty(), known.get("weight").is_none_or(str::is_empty), "{row:?}");
    }
    rows.len()
}

/// Of each part of which quality holds some: whether anything waits for it, since when, and for how much.
pub fn on_hold(asked: &Asked<'_>, sheet: &str) -> usize {
    let rows = asked.maybe_rows(sheet, "why it is on hold");
    let held = |row: &&Row| {
        !["", "no", "n", "false", "0", "-"].contains(&row.get("hold").unwrap_or("").trim().to_lowercase().as_str())
    };
    let of_book: BTreeSet<String> = asked.of_book("Stock").iter().filter(held).map(|row| key(&row["part"])).collect();
    let mut told: BTreeMap<String, usize> = BTreeMap::new();
    for row in rows.iter().filter(|row| row["part"] != "part") {
        *told.entry(key(&row["part"])).or_default() += 1;
        let own = waiting(asked, &row["part"]);
        assert!(of_book.contains(&key(&row["part"])), "{row:?}");
        assert_eq!(row["first need"], own.first().map_or("", |peg| &peg["need"]), "{row:?}");
        let waits: f64 = own.iter().map(|peg| number(&peg["qty"])).sum();
        let qty = if row["qty that waits"].is_empty() { 0.0 } else { number(&row["qty that waits"]) };
        assert!(near(qty, waits), "{row:?}: {waits}");
        let short = own.iter().any(|peg| peg["cover"] == *"none");
        assert_eq!(row["late or short"].is_empty(), own.is_empty(), "{row:?}");
        assert_eq!(row["late or short"].contains("short"), short, "{row:?}");
    }
    told.len()
}
