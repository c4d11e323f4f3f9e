//! The buyer's lists: what waits, what is open, and what it costs.

use super::asked::{Asked, Row, near, number, seconds, short, whole};
use crate::oracle::clock::{DAY as A_DAY, day_of, print};
use crate::oracle::waves::wave_before;
use std::collections::{BTreeMap, BTreeSet};

const TODAY: &str = "2027-09-13";

/// The pieces of a bought part that are late or short as receipts come.
fn waiting<'a>(asked: &'a Asked<'_>, part: &str) -> Vec<&'a Row> {
    let waits = |peg: &&Row| peg["cover"] == *"none" || peg["cover"] == *"receipt" && peg["late_minutes"] != *"0";
    asked.pegs(part).iter().filter(waits).collect()
}

fn price(asked: &Asked<'_>, part: &str) -> f64 {
    number(&asked.row("Parts", "part", part)["cost"])
}

/// The last day up to another on which the stores work.
pub(super) fn open_day(asked: &Asked<'_>, day: &str) -> String {
    let day = day_of(seconds(day));
    let open = (day - 30..=day).rev().find(|day| asked.tables.plant.stores().first_moment(*day).is_some());
    print(open.expect("an open day") * A_DAY)
}

/// What may wait: nothing of it is short; ordered by that day it comes by the other, and keeps the safety stock.
pub fn routine(asked: &Asked<'_>) {
    let mut seen = 0;
    for row in asked.rows("routine orders", "order by") {
        assert!(waiting(asked, &row["part"]).is_empty(), "{row:?}");
        let planned = |day: &&Row| day["part"] == *row["part"] && !day["planned_release"].is_empty();
        let own: Vec<&Row> = asked.table("balances").iter().filter(planned).collect();
        let qty = row["how many"].split(' ').next().expect("a number");
        let day = own.iter().find(|day| day["planned_receipt"] == *qty).unwrap_or_else(|| panic!("{row:?}: {own:?}"));
        let part = asked.row("Parts", "part", &row["part"]);
        assert_eq!(row["how many"], format!("{qty} {}", &part["uom"]));
        let lead = seconds(&day["date"]) - seconds(&day["planned_release"]);
        assert_eq!(lead, whole(&part["lead days"]) * A_DAY, "{row:?}");
        assert_eq!(date(&row["order by"]), date(&open_day(asked, &day["planned_release"])), "{row:?}");
        assert_eq!(date(&row["there by"]), date(&open_day(asked, &day["date"])), "{row:?}");
        assert!(near(number(&row["cost"]), number(qty) * price(asked, &row["part"])), "{row:?}");
        seen += 1;
    }
    let all = asked.table("balances").iter().filter(|day| !day["planned_release"].is_empty());
    assert_eq!(seen, all.filter(|day| waiting(asked, &day["part"]).is_empty()).count());
}

fn date(time: &str) -> &str {
    &time[..10]
}

/// What is left in stock of a part that goes out, and what that cost: the pieces that nobody takes.
pub fn old_parts(asked: &Asked<'_>) {
    let mut seen = 0;
    for row in asked.rows("changes", "cost of what is left") {
        let stock =
            asked.of_book("Stock").iter().filter(|stock| stock["part"] == *row["part"] && stock["hold"].is_empty());
        let stock: f64 = stock.map(|stock| number(&stock["qty"]).max(0.0)).sum();
        let taken =
            asked.pegs(&row["part"]).iter().filter(|peg| ["stock", "reserved", "lineside"].contains(&&peg["cover"]));
        let left = stock - taken.map(|peg| number(&peg["qty"])).sum::<f64>();
        let goes = row["goes out or comes in"] == "goes out";
        if goes {
            assert!(row["how it stands"].starts_with(&format!("{left} left over in stock")), "{row:?}: {left}");
        }
        let money = if goes && left > 0.0 { left * price(asked, &row["part"]) } else { 0.0 };
        let told = if row["cost of what is left"].is_empty() { 0.0 } else { number(&row["cost of what is left"]) };
        assert!(near(told, money), "{row:?}: {money}");
        seen += usize::from(money > 0.0);
    }
    assert_eq!(seen, 2);
}

