//! The shops' answers about what leaves them: pieces, sets and by-products.

use super::asked::{AFTER, Asked, DAY, Row, between, text, whole};
use super::shop_orders::{SHOPS, begun, gives, jobs, material_need, minute, name, on, starts, transit, worked};
use std::collections::{BTreeMap, BTreeSet};

/// What a shop's jobs build, by the moment at which it must leave: leaves, unit, where to, part and quantity.
fn leaving(asked: &Asked<'_>, shop: &str) -> Vec<[String; 5]> {
    let mut found: Vec<[String; 5]> = jobs(asked, shop)
        .iter()
        .map(|job| {
            let peg = asked.peg_of_job(job);
            let leaves = starts(asked, shop, worked(asked, shop, &peg["need"]) - transit(asked, shop));
            [leaves, job["unit"].to_owned(), job["to"].to_owned(), job["part"].to_owned(), peg["qty"].to_owned()]
        })
        .filter(|piece| *piece[0] < *AFTER)
        .collect();
    found.sort();
    found
}

pub fn leaves(asked: &Asked<'_>) {
    for (shop, sheet) in SHOPS {
        let expected =
            leaving(asked, shop).into_iter().map(|[leaves, others @ ..]| (on(&minute(&leaves), DAY), others));
        let mut told: Vec<_> = asked
            .rows(&format!("{sheet} out"), "leaves by")
            .into_iter()
            .filter(|row| !row["unit"].is_empty() && row["unit"] != "unit")
            .map(|row| {
                let what = row["what"].split(':').next().expect("a part").to_owned();
                (row["leaves by"].clone(), [row["unit"].clone(), row["to"].clone(), what, row["qty"].clone()])
            })
            .collect();
        // Down the left column, then down the right one.
        let columns = [0, 8].map(|column| {
            let rows = &asked.sheet(&format!("{sheet} out")).rows;
            let cells = rows.iter().flat_map(|row| &row.cells).filter(|cell| cell.column == column && cell.ruled);
            cells.map(|cell| text(&cell.value)).filter(|told| told.len() == 5).collect::<Vec<_>>()
        });
        assert!(columns.concat().is_sorted(), "{shop}: {columns:?}");
        told.sort();
        let mut expected: Vec<_> = expected.collect();
        expected.sort();
        assert_eq!(told, expected, "{shop}");
    }
}

pub fn by_the_hour(asked: &Asked<'_>) {
    for (shop, sheet) in SHOPS {
        let mut sets: BTreeMap<(String, String), String> = BTreeMap::new();
        for [leaves, unit, to, ..] in leaving(asked, shop) {
            sets.entry((unit, to)).or_insert(leaves);
        }
        let mut hours: BTreeMap<&str, usize> = BTreeMap::new();
        sets.values().for_each(|leaves| *hours.entry(&leaves[11..13]).or_default() += 1);
        let hours: Vec<String> = hours.iter().map(|(hour, sets)| format!("{hour}:00 {sets}")).collect();
        let told = asked.told(&format!("{sheet} out"), "by the hour: ");
        assert_eq!(between(&told, "by the hour: ", "\n"), hours.join(", "), "{shop}");
    }
}

/// `2 of 3` counts what the shop builds for the unit and the place, that of later days too.
pub fn sets(asked: &Asked<'_>) {
    for (shop, sheet) in SHOPS {
        let mut all: BTreeMap<(String, String), usize> = BTreeMap::new();
        jobs(asked, shop)
            .iter()
            .for_each(|job| *all.entry((job["unit"].to_owned(), job["to"].to_owned())).or_default() += 1);
        let mut seen: BTreeMap<(String, String), BTreeSet<usize>> = BTreeMap::new();
        for row in asked.rows(&format!("{sheet} out"), "leaves by") {
            let of = (row["unit"].clone(), row["to"].clone());
            let Some(all) = all.get(&of) else { continue };
            let (at, of_all) = row["set"].split_once(" of ").unwrap_or(("1", "1"));
            assert_eq!((of_all.to_owned(), row["set"] == "alone"), (all.to_string(), *all == 1), "{row:?}");
            assert!(seen.entry(of).or_default().insert(at.parse().expect("a number")), "{row:?}");
        }
        assert!(seen.iter().all(|(of, seen)| seen.iter().all(|at| (1..=all[of]).contains(at))), "{shop}");
    }
}

/// The pegs of by-products that come off jobs of a shop and are needed, or there, by the end of the day.
fn given<'a>(asked: &'a Asked<'_>, shop: &str) -> Vec<(&'a Row, &'a Row)> {
    let own = jobs(asked, shop);
    let soon = |peg: &&Row| peg["need"] < *AFTER || peg["available"] < *AFTER;
    let free = asked.all_pegs().filter(|peg| peg["cover"] == *"by-product").filter(soon);
    free.filter_map(|peg| Some((peg, *own.iter().find(|job| job["unit"] == peg["unit"] && gives(asked, job, peg))?)))
        .collect()
}

pub fn taken_by(asked: &Asked<'_>) {
    let expected: BTreeSet<[String; 7]> = given(asked, "WALLSHOP")
        .into_iter()
        .map(|(peg, giver)| {
            let takes = |job: &&Row| {
                job["shop"] == peg["to"]
                    && job["unit"] == peg["unit"]
                    && !begun(job)
                    && material_need(asked, job) == peg["need"]
            };
            let taker = asked.table("jobs").iter().find(takes).map_or(peg["to"].to_owned(), name);
            let [unit, piece, qty] = ["unit", "part", "qty"].map(|column| peg[column].to_owned());
            [unit, piece, qty, name(giver), peg["available"].to_owned(), taker, peg["need"].to_owned()]
        })
        .collect();
    let columns = ["unit", "piece", "qty", "comes off", "free at", "taken by", "must be there by"];
    let rows = asked.rows("WALLSHOP by-products", "taken by");
    let told: BTreeSet<[String; 7]> = rows.iter().map(|row| columns.map(|column| row[column].clone())).collect();
    assert!(told.len() == rows.len() && told.len() > 10);
    assert_eq!(told, expected);
}

pub fn slack(asked: &Asked<'_>) {
    for (shop, sheet) in [("WALLSHOP", "WALLSHOP by-products"), ("SLIDESHOP", "Slide-box shop by-products")] {
        for row in asked.rows(sheet, "slack, min") {
            let left = worked(asked, shop, &row["must be there by"]) - worked(asked, shop, &row["free at"]);
            assert_eq!(whole(&row["slack, min"]), left.div_euclid(60), "{row:?}");
            assert_eq!(row["how it stands"] == "in time", row["free at"] <= row["must be there by"], "{row:?}");
        }
    }
}
