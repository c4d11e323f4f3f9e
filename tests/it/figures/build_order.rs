//! The shops' paper of a day: the build order by crew, what leaves the shop, and the first pages' jobs, costs and missing material.

use super::jobs::{Job, Jobs, begun};
use super::made::shop_of_page;
use super::shop_orders::{length, shop, worked};
use super::takes::{self, Lift, exact, lift, marked};
use crate::oracle::clock::{DAY, day_of, print};
use crate::oracle::numbers;
use crate::oracle::sheets::{Key, key};
use crate::questions::asked::{Asked, Row, Told, clock, minutes_up, seconds, short, text, whole};
use lineward::base::Moment;
use lineward::report::table::Value;
use std::collections::{BTreeMap, BTreeSet};

/// The days on paper: today, where a job is to begin before the list's day; that day; and the shop's next working day.
fn days(asked: &Asked<'_>, jobs: &[Job<'_>], shop: &str) -> Vec<i64> {
    let (day, today) = (seconds(&asked.tables.day) / DAY, day_of(seconds(&asked.tables.as_of)));
    let before = jobs.iter().any(|job| day_of(seconds(&job.row["start"])) < day && today != day);
    let hours = asked.tables.plant.calendar_of_shop(shop);
    let next = day_of(hours.starts(hours.worked((day + 1) * DAY))).max(day + 1);
    Some(today).filter(|_| before).into_iter().chain([day, next]).collect()
}

/// The day on paper of a job.
fn day_of_job(asked: &Asked<'_>, job: &Row) -> i64 {
    let (start, day) = (day_of(seconds(&job["start"])), seconds(&asked.tables.day) / DAY);
    if start < day { day_of(seconds(&asked.tables.as_of)) } else { start }
}

/// A moment to the minute, on a page of a day: its clock, with the weekday on the days around it, else with its date.
fn on(at: i64, day: i64) -> String {
    let minute = print(at - at.rem_euclid(60));
    match day_of(at) - day {
        0 => clock(&minute),
        -3..=6 => format!("{} {}", &short(&minute)[..3], clock(&minute)),
        _ => short(&minute),
    }
}

fn minute_up(at: i64) -> i64 {
    minutes_up(at) * 60
}

/// A job on paper.
struct OnPaper {
    day: String,
    number: usize,
    crew: String,
    what: String,
    minutes: i64,
    below: String,
}

/// Column beside column. Words are broken into lines, so that texts are compared without spaces.
fn on_paper(asked: &Asked<'_>, sheet: &str) -> Vec<OnPaper> {
    let (mut day, mut crews, mut found) = (String::new(), BTreeMap::new(), Vec::<OnPaper>::new());
    let mut last: BTreeMap<u16, usize> = BTreeMap::new();
    for row in &asked.sheet(sheet).rows {
        let cells: BTreeMap<u16, &Value<'_>> = row.cells.iter().map(|cell| (cell.column, &cell.value)).collect();
        for (column, value) in &cells {
            let told = text(value);
            if let Some((_, of)) = told.split_once(": build order, ") {
                day = of.split(", page ").next().expect("a day").to_owned();
                last.clear();
            } else if let Some(crew) = told.strip_prefix("crew ").filter(|crew| crew.parse::<u32>().is_ok()) {
                crews.insert(*column - 1, crew.to_owned());
            } else if let (Value::Whole(number), Some(crew)) = (value, crews.get(column)) {
                last.insert(*column, found.len());
                let (what, minutes) = (text(cells[&(column + 1)]), whole(&text(cells[&(column + 2)])));
                let (number, below) = (usize::try_from(*number).expect("a number"), String::new());
                found.push(OnPaper { day: day.clone(), number, crew: crew.clone(), what, minutes, below });
            } else if let Some(at) = column.checked_sub(1).and_then(|column| last.get(&column))
                && !cells.contains_key(&(column - 1))
            {
                found[*at].below += &told;
            }
        }
    }
    found
}

fn bare(told: &str) -> String {
    told.chars().filter(|sign| !sign.is_whitespace()).collect()
}

