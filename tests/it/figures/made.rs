//! The shops' figures of what they make and take: sets, material by job, what other shops bring, and how much each can lose.

use super::pull_list::of_nobody;
use super::shop_orders::{counts_by, length, own, shop, worked};
use crate::oracle::clock::print;
use crate::oracle::plant::Source;
use crate::oracle::sheets::key;
use crate::questions::asked::{Asked, Row, Told, minutes_up, near, number, seconds, whole};
use std::collections::{BTreeMap, BTreeSet};

/// When a piece is there: `None` of what lies there, a blank where nothing says when.
fn there(asked: &Asked<'_>, peg: &Row) -> Option<String> {
    match &peg["cover"] {
        "none" => Some(String::new()),
        "job" => {
            let job = asked.table("jobs").iter().find(|job| job["job"] == peg["source"]).expect("a job");
            Some(job["there_at"].to_owned())
        }
        "reserved" | "lineside" | "stock" => None,
        _ => Some(peg["available"].to_owned()),
    }
}

/// The latest of pieces; one of which nothing says when is later than all.
fn latest(moments: impl Iterator<Item = String>) -> Option<String> {
    moments.max_by_key(|at| if at.is_empty() { "9".to_owned() } else { at.clone() })
}

fn lateness(pieces: &[&Row], asked: &Asked<'_>) -> String {
    let of = |peg: &&&Row| {
        let there = there(asked, peg)?;
        let late = |at: &str| minutes_up(seconds(at) - seconds(&peg["need"])).max(0);
        Some(if there.is_empty() { i64::MAX } else { late(&there) })
    };
    match pieces.iter().filter_map(|peg| of(&peg)).max().unwrap_or(0) {
        0 => String::new(),
        i64::MAX => "late, no time known".to_owned(),
        late => format!("late {late} min"),
    }
}

/// Parts that a shop makes, as they print.
fn made_by(asked: &Asked<'_>, shop: &str) -> BTreeSet<String> {
    let own =
        |(_, part): &(&String, &crate::oracle::plant::Part)| part.source == Source::Make && part.shop == key(shop);
    asked.tables.plant.parts.iter().filter(own).map(|(_, part)| part.code.clone()).collect()
}

/// All pieces of one unit and one place, whether they are built or lie there.
pub fn sets(asked: &Asked<'_>, sheet: &str) -> usize {
    let rows = asked.maybe_rows(sheet, "set ready");
    let made = made_by(asked, &shop(asked, sheet));
    let mut expected: BTreeMap<[String; 2], Vec<&Row>> = BTreeMap::new();
    for peg in asked.all_pegs().filter(|peg| made.contains(&peg["part"])) {
        expected.entry([peg["to"].to_owned(), peg["unit"].to_owned()]).or_default().push(peg);
    }
    assert_eq!(rows.len(), expected.values().map(Vec::len).sum::<usize>());
    let mut told: BTreeMap<[String; 2], Vec<&Told>> = BTreeMap::new();
    for row in &rows {
        told.entry([row["to"].clone(), of_nobody(&row["unit"]).to_owned()]).or_default().push(row);
    }
    for (of, rows) in &told {
        let pegs = expected.get(of).unwrap_or_else(|| panic!("{of:?}"));
        let pieces: f64 = pegs.iter().map(|peg| number(&peg["qty"])).sum();
        let ready = latest(pegs.iter().filter_map(|peg| there(asked, peg))).unwrap_or_default();
        let built = pegs.iter().any(|peg| peg["cover"] == *"job");
        let late = lateness(pegs, asked);
        let stands = match (&*late, built) {
            ("", true) => "in time",
            ("", false) => "there",
            (late, _) => late,
        };
        let mut right: Vec<[String; 5]> = pegs
            .iter()
            .map(|peg| {
                let from = match &peg["cover"] {
                    "job" => {
                        let job = asked.table("jobs").iter().find(|job| job["job"] == peg["source"]).expect("a job");
                        format!("crew {}", &job["crew"])
                    }
                    "reserved" => "stock, reserved".to_owned(),
                    "lineside" => "lineside stock".to_owned(),
                    _ => "stock".to_owned(),
                };
                let [part, need, qty] = ["part", "need", "qty"].map(|column| peg[column].to_owned());
                [part, need, qty, from, there(asked, peg).unwrap_or_default()]
            })
            .collect();
        let columns = ["part", "needed", "qty", "from", "there at"];
        let mut found: Vec<[String; 5]> = rows.iter().map(|row| columns.map(|column| row[column].clone())).collect();
        right.sort();
        found.sort();
        assert_eq!(found, right, "{of:?}");
        for (number, row) in (1..).zip(rows) {
            assert_eq!(row["piece"], format!("{number} of {}", rows.len()), "{row:?}");
            assert!(near(pieces, self::number(&row["pieces"])), "{row:?}: {pieces}");
            assert_eq!((&*row["set ready"], &*row["how it stands"]), (&*ready, stands), "{row:?}: {pegs:?}");
        }
    }
    rows.len()
}

