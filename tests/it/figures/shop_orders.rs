//! The shops' figures.

use super::How::{Anew, By, For};
use super::{Figures, OF_THE_BOOK, ROOM, build_order, less, made, whole_plan};
use crate::oracle::clock::print;
use crate::oracle::sheets::key;
use crate::questions::asked::{Asked, Row, minutes_up, near, number, seconds, whole};
use std::collections::{BTreeMap, BTreeSet};

pub const LIST: &[Figures] = &[
    ("all shops", "shop|jobs|to start by the day's end|begun|late|of them no time known", Anew(shops)),
    (
        "all shops",
        "in time, material late|can lose at any time, min|can lose right now, min|extra crew-minutes needed|before",
        Anew(made::to_lose),
    ),
    ("all shops", "how it stands|at|due|unit|to|what|why", Anew(build_order::wrong_first)),
    (
        "all shops",
        "plant|day|as of|the book|the sequence ends|in all",
        For("the book's own words, and counts that the table below has by shop"),
    ),
    ("all shops", "the line|the line loses", Anew(whole_plan::the_line)),
    ("a shop", "no.|start by|what|to|needed|how it stands", Anew(made::late_jobs)),
    ("a shop", "how it stands|costs the line|why", Anew(build_order::costs)),
    ("a shop", "part|description|qty|first needed|all there|for", Anew(build_order::lacking)),
    ("a shop", "A crew less, in sentences", Anew(less::sentences)),
    ("order", "no.|crew|min", Anew(build_order::order)),
    ("order", "done", ROOM),
    ("out", "leaves by|unit|to|what|qty|set", Anew(build_order::out)),
    ("out", "gone", ROOM),
    (
        "by-products",
        "here|unit|piece|qty|comes off|free at|taken by|must be there by|slack, min|how it stands",
        Anew(pieces),
    ),
    ("by-products", "description", OF_THE_BOOK),
    (
        "later pieces",
        "here|unit|piece|qty|comes off|free at|taken by|must be there by|slack, min|how it stands",
        Anew(pieces),
    ),
    ("later pieces", "description", OF_THE_BOOK),
    (
        "crew time",
        "day|jobs due|load, min|crew time, min|load so far, min|crew time so far, min|left so far, min|extra needed by its end, min|tightest job can lose, min",
        Anew(by_day),
    ),
    ("all jobs", "crew|latest start|finish|due|unit|qty|to|late, min", Anew(jobs)),
    ("all jobs", "its run|earliest start|material|why", Anew(build_order::all_jobs)),
    ("all jobs", "floorplan|part|description|its options that matter", OF_THE_BOOK),
    ("all jobs", "done", ROOM),
    ("sets", "to|unit|pieces|set ready|needed|how it stands|piece|part|qty|from|there at", Anew(made::sets)),
    ("sets", "floorplan|description", OF_THE_BOOK),
    ("sets", "loaded", ROOM),
    ("by run", "run|part|qty", Anew(by_run)),
    ("by run", "location|description|uom|issue|for|how it stands", For("the other columns of the same pulls")),
    ("by run", "came", ROOM),
    ("from shops", "needed|comes from|part|qty|unit|there at|how it stands", Anew(made::from_shops)),
    ("from shops", "description|uom", OF_THE_BOOK),
    ("from shops", "came", ROOM),
    ("material", "crew|latest start|job|part|qty|there at|how it stands", Anew(made::material)),
    ("material", "how it comes", By(&["each_question_is_answered_where_the_list_says"])),
    ("material", "description|location|uom", OF_THE_BOOK),
    ("material", "here", ROOM),
    (
        "by due",
        "due|jobs|load, min|load so far, min|crew time so far, min|left, min|extra needed before, min",
        Anew(by_due),
    ),
];

/// The shop of a sheet: the one whose jobs it can be, by its place among the sheets of its kind.
pub fn shop(asked: &Asked<'_>, sheet: &str) -> String {
    let kind = |name: &str| super::kind("shop-orders.xlsx", name);
    let own = kind(sheet);
    // Sheets of a kind stand in the order of the shops; one that would be empty is left out.
    let first: Vec<&str> =
        asked.sheets.iter().map(|sheet| sheet.name.as_str()).filter(|name| kind(name) == "a shop").collect();
    // A long name is cut so that what stands behind it fits.
    let begin = sheet.strip_suffix(&format!(" {own}")).unwrap_or_else(|| panic!("'{sheet}' is no '{own}'"));
    let at =
        first.iter().position(|name| *name == begin).or_else(|| first.iter().position(|name| name.starts_with(begin)));
    let at = at.unwrap_or_else(|| panic!("whose is '{sheet}'?"));
    let shops = asked.of_book("Shops").iter().filter(|row| !row["shop"].trim().is_empty()).collect::<Vec<_>>();
    shops[at]["shop"].trim().to_lowercase()
}