/// What an extra says that asks for a job: one of its part, unit and place that is needed when the job's piece is.
fn reason(asked: &Asked<'_>, job: &Job<'_>) -> Option<String> {
    let need = seconds(&asked.peg_of_job(job.row)["need"]);
    let plant = &asked.tables.plant;
    let mut rows = super::notes::extras(asked).filter(|(extra, _)| {
        let same = extra.part == key(&job.row["part"]) && extra.to == key(&job.row["to"]);
        let usual = || {
            let station = &plant.stations[&extra.to];
            let hours = plant.calendar_of_line(&station.line);
            let arrives = asked.tables.arrives(&extra.unit, &extra.to);
            arrives.map(|at| hours.starts(hours.worked(at) - station.deliver_ahead))
        };
        same && extra.unit == key(&job.row["unit"]) && extra.needed.or_else(usual) == Some(need)
    });
    rows.next().map(|(_, row)| row.get("reason").unwrap_or("").trim().to_owned())
}

/// What stands below a job: by when it is begun, the run that brings its material, what decides how it is built, what is not there and when it can be
/// begun then, how late it is, and what other shops bring.
fn below(asked: &Asked<'_>, jobs: &Jobs<'_>, job: &Job<'_>, options: &str, day: i64) -> String {
    let start = if begun(job.row) { "begun".to_owned() } else { format!("by {}", on(seconds(&job.row["start"]), day)) };
    let run = jobs.run(job).map(|run| format!("{} run", on(run, day)));
    let options = Some(options.to_owned()).filter(|options| !options.is_empty());
    let heavy = lift(asked, &job.row["part"], exact(&job.row["qty"])) == Lift::Two;
    let heavy = heavy.then(|| "heavy".to_owned());
    let mut told = std::iter::once(start).chain(run).chain(options).chain(heavy).collect::<Vec<_>>().join("; ");
    told += &reason(asked, job).map(|reason| format!("beyond the bills: {reason}")).unwrap_or_default();
    let not_there = Some(jobs.material_words(job).1).filter(|words| !words.is_empty());
    let start = jobs.earliest(job).filter(|_| not_there.is_some());
    let start = start.map(|start| format!("no start before {}", on(minute_up(start), day)));
    let need = on(seconds(&asked.peg_of_job(job.row)["need"]), day);
    let late = match jobs.late_by(job) {
        Some(0) => None,
        Some(_) => Some(format!("{}: needed {need}", jobs.late_words(job))),
        None => Some("no time known".to_owned()),
    };
    told += &not_there.into_iter().chain(start).chain(late).collect::<Vec<_>>().join("; ");
    let material = jobs.material(job);
    for pegs in material.chunk_by(|one, other| one["part"] == other["part"]) {
        told += &from_another(asked, jobs, pegs, on(job.need, day), day);
    }
    told
}

/// What another shop brings, or what comes off: from which, when it is free there, when it is here, and at the last.
fn from_another(asked: &Asked<'_>, jobs: &Jobs<'_>, pegs: &[&Row], last: String, day: i64) -> String {
    let later = |at: &str| if at.is_empty() { "9".to_owned() } else { at.to_owned() };
    let given = pegs.iter().filter(|peg| ["job", "by-product"].contains(&&peg["cover"]));
    let there = given.filter_map(|peg| Some((jobs.there(peg)?, *peg)));
    let Some((there, first)) = there.max_by_key(|(at, _)| later(at)) else { return String::new() };
    if !there.is_empty() && *there <= *asked.tables.as_of {
        return String::new();
    }
    let here = if there.is_empty() {
        "no time known".to_owned()
    } else {
        format!("here {}", on(minute_up(seconds(&there)), day))
    };
    let givers = jobs.of_shops.values().flatten().filter(|job| match &first["cover"] {
        "job" => job.row["job"] == first["source"],
        _ => {
            job.row["unit"] == first["unit"]
                && job.gives.contains(&key(&first["part"]))
                && asked.peg_of_job(job.row)["available"] == first["available"]
        }
    });
    let giver = givers.max_by_key(|job| later(&job.row["there_at"]));
    let from = giver.map_or(String::new(), |job| {
        let (shop, hours) = (&asked.tables.plant.shops[&job.shop], asked.tables.plant.calendar_of_shop(&job.shop));
        let free = Some(&job.row["there_at"]).filter(|there| !there.is_empty());
        let free = free.map(|there| hours.ends(hours.worked(seconds(there)) - shop.transit));
        let free = free.map_or(String::new(), |free| format!("free {}, ", on(minute_up(free), day)));
        format!(" from {}: {free}", shop.code)
    });
    let from = if from.is_empty() { ": ".to_owned() } else { from };
    format!("{}{from}{here}, at the last {last}", &first["part"])
}

