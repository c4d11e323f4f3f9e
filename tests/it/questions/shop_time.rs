//! The shops' answers about time: when a job can start, how late it is, what is left, and what a crew less does.

use super::asked::{AFTER, Asked, DAY, Row, between, minutes_up, near, number, seconds, short, whole};
use super::shop_orders::{SHOPS, ahead, begun, ends, jobs, material_need, name, starts, there, transit, worked};
use crate::crew_less::watched;
use crate::oracle::clock::print;
use crate::oracle::waves::wave_before;
use lineward::shops::Times;
use std::collections::BTreeMap;

const NOW: &str = "2027-09-13T14:30:00";

/// What the line on all shops counts.
pub fn by_the_days_end(asked: &Asked<'_>) {
    let rows = asked.rows("all shops", "to start by the day's end");
    for ((shop, _), row) in SHOPS.iter().zip(&rows) {
        let own = jobs(asked, shop);
        assert_eq!(row["shop"], asked.row("Shops", "shop", shop)["name"]);
        let count = |so: &dyn Fn(&Row) -> bool| own.iter().filter(|job| so(job)).count().to_string();
        let told = ["jobs", "to start by the day's end", "begun", "late"].map(|heading| row[heading].clone());
        let late = |job: &Row| job["there_at"] > asked.peg_of_job(job)["need"];
        assert_eq!(
            told,
            [count(&|_| true), count(&|job| job["start"] < *AFTER), count(&begun), count(&late)],
            "{shop}"
        );
    }
}

/// A job can start when its crew gets to it and its material is there: with its run, or, where it comes otherwise, when it comes.
pub fn earliest(asked: &Asked<'_>) {
    let shop = "CABSHOP";
    let mut pieces: BTreeMap<(&str, &str), Vec<&Row>> = BTreeMap::new();
    for peg in asked.all_pegs().filter(|peg| peg["to"] == *shop && peg["need"] < *"2027-09-18") {
        pieces.entry((&peg["unit"], &peg["need"])).or_default().push(peg);
    }
    let own = jobs(asked, shop);
    let told = asked.rows("Cabinet shop all jobs", "earliest start");
    assert_eq!(told.len(), own.len());
    let mut seen = 0;
    for (told, job) in told.iter().zip(own).filter(|(_, job)| job["start"] < *"2027-09-18") {
        assert_eq!(
            [&*told["unit"], &*told["part"], &*told["latest start"]],
            [&job["unit"], &job["part"], &job["start"]]
        );
        let need = material_need(asked, job);
        let run = wave_before(&asked.tables.plant, seconds(&need));
        let comes = |peg: &&Row| match &peg["cover"] {
            "stock" | "reserved" => Some(print(run.clock)),
            "receipt" if seconds(&peg["available"]) <= run.pick_start => Some(print(run.clock)),
            "lineside" => None,
            _ => Some(there(asked, peg)),
        };
        let material = pieces.get(&(&job["unit"], &*need)).into_iter().flatten().filter_map(comes).max();
        let material = material.map(|there| starts(asked, shop, worked(asked, shop, &there) + ahead(asked, shop)));
        let expected = if begun(job) { None } else { material }.into_iter().chain([job["earliest"].to_owned()]).max();
        assert_eq!(Some(told["earliest start"].clone()), expected, "{job:?}");
        seen += usize::from(!begun(job) && *told["earliest start"] > job["earliest"]);
    }
    assert!(seen > 20, "{seen}");
}

/// What a job builds is there after it is needed: so much of the clock later.
pub fn how_late(asked: &Asked<'_>) {
    let mut seen = 0;
    for (shop, sheet) in SHOPS {
        let late = jobs(asked, shop).into_iter().filter_map(|job| {
            let late = seconds(&job["there_at"]) - seconds(&asked.peg_of_job(job)["need"]);
            (late > 0 && job["start"] < *"2027-09-16").then(|| (name(job), format!("late {} min", minutes_up(late))))
        });
        let late: BTreeMap<String, String> = late.collect();
        if late.is_empty() {
            asked.told(sheet, "No job is late");
            continue;
        }
        let told = asked
            .rows(sheet, "costs the line")
            .into_iter()
            .map(|row| (row["what"].clone(), row["how it stands"].clone()));
        assert_eq!(told.collect::<BTreeMap<_, _>>(), late, "{shop}");
        let counted = asked.told(sheet, "jobs by the end of the day");
        assert!(counted.ends_with(&format!(": {} late.", late.len())), "{counted}");
        seen += late.len();
    }
    assert_eq!(seen, 5);
}

/// Crew-minutes of jobs due by the end of a day; what is late counts when it is done.
pub fn load_so_far(asked: &Asked<'_>) {
    for (shop, sheet) in SHOPS {
        for row in asked.rows(&format!("{sheet} crew time"), "load so far, min") {
            let end = worked(asked, shop, &row["day"]) + seconds_of_day(asked, shop, &row["day"]);
            let by = |job: &&&Row| {
                let due = worked(asked, shop, &job["due"]);
                let material_late = seconds(&job["there_at"]) > seconds(&asked.peg_of_job(job)["available"]);
                let done = worked(asked, shop, &job["there_at"]) - transit(asked, shop);
                if material_late { due.max(done) <= end } else { due <= end }
            };
            let own = jobs(asked, shop);
            let length = |job: &&Row| worked(asked, shop, &job["finish"]) - worked(asked, shop, &job["start"]);
            let load: i64 = own.iter().filter(by).map(length).sum();
            assert!(near((number(&row["load so far, min"]) * 60.0).round(), load as f64), "{shop} {row:?}: {load}");
        }
    }
}