pub fn own<'a>(asked: &'a Asked<'_>, shop: &str) -> Vec<&'a Row> {
    asked.table("jobs").iter().filter(|job| job["shop"].to_lowercase() == shop).collect()
}

pub fn worked(asked: &Asked<'_>, shop: &str, time: &str) -> i64 {
    asked.tables.plant.calendar_of_shop(&key(shop)).worked(seconds(time))
}

/// How late what a job builds is; `None` where nothing says when it is there.
fn late(asked: &Asked<'_>, job: &Row) -> Option<i64> {
    let need = seconds(&asked.peg_of_job(job)["need"]);
    (!job["there_at"].is_empty()).then(|| minutes_up(seconds(&job["there_at"]) - need).max(0))
}

fn shops(asked: &Asked<'_>, sheet: &str) -> usize {
    let rows = asked.maybe_rows(sheet, "to start by the day's end");
    let shops: Vec<&Row> = asked.of_book("Shops").iter().filter(|row| !row["shop"].trim().is_empty()).collect();
    let end = print(seconds(&asked.tables.day) + 86_400);
    for (row, shop) in rows.iter().zip(shops) {
        let own = own(asked, &shop["shop"].trim().to_lowercase());
        let count = |so: &dyn Fn(&Row) -> bool| own.iter().filter(|job| so(job)).count().to_string();
        let expected = [
            count(&|_| true),
            count(&|job| job["start"] < *end),
            count(&|job| job["material"] == *"issued"),
            count(&|job| late(asked, job) != Some(0)),
            count(&|job| late(asked, job).is_none()),
        ];
        let headings = ["jobs", "to start by the day's end", "begun", "late", "of them no time known"];
        assert_eq!(headings.map(|heading| row[heading].clone()), expected, "{row:?}");
    }
    rows.len()
}

/// Row by row the table `jobs`.
fn jobs(asked: &Asked<'_>, sheet: &str) -> usize {
    let (rows, own) = (asked.maybe_rows(sheet, "latest start"), own(asked, &shop(asked, sheet)));
    assert!(rows.len() == own.len() || rows.len() < own.len() && rows.len() > 500, "{} of {}", rows.len(), own.len());
    for (row, job) in rows.iter().zip(own) {
        let told = ["crew", "latest start", "finish", "due", "unit", "qty", "to"].map(|heading| &*row[heading]);
        let expected = ["crew", "start", "finish", "due", "unit", "qty", "to"].map(|column| &job[column]);
        assert_eq!(told, expected);
        let late = match late(asked, job) {
            None => "not known".to_owned(),
            Some(0) => String::new(),
            Some(late) => late.to_string(),
        };
        assert_eq!(row["late, min"], late, "{job:?}");
    }
    rows.len()
}

/// A job's crew time in seconds.
pub fn length(asked: &Asked<'_>, shop: &str, job: &Row) -> i64 {
    worked(asked, shop, &job["finish"]) - worked(asked, shop, &job["start"])
}

/// When a job counts: by its due, or, where its material is late, when it is done, if that is later; `None` where nothing says when.
pub fn counts_by(asked: &Asked<'_>, shop: &str, job: &Row) -> Option<i64> {
    let due = worked(asked, shop, &job["due"]);
    if job["there_at"] == asked.peg_of_job(job)["available"] {
        return Some(due);
    }
    let transit = asked.tables.plant.shops[&key(shop)].transit;
    (!job["there_at"].is_empty()).then(|| due.max(worked(asked, shop, &job["there_at"]) - transit))
}

fn minutes(told: &str) -> i64 {
    // A sheet's minutes are cut at the sixth place.
    #[expect(clippy::cast_possible_truncation, reason = "a test's seconds")]
    let seconds = (number(told) * 60.0).round() as i64;
    seconds
}