/// Each job of the days on paper once, with its number in the shop's one order, its crew, its minutes, and all that stands below it.
pub fn order(asked: &Asked<'_>, sheet: &str) -> usize {
    let (code, jobs) = (shop(asked, sheet), Jobs::of(asked));
    let own = &jobs.of_shops[&code];
    let days = days(asked, own, &code);
    let all_jobs = sheet.replace(" order", " all jobs");
    let options = asked.sheets.iter().any(|known| known.name == all_jobs);
    let options = if options { asked.maybe_rows(&all_jobs, "latest start") } else { Vec::new() };
    let mut told = on_paper(asked, sheet);
    told.sort_by_key(|told| told.number);
    let soon = own.iter().enumerate().filter(|(_, job)| days.contains(&day_of_job(asked, job.row)));
    let numbers: Vec<usize> = soon.map(|(at, _)| at + 1).collect();
    assert_eq!(told.iter().map(|told| told.number).collect::<Vec<_>>(), numbers, "{sheet}");
    for told in &told {
        let job = &own[told.number - 1];
        let day = day_of_job(asked, job.row);
        let date = Moment::parse(&print(day * DAY)).expect("a date").0.date();
        assert_eq!(told.day, date.long(), "{sheet}: {}", told.what);
        assert_eq!(told.crew, job.row["crew"], "{sheet}: {}", told.what);
        assert_eq!(told.minutes, minutes_up(length(asked, &code, job.row)), "{sheet}: {}", told.what);
        let Some(options) = options.get(told.number - 1) else { continue };
        if job.shared {
            continue;
        }
        let below = bare(&(Jobs::name(job) + &below(asked, &jobs, job, &options["its options that matter"], day)));
        assert_eq!(bare(&(told.what.clone() + &told.below)), below, "{sheet}: {:?} {:#?}", job.row, jobs.material(job));
    }
    told.len()
}

/// Of all jobs: the run that brings the material, the earliest start, how the material stands, and why a job waits for it.
pub fn all_jobs(asked: &Asked<'_>, sheet: &str) -> usize {
    let (code, jobs) = (shop(asked, sheet), Jobs::of(asked));
    let rows = asked.maybe_rows(sheet, "latest start");
    let mut seen = 0;
    for (row, job) in rows.iter().zip(&jobs.of_shops[&code]).filter(|(_, job)| !job.shared) {
        let told = ["its run", "earliest start", "material"].map(|heading| row[heading].clone());
        let earliest = jobs.earliest(job).map_or("no time known".to_owned(), print);
        let right = [jobs.run(job).map_or(String::new(), print), earliest, jobs.material_words(job).0];
        assert_eq!(told, right, "{row:?}: {:#?}", jobs.material(job));
        assert!(row["why"].ends_with(&jobs.effect(job)), "{row:?}: {}", jobs.effect(job));
        assert_eq!(row["why"].is_empty(), !jobs.wrong(job), "{row:?}");
        seen += 1;
    }
    seen
}

/// Jobs of one unit and place, by need and part.
type Set<'s, 'a> = Vec<(i64, Key, &'s Job<'a>)>;

