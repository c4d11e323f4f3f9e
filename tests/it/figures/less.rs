//! A crew less: each sentence of a shop's page against the whole plan of a plant with one crew less for that time, as its tables have it.

use super::made::shop_of_page;
use crate::oracle::clock::{DAY, day_of, print};
use crate::oracle::sheets::key;
use crate::questions::asked::{Asked, Row, csv_rows, minutes_up, seconds, short, whole};
use crate::support::table_text;
use lineward::base::{Moment, ShopId};
use lineward::check::{self, CrewLess};
use lineward::plan::{self, Plan, Request};
use lineward::report::table::TABLES;
use std::collections::{BTreeMap, HashMap};

/// What the tables of a plan say: how late each job is, by its name and place, and what the line loses.
#[derive(Debug, PartialEq, Eq)]
struct Said {
    /// Minutes; the greatest number where nothing says when.
    late: HashMap<(String, String), i64>,
    seconds: i64,
    no_end: usize,
}

fn said(plan: &Plan<'_>) -> Said {
    let rows =
        |name: &str| csv_rows(&table_text(TABLES.iter().find(|table| table.name == name).expect("a table"), plan));
    let pegs = rows("pegs");
    let needs: HashMap<&str, &str> =
        pegs.iter().filter(|peg| peg["cover"] == *"job").map(|peg| (&peg["source"], &peg["need"])).collect();
    let late = |job: &Row| {
        let late = match &job["there_at"] {
            "" => i64::MAX,
            there => minutes_up(seconds(there) - seconds(needs[&job["job"]])).max(0),
        };
        ((job["job"].to_owned(), job["to"].to_owned()), late)
    };
    let late = rows("jobs").iter().map(late).collect();
    let stops: Vec<Row> = rows("consequences").into_iter().filter(|row| row["word"] == *"stops the line").collect();
    let at_stations = || stops.iter().filter(|row| !row["adds_seconds"].is_empty());
    let seconds = at_stations().map(|row| whole(&row["adds_seconds"])).sum();
    Said { late, seconds, no_end: at_stations().filter(|row| row["stop_minutes"].is_empty()).count() }
}

/// Of today and the shop's next day: what is left of it, and what is left from its first break on; each with how its sentence begins.
fn times(asked: &Asked<'_>, shop: &str) -> Vec<(String, i64, i64)> {
    let hours = asked.tables.plant.calendar_of_shop(shop);
    let now = seconds(&asked.tables.as_of);
    let today = day_of(now);
    let works = |day: i64| hours.worked((day + 1) * DAY) > hours.worked(day * DAY);
    let next = (today + 1..).find(|day| works(*day)).expect("a working day");
    let mut times = Vec::new();
    for day in [today, next] {
        let until = (day + 1) * DAY;
        let from = now.max(day * DAY);
        let what = if from == day * DAY { "all day" } else { "from now on" };
        times.push((format!("{}, {what}: ", day_words(day)), from, until));
        // The first break ends where work begins again on the day.
        if let Some(first) = hours.first_moment(day) {
            let mut stops = first;
            while hours.worked(stops + 1) - hours.worked(first) == stops + 1 - first && stops < until {
                stops += 1;
            }
            let again = hours.starts(hours.worked(stops));
            if again < until && again > now && again > stops {
                times.push((format!("from {} on: ", short(&print(again))), again, until));
            }
        }
    }
    times.retain(|(_, from, until)| hours.worked(*until) > hours.worked(*from));
    times
}

/// `Tue 14 Sep`.
fn day_words(day: i64) -> String {
    Moment::parse(&print(day * DAY)).expect("a date").0.date().short()
}

pub fn sentences(asked: &Asked<'_>, sheet: &str) -> usize {
    let Some(code) = shop_of_page(asked, sheet) else { return 0 };
    // Of a large book a single time is planned anew, of the largest none.
    let units = asked.table("units").len();
    if units > 400 {
        return 0;
    }
    let most = if units > 40 { 1 } else { usize::MAX };
    let book = asked.tables.sheets.book();
    let (mut plant, _) = check::plant(&book, None, Moment::default());
    let shop = plant.shops.iter().position(|shop| key(&plant.dest(shop.dest).code) == code).expect("a shop");
    let request = Request { set_aside: true, ..Default::default() };
    let base = said(&plan::plan(&plant, &request).0.expect("a plan"));
    let texts = asked.texts(sheet);
    let mut seen = 0;
    for (begins, from, until) in times(asked, &code).into_iter().take(most) {
        let told = texts.lines().find(|line| line.starts_with(&begins));
        let told = told.unwrap_or_else(|| panic!("{sheet}: no '{begins}' in {texts}"));
        let [from, until] = [from, until].map(|at| Moment::parse(&print(at)).expect("a moment").0);
        plant.crews_less = vec![CrewLess { shop: ShopId::of(shop), from, until }];
        let then = said(&plan::plan(&plant, &request).0.expect("a plan"));
        let later: BTreeMap<&(String, String), i64> = then
            .late
            .iter()
            .filter(|(job, late)| base.late.get(*job).is_some_and(|was| *late > was))
            .map(|(job, late)| (job, *late))
            .collect();
        let jobs = match later.len() {
            0 => "no job is late for it; ".to_owned(),
            1 => "1 job late for it: ".to_owned(),
            many => format!("{many} jobs late for it: "),
        };
        let behind = told[begins.len()..].strip_prefix(&jobs).unwrap_or_else(|| panic!("{sheet}: {told}: {later:?}"));
        let named = later.iter().filter(|((job, _), late)| {
            let words = if **late == i64::MAX { "late, no time known".to_owned() } else { format!("late {late} min") };
            behind.contains(&format!("{job} {words}"))
        });
        assert!(named.count() >= later.len().min(5), "{sheet}: {told}: {later:?}");
        if told.ends_with("the line loses no more than as it is.") {
            assert_eq!((then.seconds, then.no_end > 0), (base.seconds, base.no_end > 0), "{sheet}: {told}");
        } else {
            let (_, loses) = told.split_once("the line then loses ").unwrap_or_else(|| panic!("{sheet}: {told}"));
            assert_eq!(loses.contains(" with no known end beside"), then.no_end > 0, "{sheet}: {told}");
            // Each day's minutes are rounded up.
            let by_days = loses.split(" min, each day begun").next().expect("days");
            let minutes: Vec<i64> =
                by_days.split([',', ';']).filter_map(|day| day.trim().rsplit(' ').next()?.parse().ok()).collect();
            let (least, days) = (minutes_up(then.seconds), i64::try_from(minutes.len()).expect("days"));
            let sum: i64 = if then.seconds == 0 { 0 } else { minutes.iter().sum() };
            let all = !by_days.contains(" more");
            assert!(!all || (least..=least + days).contains(&sum), "{sheet}: {told}: {then:?}");
        }
        seen += 1;
    }
    seen
}