/// When a job's material is needed.
fn material_need(asked: &Asked<'_>, shop: &str, job: &Row) -> String {
    let ahead = asked.tables.plant.shops[&key(shop)].deliver_ahead;
    let calendar = asked.tables.plant.calendar_of_shop(&key(shop));
    print(calendar.starts(worked(asked, shop, &job["start"]) - ahead))
}

/// How pieces stand that a shop needs: short, late, still to come or there.
fn stands(asked: &Asked<'_>, pegs: &[&Row]) -> (&'static str, Option<String>) {
    let last = latest(pegs.iter().filter_map(|peg| there(asked, peg)));
    let coming = last.as_ref().is_some_and(|at| *at > asked.tables.as_of);
    let word = match lateness(pegs, asked).is_empty() {
        _ if pegs.iter().any(|peg| peg["cover"] == *"none") => "short",
        false => "late",
        true if coming => "arriving",
        true => "ready",
    };
    (word, last)
}

/// By-products are there with the jobs that give them, whose late material no table tells by piece.
fn comes_off(pegs: &[&Row]) -> bool {
    pegs.iter().any(|peg| peg["cover"] == *"by-product")
}

/// Of each job whose material is needed by the end of the day, part by part. Jobs of one unit that begin together share their demands, and an
/// extra may be added to them.
pub fn material(asked: &Asked<'_>, sheet: &str) -> usize {
    let rows = asked.maybe_rows(sheet, "how it comes");
    let shop = shop(asked, sheet);
    let code = asked.tables.plant.shops[&key(&shop)].code.clone();
    let end = print(seconds(&asked.tables.day) + 86_400);
    let jobs: Vec<&Row> = own(asked, &shop)
        .into_iter()
        .filter(|job| job["material"] != *"issued" && material_need(asked, &shop, job) < end)
        .collect();
    let by_name: BTreeMap<&str, &Row> = jobs.iter().map(|job| (&job["job"], *job)).collect();
    let mut sums: BTreeMap<[String; 3], f64> = BTreeMap::new();
    for row in &rows {
        let job = by_name.get(&*row["job"]).unwrap_or_else(|| panic!("{row:?}"));
        assert_eq!((&*row["crew"], &*row["latest start"]), (&job["crew"], &job["start"]), "{row:?}");
        let need = material_need(asked, &shop, job);
        let of = |peg: &&Row| peg["unit"] == job["unit"] && peg["to"] == *code && peg["need"] == *need;
        let pegs: Vec<&Row> = asked.pegs(&row["part"]).iter().filter(of).collect();
        if pegs.is_empty() {
            assert_eq!(row["how it stands"], "delivered", "{row:?}");
            continue;
        }
        *sums.entry([job["unit"].to_owned(), need, row["part"].clone()]).or_default() += number(&row["qty"]);
        let (word, last) = stands(asked, &pegs);
        if !comes_off(&pegs) {
            assert_eq!(row["how it stands"], word, "{row:?}: {pegs:?}");
            let last = last.filter(|at| *at > asked.tables.as_of).unwrap_or_default();
            assert_eq!(row["there at"], last, "{row:?}: {pegs:?}");
        }
    }
    let mut seen = 0;
    for ([unit, need, part], told) in &sums {
        let of = |peg: &&Row| peg["unit"] == **unit && peg["to"] == *code && peg["need"] == **need;
        let asked_for: f64 = asked.pegs(part).iter().filter(of).map(|peg| number(&peg["qty"])).sum();
        let extra = |extra: &crate::oracle::plant::ExtraRow| {
            extra.part == key(part)
                && extra.unit == key(unit)
                && extra.to == key(&code)
                && extra.needed == Some(seconds(need))
        };
        let extras: f64 =
            asked.tables.plant.extras.iter().filter(|row| extra(row)).map(|row| row.qty as f64 / 1e6).sum();
        assert!(near(*told + extras, asked_for), "{unit} {need} {part}: {told} and {extras} of {asked_for}");
        seen += 1;
    }
    // Every demand of the day at this shop is told, but extras that stand alone.
    for peg in asked.all_pegs().filter(|peg| peg["to"] == *code && peg["need"] < *end) {
        let of = ["unit", "need", "part"].map(|column| peg[column].to_owned());
        let owed = asked.tables.plant.extras.iter().any(|row| {
            row.part == key(&peg["part"]) && row.to == key(&code) && row.needed == Some(seconds(&peg["need"]))
        });
        assert!(sums.contains_key(&of) || owed, "{peg:?}");
    }
    seen
}