/// What leaves a shop up to the end of the day, by when it must: what its jobs build, the how manieth of the pieces for its unit and place; and how
/// many sets leave in each hour, each with its first piece.
pub fn out(asked: &Asked<'_>, sheet: &str) -> usize {
    let (code, jobs) = (shop(asked, sheet), Jobs::of(asked));
    let (transit, hours) = (asked.tables.plant.shops[&code].transit, asked.tables.plant.calendar_of_shop(&code));
    let day = seconds(&asked.tables.day) / DAY;
    let mut sets: BTreeMap<(Key, Key), Set<'_, '_>> = BTreeMap::new();
    for job in &jobs.of_shops[&code] {
        let need = seconds(&asked.peg_of_job(job.row)["need"]);
        sets.entry((key(&job.row["unit"]), key(&job.row["to"]))).or_default().push((need, key(&job.row["part"]), job));
    }
    let (mut expected, mut of_hours): (Vec<[String; 6]>, BTreeMap<i64, usize>) = Default::default();
    for set in sets.values_mut() {
        set.sort_by_key(|(need, part, _)| (*need, part.clone()));
        let mut first = None;
        for (at, (need, _, job)) in (1..).zip(set.iter()) {
            let leaves = hours.starts(hours.worked(*need) - transit);
            if day_of(leaves) > day {
                continue;
            }
            first = Some(first.map_or(leaves, |first: i64| first.min(leaves)));
            let late = Some(jobs.late_words(job)).filter(|late| !late.is_empty()).map(|late| format!(": {late}"));
            let heavy = lift(asked, &job.row["part"], exact(&job.row["qty"])) == Lift::Two;
            let what =
                format!("{}{}{}", &job.row["part"], late.unwrap_or_default(), if heavy { "; heavy" } else { "" });
            let [unit, to, qty] = ["unit", "to", "qty"].map(|column| job.row[column].to_owned());
            let of = if set.len() > 1 { format!("{at} of {}", set.len()) } else { "alone".to_owned() };
            expected.push([on(leaves, day), unit, to, what, qty, of]);
        }
        if let Some(first) = first {
            *of_hours.entry(first.div_euclid(3600)).or_default() += 1;
        }
    }
    let rows = asked.maybe_rows(sheet, "leaves by");
    let columns = ["leaves by", "unit", "to", "what", "qty", "set"];
    let rows = rows.iter().filter(|row| row["leaves by"] != "leaves by" && !row["what"].is_empty());
    let mut told: Vec<[String; 6]> = rows.map(|row| columns.map(|column| row[column].clone())).collect();
    told.sort();
    expected.sort();
    assert_eq!(told, expected, "{sheet}");
    let hour = |(hour, sets): (&i64, &usize)| {
        let at = print(hour * 3600);
        format!("{} {sets}", if day_of(hour * 3600) == day { clock(&at) } else { short(&at) })
    };
    let of_hours: Vec<String> = of_hours.iter().map(hour).collect();
    let (pieces, all) = (told.len(), of_hours.len());
    let told = asked.texts(sheet);
    assert!(all == 0 || told.contains(&format!("by the hour: {}\n", of_hours.join(", "))), "{sheet}: {of_hours:?}");
    pieces
}

