//! The buyer's answers: who is called first and told what, and what that is worth. The lists are in `shortages_lists`.

use super::Check;
use super::asked::{Asked, DAY, Row, between, clock, csv_rows, minutes_up, near, number, seconds, short, whole};
use super::shortages_lists as lists;
use crate::oracle::clock::{DAY as A_DAY, day_of, print};
use crate::oracle::waves::wave_before;
use crate::support::table_text;
use lineward::base::Moment;
use lineward::report::table::TABLES;
use std::collections::{BTreeMap, BTreeSet};

/// How each question is checked, by sheet and heading.
pub const CHECKS: [(&str, &str, Check); 24] = [
    ("at a glance", "call", first_called),
    ("at a glance", "ask", told_what),
    ("at a glance", "the line loses", loses),
    ("at a glance", "if it fails, min", if_it_fails),
    ("at a glance", "minutes saved alone", saved_alone),
    ("at a glance", "all of these save", block),
    ("at a glance", "stock on hold", would_do),
    ("at a glance", "which nobody has promised", unpromised),
    ("by supplier", "ask", asks),
    ("by supplier", "confirm", to_confirm),
    ("routine orders", "order by", lists::routine),
    ("changes", "cost of what is left", lists::old_parts),
    ("not clear", "waits since", lists::waits_since),
    ("not clear", "not on hand since", lists::not_on_hand_since),
    ("shortages", "first need", lists::first_need),
    ("who waits", "minutes late", lists::minutes_late),
    ("on hold", "why it is on hold", lists::on_hold),
    ("chase", "taken as there", lists::chase),
    ("bring forward", "how many", lists::bring_forward),
    ("order", "cost", lists::cost_of_orders),
    ("not needed", "not needed", lists::not_needed),
    ("balance", "first wait", lists::first_wait),
    ("left of receipts", "cost", lists::left_of_receipts),
    ("first builds", "what is missing", super::new_floorplan::lacks),
];

/// A bought piece that stops the line: the move of its unit, and until when it stands for it, where that is known; in the line's working
/// seconds.
struct Stop {
    part: String,
    unit: String,
    at: i64,
    until: Option<i64>,
}

/// What stops the line for want of what is bought: what a shop builds late of it waits for the same.
fn stops(asked: &Asked<'_>, rows: &[Row]) -> Vec<Stop> {
    let parts = asked.of_book("Parts").iter();
    let made: BTreeSet<&str> =
        parts.filter(|part| !["", "buy"].contains(&&part["source"])).map(|part| &part["part"]).collect();
    let stops = rows.iter().filter(|row| row["word"] == *"stops the line" && !made.contains(&row["part"]));
    stops
        .map(|row| {
            let at = asked.tables.plant.calendar_of_line("l1").worked(seconds(&row["arrives"]));
            let minutes = Some(&row["stop_minutes"]).filter(|told| !told.is_empty()).map(whole);
            Stop {
                part: row["part"].to_owned(),
                unit: row["unit"].to_owned(),
                at,
                until: minutes.map(|minutes| at + minutes * 60),
            }
        })
        .collect()
}

/// Minutes lost by date, in all if nothing is made up, and units that stop with no known end.
#[derive(Debug, Default)]
struct Loss {
    dates: BTreeMap<i64, i64>,
    in_all: i64,
    no_end: usize,
}

impl Loss {
    fn by_dates(&self) -> i64 {
        self.dates.values().sum()
    }
}