/// The pegs of units in order of need and part.
fn of_units<'a>(asked: &'a Asked<'_>, so: impl Fn(&Row) -> bool) -> BTreeMap<&'a str, Vec<&'a Row>> {
    let mut of_units: BTreeMap<&str, Vec<&Row>> = BTreeMap::new();
    asked.all_pegs().filter(|peg| so(peg)).for_each(|peg| of_units.entry(&peg["unit"]).or_default().push(peg));
    of_units.values_mut().for_each(|pegs| pegs.sort_by_key(|peg| (peg["need"].to_owned(), peg["part"].to_lowercase())));
    of_units
}

/// Units that a piece is late or short for, since its need; how many parts, and when the last of them is there.
pub fn waits_since(asked: &Asked<'_>) {
    let late = of_units(asked, |peg| peg["cover"] == *"none" || peg["late_minutes"] != *"0");
    let units: BTreeSet<&str> = asked.table("units").iter().map(|unit| &unit["unit"]).collect();
    let rows = asked.rows("not clear", "waits since");
    let told = rows.iter().filter(|row| !row["waits since"].is_empty());
    for row in told.clone() {
        let pegs = &late[&*row["unit"]];
        let unit = asked.table("units").iter().find(|unit| unit["unit"] == *row["unit"]).expect("a unit");
        let short: Vec<&&Row> = pegs.iter().filter(|peg| peg["cover"] == *"none").collect();
        let first = if short.is_empty() { pegs[0] } else { short[0] };
        assert_eq!((&unit["first_part"], &unit["status"]), (&first["part"], &*row["as promised"]));
        assert_eq!(
            (&*row["first part late or short"], &*row["waits since"]),
            (&first["part"], &first["need"]),
            "{row:?}"
        );
        let parts: BTreeSet<&str> = pegs.iter().map(|peg| &peg["part"]).collect();
        assert_eq!(row["parts late or short"], parts.len().to_string());
        assert_eq!(row["clear at"], unit["clear_at"]);
    }
    assert_eq!(told.count(), late.keys().filter(|unit| units.contains(**unit)).count());
}

/// The same where no receipt counts.
pub fn not_on_hand_since(asked: &Asked<'_>) {
    let waits = |peg: &Row| ["none", "receipt"].contains(&&peg["cover"]) || peg["late_minutes"] != *"0";
    let waits = of_units(asked, waits);
    for row in asked.rows("units", "not on hand since") {
        let Some(pegs) = waits.get(&*row["unit"]) else {
            assert!(row["on hand"] == "clear" || row["as promised"] == "hold", "{row:?}");
            continue;
        };
        assert_eq!((&*row["first part not on hand"], &*row["not on hand since"]), (&pegs[0]["part"], &pegs[0]["need"]));
        let parts: BTreeSet<&str> = pegs.iter().map(|peg| &peg["part"]).collect();
        assert_eq!(row["parts not on hand"], parts.len().to_string(), "{row:?}");
    }
    let all = asked.rows("units", "not on hand since");
    for row in asked.rows("not clear", "not on hand since") {
        let same = all.iter().find(|other| other["unit"] == row["unit"]).expect("the unit");
        assert_eq!(row["not on hand since"], same["not on hand since"]);
    }
}

/// Of each part that is late or short: since when, how much, and of how many units.
pub fn first_need(asked: &Asked<'_>) {
    let rows = asked.rows("shortages", "first need");
    for row in rows.iter().filter(|row| row["part"] != "part") {
        let own = waiting(asked, &row["part"]);
        assert_eq!(Some(&*row["first need"]), own.first().map(|peg| &peg["need"]), "{row:?}");
        assert!(near(number(&row["qty that waits"]), own.iter().map(|peg| number(&peg["qty"])).sum()), "{row:?}");
        let units: BTreeSet<&str> = own.iter().map(|peg| &peg["unit"]).collect();
        assert_eq!(row["units hit"], units.len().to_string());
        let short = own.iter().any(|peg| peg["cover"] == *"none");
        assert_eq!(row["late or short"] == "short", short, "{row:?}");
    }
    let bought: BTreeSet<&str> = bought(asked).into_iter().filter(|part| !waiting(asked, part).is_empty()).collect();
    assert!(
        rows.iter().filter(|row| row["part"] != "part").map(|row| &*row["part"]).collect::<BTreeSet<_>>() == bought
    );
}