/// What a late job costs the line, and what late material does to it, on a shop's first page; the worst first.
pub fn costs(asked: &Asked<'_>, sheet: &str) -> usize {
    let rows = asked.maybe_rows(sheet, "costs the line");
    let Some(code) = shop_of_page(asked, sheet) else { return 0 };
    let jobs = Jobs::of(asked);
    let own = &jobs.of_shops[&code];
    let days = days(asked, own, &code);
    let mut wrong: Vec<&Job<'_>> =
        own.iter().filter(|job| days.contains(&day_of_job(asked, job.row)) && jobs.wrong(job)).collect();
    let late = |job: &&Job<'_>| std::cmp::Reverse(jobs.late_by(job).unwrap_or(i64::MAX));
    wrong.sort_by_key(|job| (late(job), seconds(&asked.peg_of_job(job.row)["need"])));
    let rows: Vec<&Told> = rows.iter().filter(|row| row["no."].parse::<usize>().is_ok()).collect();
    assert_eq!(rows.len(), wrong.len().min(10), "{sheet}");
    for (row, expected) in rows.iter().zip(&wrong) {
        let job = &own[row["no."].parse::<usize>().expect("a number") - 1];
        assert_eq!(late(&job), late(expected), "{sheet}: {row:?}");
        assert_eq!(row["what"], Jobs::name(job), "{sheet}: {row:?}");
        let cost = jobs.cost(job);
        let (adds, alone) = (minutes_up(cost.adds), minutes_up(cost.alone));
        let told = row["costs the line"].strip_suffix("a stop with no known end");
        assert_eq!(told.is_some(), cost.no_end, "{sheet}: {row:?}: {cost:?}");
        let told = told.map_or(&*row["costs the line"], |told| told.trim_end_matches(", and "));
        match (adds, alone) {
            (0, 0) => assert!(told == if cost.no_end { "" } else { "nothing" }, "{sheet}: {row:?}: {cost:?}"),
            (adds, alone) if adds == alone => assert_eq!(told, format!("{adds} min"), "{sheet}: {row:?}: {cost:?}"),
            (adds, alone) => {
                let (begins, ends) = (format!("{adds} min"), format!("; {alone} by itself"));
                assert!(told.starts_with(&begins) && told.ends_with(&ends), "{sheet}: {row:?}: {cost:?}");
                let behind = &told[begins.len()..told.len() - ends.len()];
                let stops = |unit: &str| {
                    let own = |row: &&Row| row["unit"] == *unit && row["word"] == *"stops the line";
                    asked.table("consequences").iter().any(|row| own(&row))
                };
                assert!(behind.is_empty() || behind.strip_prefix(", behind ").is_some_and(stops), "{sheet}: {row:?}");
            }
        }
        if !job.shared {
            assert!(row["why"].ends_with(&jobs.effect(job)), "{sheet}: {row:?}: {}", jobs.effect(job));
            let state = match jobs.late_by(job) {
                Some(0) => format!("in time; material {}", jobs.material_words(job).0),
                _ => jobs.late_words(job),
            };
            assert_eq!(row["how it stands"], state, "{sheet}: {row:?}");
        }
    }
    rows.len()
}

/// Pieces that are there after their need, with when that is.
type Pieces<'a> = Vec<(&'a Row, Option<i64>)>;