/// A line that stands at a move until a piece is there is then later by that than it was to be, unless it is so already; each date begins on
/// its times, with what it still waits for from before.
fn loss<'s>(asked: &Asked<'_>, stops: impl Iterator<Item = &'s Stop>) -> Loss {
    let calendar = asked.tables.plant.calendar_of_line("l1");
    let mut loss = Loss::default();
    let (mut known, mut no_end) = (Vec::new(), BTreeSet::new());
    for stop in stops {
        match stop.until {
            Some(until) => known.push((stop.at, until)),
            None => _ = no_end.insert(&stop.unit),
        }
    }
    known.sort_unstable();
    loss.no_end = no_end.len();
    let late = |moves: &[(i64, i64)], end: i64, mut late: i64| {
        for (at, until) in moves {
            late += (*until.min(&end) - end.min(at + late)).max(0);
        }
        late
    };
    loss.in_all = minutes_up(late(&known, i64::MAX, 0));
    let days = known.first().map_or(0, |first| day_of(calendar.starts(first.0)));
    for day in days..days + 60 {
        let (begins, ends) = (calendar.worked(day * A_DAY), calendar.worked((day + 1) * A_DAY));
        let before = known.iter().filter(|(at, _)| *at < begins).map(|(_, until)| until.min(&ends) - begins).max();
        let moves: Vec<(i64, i64)> = known.iter().copied().filter(|(at, _)| (begins..ends).contains(at)).collect();
        let lost = late(&moves, ends, before.unwrap_or(0).max(0));
        if lost > 0 {
            loss.dates.insert(day, minutes_up(lost));
        }
    }
    loss
}

fn all(asked: &Asked<'_>) -> Vec<Stop> {
    stops(asked, asked.table("consequences"))
}

fn in_all(asked: &Asked<'_>, so: impl Fn(&Stop) -> bool) -> (i64, usize) {
    let loss = loss(asked, all(asked).iter().filter(|stop| so(stop)));
    (loss.by_dates(), loss.no_end)
}

/// Whether the day works, from the consequences at stations: which units stop on it, first when and where, what the line loses on it, and what
/// comes with runs of its own; and the receipt on which that rests. A line stops for a piece ten minutes (`hand over minutes`) after the
/// last moment that saves it.
pub fn verdict(asked: &Asked<'_>) -> String {
    let rows = asked.table("consequences").iter();
    let rows = rows.filter(|row| asked.of_book("Stations").iter().any(|station| station["station"] == row["to"]));
    let stop = |row: &&Row| (row["word"] == *"stops the line").then(|| print(seconds(&row["saves_until"]) + 600));
    let stops: BTreeMap<String, &Row> =
        rows.clone().filter_map(|row| Some((stop(&row).filter(|at| at.starts_with(DAY))?, row))).collect();
    let units: BTreeSet<&str> = stops.values().map(|row| &row["unit"]).collect();
    let (at, first) = stops.first_key_value().expect("a stop");
    let runs = rows.filter(|row| row["word"] == *"special run" && row["arrives"].starts_with(DAY)).count();
    let loss = loss(asked, all(asked).iter());
    let lost = loss.dates[&day_of(seconds(DAY))];
    let overdue = asked.of_book("Receipts").iter().filter(|receipt| receipt["due"] < *"2027-09-13");
    let rests = overdue.map(|receipt| {
        let (order, part) = (&receipt["purchase order"], &receipt["part"]);
        let there = asked.pegs(part).iter().find(|peg| peg["source"] == *order).expect("a peg");
        format!("{order} ({part}) comes by {}, which nobody has promised", short(&there["available"]))
    });
    let told = asked.sheets[0].rows.iter().flat_map(|row| &row.cells).map(|cell| super::asked::text(&cell.value));
    let rests =
        rests.into_iter().find(|rests| told.clone().any(|told| told.contains(&format!("This holds if {rests}"))));
    format!(
        "Tuesday 14 September 2027 does not work as it stands: {} unit stops; first {}, {} at {}; the line loses {lost} min on it; {runs} \
         special runs. This holds if {}; without it ",
        units.len(),
        clock(at),
        &first["unit"],
        &first["to"],
        rests.expect("an overdue receipt is named")
    )
}

/// The calls of the first sheet: `bring forward 52220`, part by part.
fn calls(asked: &Asked<'_>) -> Vec<super::asked::Told> {
    let rows = asked.rows("at a glance", "call");
    rows.into_iter().filter(|row| row["call"] != "ask quality").collect()
}