fn by_due(asked: &Asked<'_>, sheet: &str) -> usize {
    let shop = shop(asked, sheet);
    let rows = asked.maybe_rows(sheet, "extra needed before, min");
    let own = own(asked, &shop);
    let now = worked(asked, &shop, &asked.tables.as_of);
    let crews = i64::try_from(asked.tables.plant.shops[&key(&shop)].crews).expect("crews");
    let counted: Vec<(i64, i64)> =
        own.iter().filter_map(|job| Some((counts_by(asked, &shop, job)?, length(asked, &shop, job)))).collect();
    for row in &rows {
        let due = worked(asked, &shop, &row["due"]);
        let at: Vec<i64> = counted.iter().filter(|(by, _)| *by == due).map(|(_, length)| *length).collect();
        let so_far: i64 = counted.iter().filter(|(by, _)| *by <= due).map(|(_, length)| length).sum();
        let time = crews * (due - now).max(0);
        assert_eq!(row["jobs"], at.len().to_string(), "{row:?}");
        let told = ["load, min", "load so far, min", "crew time so far, min", "left, min"]
            .map(|heading| minutes(&row[heading]));
        assert_eq!(told, [at.iter().sum(), so_far, time, time - so_far], "{row:?}");
        let extra = Some(minutes_up(so_far - time)).filter(|extra| *extra > 0);
        assert_eq!(row["extra needed before, min"], extra.map_or(String::new(), |extra| extra.to_string()));
    }
    rows.len()
}

fn by_day(asked: &Asked<'_>, sheet: &str) -> usize {
    let shop = shop(asked, sheet);
    let rows = asked.maybe_rows(sheet, "load so far, min");
    let own = own(asked, &shop);
    let now = worked(asked, &shop, &asked.tables.as_of);
    let crews = i64::try_from(asked.tables.plant.shops[&key(&shop)].crews).expect("crews");
    for row in &rows {
        let end = worked(asked, &shop, &print(seconds(&row["day"]) + 86_400)).max(now);
        let counted = own.iter().filter(|job| counts_by(asked, &shop, job).is_some_and(|by| by <= end));
        let load: i64 = counted.map(|job| length(asked, &shop, job)).sum();
        let time = crews * (end - now);
        let told =
            ["load so far, min", "crew time so far, min", "left so far, min"].map(|heading| minutes(&row[heading]));
        assert_eq!(told, [load, time, time - load], "{row:?}");
        let extra = Some(minutes_up(load - time)).filter(|extra| *extra > 0);
        assert_eq!(row["extra needed by its end, min"], extra.map_or(String::new(), |extra| extra.to_string()));
    }
    for rows in rows.windows(2) {
        for (one, so_far) in [("load, min", "load so far, min"), ("crew time, min", "crew time so far, min")] {
            assert_eq!(minutes(&rows[1][one]), minutes(&rows[1][so_far]) - minutes(&rows[0][so_far]), "{rows:?}");
        }
    }
    rows.len()
}

/// What the day's runs bring a shop.
fn by_run(asked: &Asked<'_>, sheet: &str) -> usize {
    let shop = shop(asked, sheet);
    let mut told: BTreeMap<[String; 2], f64> = BTreeMap::new();
    for row in asked.maybe_rows(sheet, "run") {
        *told.entry(["run", "part"].map(|heading| row[heading].clone())).or_default() += number(&row["qty"]);
    }
    let mut expected: BTreeMap<[String; 2], f64> = BTreeMap::new();
    let pulls = asked.listed_pulls().flat_map(|(_, pulls)| pulls).filter(|pull| pull["to"].to_lowercase() == shop);
    for pull in pulls.filter(|pull| pull["wave"].starts_with(asked.tables.day.as_str())) {
        *expected.entry(["wave", "part"].map(|column| pull[column].to_owned())).or_default() += number(&pull["qty"]);
    }
    assert!(told.keys().eq(expected.keys()), "{told:?} {expected:?}");
    assert!(told.iter().all(|(of, qty)| near(*qty, expected[of])), "{told:?} {expected:?}");
    told.len()
}

/// By-products given or taken: a peg of it, and the shop's minutes between.
fn pieces(asked: &Asked<'_>, sheet: &str) -> usize {
    let shop = shop(asked, sheet);
    let rows = asked.maybe_rows(sheet, "slack, min");
    for row in &rows {
        let own = |peg: &&Row| {
            peg["cover"] == *"by-product" && peg["unit"] == *row["unit"] && peg["need"] == *row["must be there by"]
        };
        let pegs: Vec<&Row> = asked.pegs(&row["piece"]).iter().filter(own).collect();
        assert!(!pegs.is_empty(), "{row:?}");
        if row["free at"].is_empty() {
            continue;
        }
        let left = worked(asked, &shop, &row["must be there by"]) - worked(asked, &shop, &row["free at"]);
        assert_eq!(whole(&row["slack, min"]), left.div_euclid(60), "{row:?}");
        assert_eq!(row["how it stands"] == "in time", row["free at"] <= row["must be there by"], "{row:?}");
        let to: BTreeSet<&str> = pegs.iter().map(|peg| &peg["to"]).collect();
        let taken = row["here"] == "taken";
        assert!(!taken || to.iter().any(|to| to.to_lowercase() == shop), "{row:?}");
    }
    rows.len()
}