/// Of each part that jobs on paper lack: how much, since when, when the last of it is there, and for whom.
pub fn lacking(asked: &Asked<'_>, sheet: &str) -> usize {
    let Some(code) = shop_of_page(asked, sheet) else { return 0 };
    let jobs = Jobs::of(asked);
    let own = &jobs.of_shops[&code];
    let days = days(asked, own, &code);
    let mut lacks: BTreeMap<(Key, Key, i64), Pieces<'_>> = BTreeMap::new();
    for job in own.iter().filter(|job| days.contains(&day_of_job(asked, job.row))) {
        for (peg, at) in jobs.late(job) {
            let of = (key(&peg["part"]), key(&peg["unit"]), job.need);
            let pegs = lacks.entry(of).or_default();
            if !pegs.iter().any(|(known, _)| std::ptr::eq(*known, peg)) {
                pegs.push((peg, at));
            }
        }
    }
    let mut of_parts: BTreeMap<Key, Pieces<'_>> = BTreeMap::new();
    for ((part, ..), pegs) in &lacks {
        of_parts.entry(part.clone()).or_default().extend(pegs);
    }
    let rows = asked.maybe_rows(sheet, "all there");
    let mut right: Vec<(i64, [String; 6])> = Vec::new();
    for (part, pegs) in of_parts {
        let known = takes::part(asked, &part);
        let qty: i128 = pegs.iter().map(|(peg, _)| exact(&peg["qty"])).sum();
        let first = pegs.iter().map(|(peg, _)| seconds(&peg["need"])).min().expect("a piece");
        let all = pegs.iter().map(|(_, at)| at.unwrap_or(i64::MAX)).max().expect("a piece");
        let all = if all == i64::MAX { "no time known".to_owned() } else { short(&print(all)) };
        let most = lacks.iter().filter(|((of, ..), _)| *of == part);
        let most = most.map(|(_, pegs)| pegs.iter().map(|(peg, _)| exact(&peg["qty"])).sum::<i128>()).max();
        let mut units: Vec<String> = pegs.iter().map(|(peg, _)| peg["unit"].to_owned()).collect();
        units.sort();
        units.dedup();
        let qty = format!("{} {}", numbers::print(numbers::round_up(qty, known.decimals)), known.uom);
        let description = marked(asked, &part, most.expect("a unit"));
        right.push((first, [known.code.clone(), description, qty, print(first), all, units.join("; ")]));
    }
    right.sort_by_key(|(first, cells)| (*first, key(&cells[0])));
    assert_eq!(rows.len(), right.len().min(10), "{sheet}: {rows:#?} {right:#?}");
    for (row, (_, cells)) in rows.iter().zip(&right) {
        let told = ["part", "description", "qty", "first needed", "all there"].map(|heading| row[heading].clone());
        assert_eq!(told, cells[..5], "{sheet}");
        let (units, all): (BTreeSet<&str>, BTreeSet<&str>) =
            (row["for"].split("; ").collect(), cells[5].split("; ").collect());
        let shown: BTreeSet<&str> = units.iter().copied().filter(|unit| !unit.starts_with("and ")).collect();
        assert!(shown.is_subset(&all) && shown.len() == all.len().min(6), "{sheet}: {row:?}: {cells:?}");
    }
    rows.len()
}

/// What is wrong first in all shops: jobs with no time known, the latest, those whose material alone is late.
pub fn wrong_first(asked: &Asked<'_>, sheet: &str) -> usize {
    let rows = asked.maybe_rows(sheet, "why");
    let rows: Vec<&Told> = rows.iter().filter(|row| row.contains_key("due")).collect();
    let jobs = Jobs::of(asked);
    let mut wrong: Vec<&Job<'_>> = jobs.of_shops.values().flatten().filter(|job| jobs.wrong(job)).collect();
    let late = |job: &Job<'_>| std::cmp::Reverse(jobs.late_by(job).unwrap_or(i64::MAX));
    wrong.sort_by_key(|job| (late(job), seconds(&asked.peg_of_job(job.row)["need"])));
    let states: Vec<&str> = asked.table("units").iter().map(|unit| &unit["status"]).collect();
    let away = states.iter().filter(|state| ["hold", "set aside"].contains(*state)).count();
    assert_eq!(rows.len(), away + wrong.len().min(10), "{sheet}");
    for (row, expected) in rows[away..].iter().zip(&wrong) {
        let same = |job: &&&Job<'_>| Jobs::name(job) == row["what"] && job.row["shop"] == row["at"];
        let job = wrong.iter().find(same).unwrap_or_else(|| panic!("{row:?}"));
        assert_eq!(late(job), late(expected), "{row:?}");
        let told = ["due", "unit", "to"].map(|heading| row[heading].clone());
        assert_eq!(told, ["due", "unit", "to"].map(|column| job.row[column].to_owned()), "{row:?}");
        if !job.shared {
            let state = match jobs.late_by(job) {
                Some(0) => format!("in time; material {}", jobs.material_words(job).0),
                _ => jobs.late_words(job),
            };
            assert_eq!(row["how it stands"], state, "{row:?}");
            assert!(row["why"].ends_with(&jobs.effect(job)), "{row:?}: {}", jobs.effect(job));
        }
        let done = worked(asked, &job.shop, &job.row["earliest"]) + length(asked, &job.shop, job.row);
        let over = done - worked(asked, &job.shop, &job.row["due"]);
        assert_eq!(row["why"].contains("by-product: waits") || row["why"].contains("crew time: "), over > 0, "{row:?}");
    }
    rows.len()
}