/// Made parts and by-products that the shop needs by the end of the day, demand by demand.
pub fn from_shops(asked: &Asked<'_>, sheet: &str) -> usize {
    let rows = asked.maybe_rows(sheet, "comes from");
    let shop = shop(asked, sheet);
    let code = asked.tables.plant.shops[&key(&shop)].code.clone();
    let end = print(seconds(&asked.tables.day) + 86_400);
    let mut expected: BTreeMap<[String; 3], Vec<&Row>> = BTreeMap::new();
    for peg in asked.all_pegs().filter(|peg| peg["to"] == *code && peg["need"] < *end) {
        if asked.tables.plant.parts[&key(&peg["part"])].source != Source::Buy {
            expected.entry(["need", "unit", "part"].map(|column| peg[column].to_owned())).or_default().push(peg);
        }
    }
    assert_eq!(rows.len(), expected.len());
    for row in &rows {
        let of = [row["needed"].clone(), of_nobody(&row["unit"]).to_owned(), row["part"].clone()];
        let pegs = expected.get(&of).unwrap_or_else(|| panic!("{row:?}"));
        assert!(near(number(&row["qty"]), pegs.iter().map(|peg| number(&peg["qty"])).sum()), "{row:?}: {pegs:?}");
        for peg in pegs {
            let from = match &peg["cover"] {
                "by-product" => "by-product".to_owned(),
                "lineside" => "lies in the shop".to_owned(),
                "job" => {
                    let job = asked.table("jobs").iter().find(|job| job["job"] == peg["source"]).expect("a job");
                    format!("from {}", &job["shop"])
                }
                _ => continue,
            };
            assert!(row["comes from"].contains(&from), "{row:?}: {from}");
        }
        if !comes_off(pegs) {
            let (word, last) = stands(asked, pegs);
            assert_eq!((&*row["how it stands"], &*row["there at"]), (word, &*last.unwrap_or_default()), "{row:?}");
        }
    }
    rows.len()
}

/// A job's earliest finish, or when it is done where its material is late; `None` where nothing says when.
fn done(asked: &Asked<'_>, shop: &str, job: &Row) -> Option<i64> {
    if job["there_at"] == asked.peg_of_job(job)["available"] {
        return Some(worked(asked, shop, &job["earliest"]) + length(asked, shop, job));
    }
    let transit = asked.tables.plant.shops[&key(shop)].transit;
    (!job["there_at"].is_empty()).then(|| worked(asked, shop, &job["there_at"]) - transit)
}