/// By the day of the first moment that saves; within a day stops with no known end first, then what the line loses for it alone, then by that
/// moment.
fn first_called(asked: &Asked<'_>) {
    let parts: BTreeSet<String> = all(asked).into_iter().map(|stop| stop.part).collect();
    let mut expected: Vec<_> = parts
        .into_iter()
        .map(|part| {
            let own = asked.table("consequences").iter().filter(|row| row["part"] == *part);
            let saves = own.filter(|row| row["word"] == *"stops the line").map(|row| row["saves_until"].to_owned());
            let saves = saves.min().expect("a stop");
            let (minutes, no_end) = in_all(asked, |stop| stop.part == part);
            ((saves[..10].to_owned(), no_end == 0, std::cmp::Reverse(minutes), saves.clone()), part, saves)
        })
        .collect();
    expected.sort();
    let told: Vec<_> =
        calls(asked).into_iter().map(|row| (row["part"].clone(), row["saves the line until"].clone())).collect();
    assert_eq!(told, expected.into_iter().map(|(_, part, saves)| (part, saves)).collect::<Vec<_>>());
}

/// A piece that stops the line, the picking of its run, and until when it saves.
fn steps(asked: &Asked<'_>, part: &str) -> BTreeMap<i64, (f64, String)> {
    let mut steps: BTreeMap<i64, (f64, String)> = BTreeMap::new();
    let own = asked.table("consequences").iter().filter(|row| row["part"] == *part && row["word"] == *"stops the line");
    for row in own {
        let same = |peg: &&Row| ["unit", "to", "qty"].iter().all(|column| peg[column] == row[column]);
        let peg = asked.pegs(part).iter().find(same).expect("a peg");
        let picked = wave_before(&asked.tables.plant, seconds(&peg["need"])).pick_start;
        let step = steps.entry(picked).or_insert((0.0, row["saves_until"].to_owned()));
        step.0 += number(&row["qty"]);
        if row["saves_until"] < *step.1 {
            step.1 = row["saves_until"].to_owned();
        }
    }
    steps
}

/// So many, all told, by the picking of their run, and at the last; two dates at most.
fn told_what(asked: &Asked<'_>) {
    for row in calls(asked) {
        let (mut so_far, mut words) = (0.0, Vec::new());
        for (picked, (qty, saves)) in steps(asked, &row["part"]).into_iter().take(2) {
            so_far += qty;
            words.push(format!("{so_far} ea by {}, at the last {}", short(&print(picked)), short(&saves)));
        }
        let order = row["call"].rsplit(' ').next().expect("a word");
        let receipt = |receipt: &&Row| receipt["purchase order"] == *order && receipt["part"] == *row["part"];
        let behind = match asked.of_book("Receipts").iter().find(receipt).map(|receipt| &receipt["due"]) {
            Some(due) if *due < *"2027-09-13" => " (overdue, not promised)".to_owned(),
            Some(due) if due.len() == 10 => " (day only)".to_owned(),
            Some(_) => String::new(),
            None => {
                let planned = |day: &&Row| day["part"] == *row["part"] && !day["planned_release"].is_empty();
                let first = asked.table("balances").iter().find(planned).expect("an order");
                match &first["planned_release"] {
                    past if *past < *"2027-09-13" => "; inside lead time".to_owned(),
                    day => format!(
                        "; order by {}",
                        short(&lists::open_day(asked, day)).rsplit_once(' ').expect("a time").0
                    ),
                }
            }
        };
        assert_eq!(row["ask"].trim_end_matches(" (block 1)"), format!("{}{behind}.", words.join("; ")));
    }
}

/// By date, each begun on its times, and all of it if nothing is made up.
fn loses(asked: &Asked<'_>) {
    let loss = loss(asked, all(asked).iter());
    let expected = format!("{}; {} of them with no known end, counted beside", words(&loss), loss.no_end);
    assert_eq!(asked.fact("at a glance", "the line loses"), expected);
}

/// `Tue 20, Wed 341 min, each day begun on its times; 341 if nothing is made up`
fn words(loss: &Loss) -> String {
    let days = loss.dates.iter().map(|(day, minutes)| format!("{} {minutes}", &short(&print(day * A_DAY))[..3]));
    let days = days.collect::<Vec<_>>().join(", ");
    format!("{days} min, each day begun on its times; {} if nothing is made up", loss.in_all)
}

/// `341 min`, `1 stop with no known end`.
fn worth((minutes, no_end): (i64, usize)) -> String {
    let stops = match no_end {
        0 => None,
        1 => Some("1 stop with no known end".to_owned()),
        _ => Some(format!("{no_end} stops with no known end")),
    };
    let minutes = (minutes > 0).then(|| format!("{minutes} min"));
    stops.into_iter().chain(minutes).collect::<Vec<_>>().join("; ")
}