fn seconds_of_day(asked: &Asked<'_>, shop: &str, day: &str) -> i64 {
    worked(asked, shop, &print(seconds(day) + 86_400)) - worked(asked, shop, day)
}

/// Crews times what the shop works from the as-of moment to the end of a day.
pub fn time_so_far(asked: &Asked<'_>) {
    for (shop, sheet) in SHOPS {
        let crews = whole(&asked.row("Shops", "shop", shop)["crews"]);
        for row in asked.rows(&format!("{sheet} crew time"), "crew time so far, min") {
            let end = print(seconds(&row["day"]) + 86_400);
            let time = crews * (worked(asked, shop, &end) - worked(asked, shop, NOW));
            assert_eq!(whole(&row["crew time so far, min"]) * 60, time, "{shop} {row:?}");
        }
    }
}

/// No job of the wall shop is late, so that the tightest says what all can lose: from its due back to its end where it begins as early as it
/// can.
pub fn can_lose(asked: &Asked<'_>) {
    let shop = "WALLSHOP";
    let left = |job: &&Row| {
        let length = worked(asked, shop, &job["finish"]) - worked(asked, shop, &job["start"]);
        let done = worked(asked, shop, &job["earliest"]) + length;
        (worked(asked, shop, &job["due"]) - done, seconds(&job["due"]))
    };
    let own = jobs(asked, shop);
    let tightest = own.iter().min_by_key(|job| left(job)).expect("a job");
    let told = asked.told("WALLSHOP", "Can lose ");
    assert_eq!(whole(between(&told, "Can lose ", " min")), left(tightest).0.div_euclid(60), "{told}");
    let due = short(&tightest["due"]);
    assert!(told.contains(&format!("({}, due {due})", name(tightest))), "{told}: {tightest:?}");
}

/// The cabinet shop with one crew away on Tuesday, watched second by second: who takes which job, and what is then late. Nothing of it waits for
/// a by-product, so that jobs due later change nothing.
pub fn a_crew_less(asked: &Asked<'_>) {
    let shop = "CABSHOP";
    let now = worked(asked, shop, NOW);
    let rank: BTreeMap<&str, usize> =
        asked.table("units").iter().enumerate().map(|(at, unit)| (&unit["unit"], at)).collect();
    let mut own: Vec<&Row> = jobs(asked, shop).into_iter().filter(|job| job["due"] < *"2027-09-18").collect();
    let started = asked.of_book("Started");
    let begun_as = |job: &Row| started.iter().position(|row| row["unit"] == job["unit"] && row["part"] == job["part"]);
    own.sort_by_key(|job| {
        (begun_as(job).unwrap_or(usize::MAX), rank[&job["unit"]], job["part"].to_owned(), job["to"].to_owned())
    });
    let times: Vec<Times> = own
        .iter()
        .map(|job| {
            let at = |column: &str| worked(asked, shop, &job[column]) - now;
            Times { length: at("finish") - at("start"), release: at("release"), due: at("due") }
        })
        .collect();
    let begun = own.iter().filter(|job| begun_as(job).is_some()).count();
    let crews = usize::try_from(whole(&asked.row("Shops", "shop", shop)["crews"])).expect("crews");
    for (from, words) in [("00:00:00", "Tue 14 Sep, all day: "), ("08:10:00", "from Tue 14 Sep 08:10 on: ")] {
        let away = [format!("{DAY}T{from}"), format!("{AFTER}T00:00:00")].map(|time| worked(asked, shop, &time) - now);
        let done = watched(&times, begun, crews, away.into());
        let late: Vec<(usize, String)> = own
            .iter()
            .zip(done)
            .filter_map(|(job, (_, done))| {
                let need = seconds(&asked.peg_of_job(job)["need"]);
                let then = ends(asked, shop, done + now + transit(asked, shop));
                let late = |there: &str| minutes_up((seconds(there) - need).max(0));
                let number = jobs(asked, shop).iter().position(|other| other["job"] == job["job"])?;
                (late(&then) > late(&job["there_at"]))
                    .then(|| (number, format!("{} late {} min", name(job), late(&then))))
            })
            .collect();
        let late: BTreeMap<usize, String> = late.into_iter().collect();
        let told = asked.told("Cabinet shop", words);
        let all = match late.len() {
            0 => "no job is late for it".to_owned(),
            1 => "1 job late for it: ".to_owned(),
            jobs => format!("{jobs} jobs late for it: "),
        };
        let named = late.into_values().take(5).collect::<Vec<_>>().join(", ");
        assert!(told.starts_with(&format!("{words}{all}{named}")), "{told}: {all}{named}");
    }
}