fn bought<'a>(asked: &'a Asked<'_>) -> BTreeSet<&'a str> {
    let parts = asked.of_book("Parts").iter();
    parts.filter(|part| ["", "buy"].contains(&&part["source"])).map(|part| &part["part"]).collect()
}

/// Whose pieces wait, and how long by the clock.
pub fn minutes_late(asked: &Asked<'_>) {
    let told: BTreeSet<[String; 6]> = asked
        .rows("who waits", "minutes late")
        .iter()
        .map(|row| ["part", "unit", "at", "need", "waits for", "minutes late"].map(|column| row[column].clone()))
        .collect();
    let row = |peg: &&Row| {
        let late = if peg["cover"] == *"none" { String::new() } else { peg["late_minutes"].to_owned() };
        let [part, unit, to, need, qty] = ["part", "unit", "to", "need", "qty"].map(|column| peg[column].to_owned());
        [part, unit, to, need, qty, late]
    };
    let expected: BTreeSet<_> =
        bought(asked).into_iter().flat_map(|part| waiting(asked, part)).map(|peg| row(&peg)).collect();
    assert_eq!(told, expected);
}

pub fn on_hold(asked: &Asked<'_>) {
    let held = asked.of_book("Stock").iter().filter(|row| !row["hold"].is_empty());
    let held = held.filter(|row| !waiting(asked, &row["part"]).is_empty());
    let held: Vec<_> =
        held.map(|row| ["part", "qty", "location", "hold"].map(|column| row[column].to_owned())).collect();
    let told = asked.rows("on hold", "why it is on hold");
    let columns = ["part", "qty on hold", "where it lies", "why it is on hold"];
    let told: Vec<_> = told.iter().map(|row| columns.map(|column| row[column].clone())).collect();
    assert!(!held.is_empty());
    assert_eq!(told, held);
}

/// Receipts that were due before today, taken as there at 10:00 of the next day on which the stores are open (`receipts at`, `overdue
/// receipts` 1).
pub fn chase(asked: &Asked<'_>) {
    let overdue: BTreeSet<[&str; 2]> = asked
        .of_book("Receipts")
        .iter()
        .filter(|row| row["due"] < *TODAY)
        .map(|row| [&row["purchase order"], &row["part"]])
        .collect();
    let rows = asked.rows("chase", "taken as there");
    assert_eq!(rows.iter().map(|row| [&*row["purchase order"], &*row["part"]]).collect::<BTreeSet<_>>(), overdue);
    for row in rows {
        assert_eq!(row["taken as there"], "2027-09-14T10:00:00");
        let days = day_of(seconds(TODAY)) - day_of(seconds(&row["was due"]));
        assert_eq!(row["days overdue"], days.to_string());
        let own = asked.pegs(&row["part"]).iter().filter(|peg| peg["source"] == *row["purchase order"]);
        assert!(own.clone().all(|peg| peg["available"] == *row["taken as there"]));
        assert!(near(number(&row["of it needed"]), own.map(|peg| number(&peg["qty"])).sum()), "{row:?}");
    }
}

/// So many of an order by the picking of their runs: all pieces, of orders that come after a need, that are not there then.
pub fn bring_forward(asked: &Asked<'_>) {
    let mut expected: BTreeSet<[String; 5]> = BTreeSet::new();
    for part in bought(asked) {
        let orders: BTreeSet<&str> =
            waiting(asked, part).iter().map(|peg| &peg["source"]).filter(|order| !order.is_empty()).collect();
        for order in orders {
            let receipt = |row: &&Row| row["purchase order"] == *order && row["part"] == *part;
            let own: Vec<&Row> = asked.of_book("Receipts").iter().filter(receipt).collect();
            if own.iter().any(|row| row["due"] < *TODAY) {
                continue;
            }
            let open: f64 = own.iter().map(|row| number(&row["qty"])).sum();
            let mut steps: BTreeMap<i64, f64> = BTreeMap::new();
            for peg in asked.pegs(part).iter().filter(|peg| peg["source"] == *order) {
                let picked = wave_before(&asked.tables.plant, seconds(&peg["need"])).pick_start;
                if seconds(&peg["available"]) > picked && peg["late_minutes"] != *"0" {
                    *steps.entry(picked).or_default() += number(&peg["qty"]);
                }
            }
            let mut all = 0.0;
            for (picked, qty) in steps {
                all += qty;
                let cells =
                    [order.to_owned(), part.to_owned(), all.to_string(), print(picked), (open - all).to_string()];
                expected.insert(cells);
            }
        }
    }
    let columns = ["purchase order", "part", "how many", "by when", "of it can stay"];
    let rows = asked.rows("bring forward", "how many");
    let told: BTreeSet<[String; 5]> = rows.iter().map(|row| columns.map(|column| row[column].clone())).collect();
    assert_eq!(told, expected);
}

