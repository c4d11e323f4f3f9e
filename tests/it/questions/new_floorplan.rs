//! The buyer's answer for a floorplan that nobody has built: what it lacks, and what is to be done first.

use super::asked::{Asked, Row, Told, near, number, seconds, whole};
use crate::oracle::clock::{DAY as A_DAY, day_of, print};
use std::collections::BTreeSet;

/// The floorplans of which no unit is done or stands on the line.
fn new_ones<'a>(asked: &'a Asked<'_>) -> BTreeSet<&'a str> {
    let (begun, ahead): (Vec<&Row>, Vec<&Row>) =
        asked.of_book("Sequence").iter().partition(|unit| !unit["done"].is_empty() || !unit["at"].is_empty());
    let begun: BTreeSet<&str> = begun.into_iter().map(|unit| &unit["floorplan"]).collect();
    ahead.into_iter().map(|unit| &unit["floorplan"]).filter(|floorplan| !begun.contains(floorplan)).collect()
}

/// The parts to which every line of the bills leads from some floorplans alone.
fn own_parts<'a>(asked: &'a Asked<'_>, of: &BTreeSet<&'a str>) -> BTreeSet<&'a str> {
    let lines = asked.of_book("Bills");
    let mut own = of.clone();
    loop {
        let alone = |part: &str| lines.iter().all(|line| line["part"] != *part || own.contains(&line["parent"]));
        let more = lines.iter().map(|line| &line["part"]).filter(|part| !own.contains(part) && alone(part));
        let more: Vec<&str> = more.collect();
        if more.is_empty() {
            return own.difference(of).copied().collect();
        }
        own.extend(more);
    }
}

/// The last day up to another on which the stores are open.
fn open_day(asked: &Asked<'_>, day: i64) -> String {
    let open = (day - 30..=day).rev().find(|day| asked.tables.plant.stores().first_moment(*day).is_some());
    print(open.expect("an open day") * A_DAY)
}

/// The new floorplan's own parts stand there, all of them and no other; of one of which there is nothing that is said, with the day by which
/// to order it; those that lack something first, by the day on which somebody must act.
pub fn lacks(asked: &Asked<'_>) {
    let new = new_ones(asked);
    assert_eq!(new.len(), 1, "{new:?}");
    let own = own_parts(asked, &new);
    let all = asked.rows("first builds", "what is missing");
    let rows: Vec<&Told> = all.iter().filter(|row| own.contains(&*row["part"])).collect();
    assert!(own.len() > 4 && rows.iter().map(|row| &*row["part"]).collect::<BTreeSet<_>>() == own, "{own:?}");
    let mut nothing = 0;
    let mut order: Vec<(bool, i64)> = Vec::new();
    for row in &rows {
        let part = asked.row("Parts", "part", &row["part"]);
        let bought = part["source"] == *"buy";
        let sum = |table: &str| {
            let rows = asked.of_book(table).iter().filter(|other| other["part"] == *row["part"]);
            rows.map(|row| number(&row["qty"])).sum::<f64>()
        };
        let (stock, open) = (sum("Stock"), sum("Receipts"));
        assert!(near(number(&row["in stock"]), stock) && near(number(&row["open"]), open), "{row:?}: {stock} {open}");
        let need = asked.pegs(&row["part"]).iter().map(|peg| &peg["need"]).min().expect("somebody takes it");
        assert_eq!(row["needed"], need, "{row:?}");
        let blank = |column: &str| part[column].is_empty();
        let missing = &row["what is missing"];
        let none = bought && stock == 0.0 && open == 0.0;
        for (words, holds) in [
            ("nothing in stock or on order", none),
            ("no supplier", bought && blank("supplier")),
            ("lead days not known", bought && blank("lead days")),
            ("weight not known", bought && blank("weight")),
            ("no location", bought && blank("location")),
            ("no minutes", !bought && ["", "0"].contains(&&part["minutes"])),
        ] {
            assert_eq!(missing.contains(words), holds, "{words}: {row:?}");
        }
        let mut act = day_of(seconds(need));
        if none {
            act -= whole(&part["lead days"]);
            assert_eq!(row["order by"], open_day(asked, act)[..10], "{row:?}");
            nothing += 1;
        } else {
            assert_eq!(row["order by"], "", "{row:?}");
        }
        order.push((missing == "there in time", act));
    }
    assert!(nothing > 0 && order.is_sorted() && order.first().is_some_and(|(there, _)| !there), "{order:?}");
}