/// What each shop can lose and what it lacks: the least that is left from a job's end back from its due, how long all crews can stand still now,
/// and the most by which the load due by some moment is above the crews' time until then.
pub fn to_lose(asked: &Asked<'_>, sheet: &str) -> usize {
    let rows = asked.maybe_rows(sheet, "can lose right now, min");
    let shops: Vec<&Row> = asked.of_book("Shops").iter().filter(|row| !row["shop"].trim().is_empty()).collect();
    for (row, shop) in rows.iter().zip(shops) {
        let shop = shop["shop"].trim().to_lowercase();
        let own = own(asked, &shop);
        let now = worked(asked, &shop, &asked.tables.as_of);
        let due = |job: &Row| worked(asked, &shop, &job["due"]);
        let left: Vec<Option<i64>> =
            own.iter().map(|job| done(asked, &shop, job).map(|done| due(job) - done)).collect();
        let past = left.iter().any(|left| left.is_none_or(|left| left < 0));
        let least = left.iter().flatten().min();
        let any_time = if past { Some(0) } else { least.map(|left| left.div_euclid(60)) };
        let cell = |number: Option<i64>| number.map_or(String::new(), |number| number.to_string());
        assert_eq!(row["can lose at any time, min"], cell(any_time), "{row:?}: {left:?}");
        let mut latest: BTreeMap<&str, i64> = BTreeMap::new();
        for job in own.iter().rev() {
            let first_finish = worked(asked, &shop, &job["earliest"]) + length(asked, &shop, job);
            let next = latest.entry(&job["crew"]).or_insert(i64::MAX);
            *next = (*next).min(due(job).max(first_finish)) - length(asked, &shop, job);
        }
        let stand = latest.values().min().map(|start| (start - now).div_euclid(60).max(0));
        assert_eq!(row["can lose right now, min"], cell(stand), "{row:?}");
        let late_material = |job: &&&Row| {
            let in_time = !job["there_at"].is_empty() && job["there_at"] <= asked.peg_of_job(job)["need"];
            in_time && ["late", "short"].contains(&&job["material"])
        };
        let late_material = own.iter().filter(late_material).count();
        assert!(whole(&row["in time, material late"]) >= late_material as i64, "{row:?}: {late_material}");
        let crews = i64::try_from(asked.tables.plant.shops[&key(&shop)].crews).expect("crews");
        let counted: Vec<(i64, i64)> =
            own.iter().filter_map(|job| Some((counts_by(asked, &shop, job)?, length(asked, &shop, job)))).collect();
        let missing = |by: i64| {
            let load: i64 = counted.iter().filter(|(other, _)| *other <= by).map(|(_, length)| length).sum();
            load - crews * (by - now).max(0)
        };
        let most = counted.iter().map(|(by, _)| missing(*by)).max().unwrap_or(0).max(0);
        assert_eq!(row["extra crew-minutes needed"], minutes_up(most).to_string(), "{row:?}");
        // The first moment at which so much is missing.
        let calendar = asked.tables.plant.calendar_of_shop(&key(&shop));
        let before = counted.iter().map(|(by, _)| *by).filter(|by| missing(*by) == most).min().filter(|_| most > 0);
        assert_eq!(row["before"], before.map_or(String::new(), |by| print(calendar.starts(by))), "{row:?}");
    }
    rows.len()
}

/// The jobs that are late on a shop's first page, by so much.
pub fn late_jobs(asked: &Asked<'_>, sheet: &str) -> usize {
    let rows = asked.maybe_rows(sheet, "costs the line");
    if rows.is_empty() {
        return 0;
    }
    let Some(shop) = shop_of_page(asked, sheet) else { return 0 };
    let jobs = own(asked, &shop);
    for row in &rows {
        let Ok(at) = row["no."].parse::<usize>() else { continue };
        let job = jobs[at - 1];
        assert_eq!((&*row["to"], &*row["needed"]), (&job["to"], &asked.peg_of_job(job)["need"]), "{row:?}");
        assert!(row["what"].contains(&job["part"]) && row["what"].contains(&job["unit"]), "{row:?}");
        let begun = job["material"] == *"issued";
        assert_eq!(row["start by"], if begun { "begun" } else { &job["start"] }, "{row:?}");
        let late = (!job["there_at"].is_empty())
            .then(|| minutes_up(seconds(&job["there_at"]) - seconds(&asked.peg_of_job(job)["need"])));
        match late {
            None => assert!(row["how it stands"].starts_with("late, no time known"), "{row:?}"),
            Some(late) if late > 0 => assert!(row["how it stands"].starts_with(&format!("late {late} min")), "{row:?}"),
            Some(_) => assert!(!row["how it stands"].starts_with("late "), "{row:?}"),
        }
    }
    rows.len()
}

/// The shop whose first page a sheet is.
pub fn shop_of_page(asked: &Asked<'_>, sheet: &str) -> Option<String> {
    let pages = asked.sheets.iter().filter(|known| super::kind("shop-orders.xlsx", &known.name) == "a shop");
    let at = pages.into_iter().position(|known| known.name == *sheet)?;
    let shops: Vec<&Row> = asked.of_book("Shops").iter().filter(|row| !row["shop"].trim().is_empty()).collect();
    Some(shops.get(at)?["shop"].trim().to_lowercase())
}