/// Its own pieces fail, all others succeed; on both sheets.
fn if_it_fails(asked: &Asked<'_>) {
    for row in asked.rows("at a glance", "if it fails, min") {
        let fails = worth(in_all(asked, |stop| stop.part == row["part"]));
        assert_eq!(row["if it fails, min"], fails, "{row:?}");
        if row["call"] != "ask quality" {
            let others = asked.rows("by supplier", "if it fails, min");
            let other = others.iter().find(|other| other["part"] == row["part"]).expect("the same call");
            assert_eq!(other["if it fails, min"].split("; with").next(), Some(&*fails));
        }
    }
}

/// All others fail, it alone succeeds.
fn saved_alone(asked: &Asked<'_>) {
    let (minutes, no_end) = in_all(asked, |_| true);
    for row in asked.rows("at a glance", "minutes saved alone") {
        let (others, others_no_end) = in_all(asked, |stop| stop.part != row["part"]);
        let expected = match no_end - others_no_end {
            0 => (minutes - others).to_string(),
            1 => "1 stop".to_owned(),
            stops => format!("{stops} stops"),
        };
        assert_eq!(row["minutes saved alone"], expected, "{row:?}");
    }
}

/// What calls that save only together save, and what one of them does.
fn block(asked: &Asked<'_>) {
    let of_block: BTreeSet<String> = calls(asked)
        .into_iter()
        .filter(|row| row["ask"].contains("(block 1)"))
        .map(|row| row["part"].clone())
        .collect();
    assert!(of_block.len() > 1);
    let all = in_all(asked, |_| true).0;
    let together = all - in_all(asked, |stop| !of_block.contains(&stop.part)).0;
    let alone = of_block.iter().map(|part| all - in_all(asked, |stop| stop.part != *part).0).max().expect("a call");
    assert!(alone < together);
    let expected = format!("Block 1: all of these save {together} min; one alone saves {alone} min at most.");
    assert_eq!(asked.told("at a glance", "all of these save"), expected);
}

/// Stock on hold of a part that stops the line: so much of it would do, and until when quality can answer.
fn would_do(asked: &Asked<'_>) {
    let rows = asked.rows("at a glance", "call");
    let told: Vec<_> = rows.iter().filter(|row| row["supplier"] == "stock on hold").collect();
    let stops: BTreeSet<String> = all(asked).into_iter().map(|stop| stop.part).collect();
    let held = asked.of_book("Stock").iter().filter(|row| !row["hold"].is_empty() && stops.contains(&row["part"]));
    let held: Vec<&Row> = held.collect();
    assert_eq!((told.len(), held.len()), (1, 1));
    let steps = steps(asked, &held[0]["part"]);
    let wanted: f64 = steps.values().map(|step| step.0).sum();
    assert!(wanted <= number(&held[0]["qty"]));
    let first = short(&print(*steps.first_key_value().expect("a step").0));
    let expected = format!(
        "{wanted} of {} at {} ({}) would do: quality decides, and can answer until {first}; after it the call is made.",
        &held[0]["qty"], &held[0]["location"], &held[0]["hold"]
    );
    assert_eq!((&*told[0]["part"], &*told[0]["ask"]), (&held[0]["part"], &*expected));
}

/// Without the overdue receipt the book is planned anew.
fn unpromised(asked: &Asked<'_>) {
    let told = asked.told("at a glance", "which nobody has promised; ");
    let order = between(&told, "This holds if ", " (").to_owned();
    let mut book = asked.tables.sheets.clone();
    let receipts = book.0["Receipts"].lines().filter(|row| !row.starts_with(&format!("{order},")));
    let receipts = receipts.collect::<Vec<_>>().join("\n");
    book.set("Receipts", &receipts);
    let of_plan = |plan: &lineward::plan::Plan<'_>| {
        let table = TABLES.iter().find(|table| table.name == "consequences").expect("the table");
        stops(asked, &csv_rows(&table_text(table, plan)))
    };
    let stops = book.look(None, false, of_plan).unwrap_or_else(|findings| panic!("{findings:?}"));
    let loss = loss(asked, stops.iter());
    let expected = format!(
        "without it the line loses {}; {} units stop with no known end, counted beside",
        words(&loss),
        loss.no_end
    );
    assert!(told.contains(&expected), "{told}: {expected}");
    let row = asked.of_book("Receipts").iter().find(|row| row["purchase order"] == *order).expect("a receipt");
    assert!(
        row["due"] < *"2027-09-13" && told.contains(&format!("{order} ({}) comes by Tue 14 Sep 10:00", &row["part"]))
    );
}