/// Each order at its price, and all of them.
pub fn cost_of_orders(asked: &Asked<'_>) {
    let mut all = 0.0;
    for row in asked.rows("order", "cost") {
        let cost = number(&row["order qty"]) * price(asked, &row["part"]);
        assert!(near(number(&row["price"]), price(asked, &row["part"])) && near(number(&row["cost"]), cost), "{row:?}");
        all += cost;
    }
    let told = asked.told("order", " in all");
    let sum = told.rsplit_once("time, ").unwrap_or_else(|| panic!("{told}")).1;
    assert!((number(&digits(sum)) - all).abs() <= 0.005 + 1e-6, "{told}: {all}");
}

/// `2,615.24` as a number, whatever stands around it.
fn digits(text: &str) -> String {
    text.chars().filter(|sign| sign.is_ascii_digit() || *sign == '.').collect()
}

/// Receipts of which nobody takes anything, and that the safety stock does not need either.
pub fn not_needed(asked: &Asked<'_>) {
    let mut all = 0.0;
    for row in asked.rows("not needed", "not needed") {
        let taken = asked.pegs(&row["part"]).iter().any(|peg| peg["source"] == *row["purchase order"]);
        assert!(!taken && row["not needed"] == row["qty open"], "{row:?}");
        let cost = number(&row["not needed"]) * price(asked, &row["part"]);
        assert!(near(number(&row["cost"]), cost), "{row:?}");
        all += cost;
    }
    let told = asked.told("not needed", "Together ");
    assert!((number(&digits(&told)) - all).abs() <= 0.005 + 1e-6, "{told}: {all}");
    let last = asked.table("units").iter().map(|unit| &unit["leaves"]).max().expect("a unit");
    let ends = short(&last[..10]).replace(" 00:00", "");
    assert!(asked.told("not needed", "which ends on ").ends_with(&ends), "{ends}");
}

/// What this sequence takes of other receipts, or what keeps the safety stock, and what is left.
pub fn left_of_receipts(asked: &Asked<'_>) {
    let mut all = 0.0;
    for row in asked.rows("left of receipts", "cost") {
        let [open, needed, left] =
            ["qty open", "needed, or safety stock", "not needed"].map(|column| number(&row[column]));
        assert!(near(open, needed + left) && left > 0.0 && needed > 0.0, "{row:?}");
        let own = asked.pegs(&row["part"]).iter().filter(|peg| peg["source"] == *row["purchase order"]);
        assert!(own.map(|peg| number(&peg["qty"])).sum::<f64>() <= needed + 1e-6, "{row:?}");
        let cost = left * price(asked, &row["part"]);
        assert!(near(number(&row["cost"]), cost), "{row:?}: {cost}");
        all += cost;
    }
    let told = asked.told("left of receipts", "Together ");
    assert!((number(&digits(&told)) - all).abs() <= 0.005 + 1e-4, "{told}: {all}");
}

/// The moment from which something of a part waits.
pub fn first_wait(asked: &Asked<'_>) {
    let mut seen = 0;
    for row in asked.rows("balance, all parts", "first wait").iter().chain(&asked.rows("balance", "first wait")) {
        let first = waiting(asked, &row["part"]).first().map_or(String::new(), |peg| peg["need"].to_owned());
        assert_eq!(row["first wait"], first, "{row:?}");
        seen += usize::from(!first.is_empty());
    }
    assert!(seen > 10, "{seen}");
}