/// `Of 24 ea of order 52220 (due Wed 15 Sep; day only): ask for 1 ea by …; then 1 more by …`: the pieces of the order that are not there
/// when they are needed, by the picking of their runs; of one that is overdue all that is taken.
fn asks(asked: &Asked<'_>) {
    let mut seen = 0;
    for row in asked.rows("by supplier", "ask").iter().filter(|row| ["chase", "bring forward"].contains(&&*row["call"]))
    {
        let order = between(&row["ask"], "of order ", " (");
        let open = asked.of_book("Receipts").iter();
        let open = open.filter(|receipt| receipt["purchase order"] == *order && receipt["part"] == *row["part"]);
        let open: f64 = open.map(|receipt| number(&receipt["qty"])).sum();
        assert!(near(number(between(&row["ask"], "Of ", " ")), open), "{row:?}: {open}");
        let mut steps: BTreeMap<i64, f64> = BTreeMap::new();
        for peg in asked.pegs(&row["part"]).iter().filter(|peg| peg["source"] == *order) {
            let picked = wave_before(&asked.tables.plant, seconds(&peg["need"])).pick_start;
            if row["call"] == "chase" || peg["available"] > peg["need"] {
                *steps.entry(picked).or_default() += number(&peg["qty"]);
            }
        }
        let mut words = String::new();
        let mut all = 0.0;
        for (at, (picked, qty)) in steps.iter().enumerate() {
            all += qty;
            let by = short(&print(*picked));
            match at {
                0 => words += &format!("ask for {qty} ea by {by}"),
                1 => words += &format!("|then {qty} more by {by}"),
                _ => {}
            }
        }
        if steps.len() > 2 {
            words += &format!("|{all} ea in all by {}", short(&print(*steps.last_key_value().expect("a step").0)));
        }
        assert!(all <= open, "{row:?}");
        for words in words.split('|') {
            assert!(row["ask"].contains(words), "{}: {words}", row["ask"]);
        }
        assert_eq!(row["ask"].contains("the rest as ordered"), row["call"] == "bring forward" && all < open);
        seen += 1;
    }
    assert_eq!(seen, 6);
}

/// What was denied, and is to go with runs picked by the end of the day.
fn to_confirm(asked: &Asked<'_>) {
    let rows = asked.rows("by supplier", "call");
    let told: Vec<_> = rows.iter().filter(|row| row["call"] == "confirm").collect();
    assert_eq!(told.len(), 1);
    let denied = asked.of_book("Receipts").iter().find(|row| row["confirmed"] == *"no").expect("a receipt");
    assert_eq!((&*told[0]["supplier"], &*told[0]["part"]), (&denied["supplier"], &denied["part"]));
    let end = Moment::parse("2027-09-15").expect("a date").0.seconds();
    let own = asked.pegs(&denied["part"]).iter().filter(|peg| peg["source"] == denied["purchase order"]);
    let own: Vec<_> = own
        .map(|peg| (wave_before(&asked.tables.plant, seconds(&peg["need"])).pick_start, peg))
        .filter(|(picked, _)| *picked < end)
        .collect();
    let (first, peg) = own.iter().min_by_key(|(picked, _)| *picked).expect("a piece");
    let qty: f64 = own.iter().map(|(_, peg)| number(&peg["qty"])).sum();
    let expected = format!(
        "Of {} ea of order {} (due {}; not confirmed): ask whether it is there by {}; of it {qty} ea for runs picked from {} on, {} at {} first.",
        &denied["qty"],
        &denied["purchase order"],
        short(&denied["due"]),
        short(&peg["available"]),
        short(&print(*first)),
        &peg["unit"],
        &peg["to"]
    );
    assert_eq!(told[0]["ask"], expected);
}
