//! What first sheets say of the line: how many units stop, the first, and what is lost by date and if nothing is made up; and pieces that come off units.

use super::jobs::{Jobs, loses};
use super::takes::{self, exact};
use crate::oracle::clock::{DAY, day_of, print};
use crate::oracle::numbers;
use crate::oracle::sheets::{Key, key};
use crate::questions::asked::{Asked, Row, minutes_up, seconds, short};
use lineward::base::Moment;
use std::collections::{BTreeMap, BTreeSet};

/// A day of the coming week by its name, another with its date.
fn day_words(asked: &Asked<'_>, day: i64) -> String {
    let date = Moment::parse(&print(day * DAY)).expect("a date").0.date().short();
    let soon = (0..7).contains(&(day - day_of(seconds(&asked.tables.as_of))));
    if soon { date[..3].to_owned() } else { format!("{date}:") }
}

/// The stops of the table, at stations, with when the unit comes to the last one where the piece can be fitted.
fn stops<'a>(asked: &'a Asked<'_>) -> Vec<(&'a Row, i64)> {
    let stations = &asked.tables.plant.stations;
    let rows = asked.table("consequences").iter().filter(|row| row["word"] == *"stops the line");
    let at_stations = rows.filter(|row| stations.contains_key(&key(&row["to"])));
    at_stations
        .map(|row| {
            // Elsewhere on the line, and behind its own station.
            let own = &stations[&key(&row["to"])];
            let fit_by = takes::part(asked, &row["part"]).fit_by.as_ref().filter(|fit_by| {
                let station = &stations[*fit_by];
                station.line == own.line && station.position > own.position
            });
            let to = fit_by.map_or(&row["to"], String::as_str);
            (row, asked.tables.arrives(&row["unit"], to).expect("a unit on the line"))
        })
        .collect()
}

/// The same words on all three first sheets.
pub fn the_line(asked: &Asked<'_>, sheet: &str) -> usize {
    let stops = stops(asked);
    let units: BTreeSet<&str> = stops.iter().map(|(row, _)| &row["unit"]).collect();
    let told = asked.fact(sheet, "the line");
    let begins = match units.len() {
        0 => "no unit stops".to_owned(),
        1 => "1 unit stops".to_owned(),
        many => format!("{many} units stop"),
    };
    assert!(told.starts_with(&begins), "{told}: {begins}");
    if units.is_empty() {
        assert!(!asked.texts(sheet).contains("\nthe line loses\n"), "{sheet}");
        return 1;
    }
    let first = stops.iter().map(|(_, at)| *at).min().expect("a stop");
    assert!(told.contains(&format!("; first {}, ", short(&print(first)))), "{told}: {}", print(first));
    let plant = &asked.tables.plant;
    let mut of_lines: BTreeMap<usize, Vec<(i64, i64)>> = BTreeMap::new();
    for (row, arrives) in stops.iter().filter(|(row, _)| !row["stop_minutes"].is_empty()) {
        let line: &Key = &plant.stations[&key(&row["to"])].line;
        let hours = plant.calendar_of_line(line);
        let until = hours.worked(seconds(&row["there_at"]) + plant.settings.hand_over);
        let number = plant.lines.iter().position(|known| known.key == *line).expect("a line");
        of_lines.entry(number).or_default().push((hours.worked(*arrives), until));
    }
    let several = plant.lines.len() > 1;
    let (mut days, mut in_all) = (Vec::new(), Vec::new());
    for (number, stops) in of_lines {
        let line = &plant.lines[number];
        days.extend(loses(asked, &line.key, stops.clone()).into_iter().map(|(day, lost)| (number, day, lost)));
        // The same as one long day.
        let mut sorted = stops;
        sorted.sort_unstable();
        let lost = sorted.iter().fold(0, |late, (at, until)| late + (until - (at + late)).max(0));
        let minutes = minutes_up(lost);
        if lost > 0 {
            in_all.push(if several { format!("{minutes} on line {}", line.code) } else { minutes.to_string() });
        }
    }
    let told = asked.fact(sheet, "the line loses");
    let unknown: BTreeSet<&str> =
        stops.iter().filter(|(row, _)| row["stop_minutes"].is_empty()).map(|(row, _)| &row["unit"]).collect();
    let no_end = match (unknown.len(), units.len()) {
        (0, _) => None,
        (1, 1) => Some("with no known end".to_owned()),
        (some, all) if some == all => Some("all of them with no known end".to_owned()),
        (some, _) => Some(format!("{some} of them with no known end")),
    };
    let lost = (!in_all.is_empty() || !days.is_empty()).then(|| {
        let shown = &days[..days.len().min(10)];
        let of_lines = shown.chunk_by(|one, other| one.0 == other.0).map(|of_line| {
            let words: Vec<String> = of_line
                .iter()
                .map(|(_, day, lost)| format!("{} {}", day_words(asked, *day), minutes_up(*lost)))
                .collect();
            let words = words.join(", ");
            if several { format!("line {}: {words}", plant.lines[of_line[0].0].code) } else { words }
        });
        let more = days.len() - shown.len();
        let more = if more > 0 { format!(" and {more} days more") } else { String::new() };
        let of_lines = of_lines.collect::<Vec<_>>().join("; ");
        let of_days = if days.is_empty() { "nothing on any day".to_owned() } else { format!("{of_lines} min{more}") };
        let in_all = if in_all.is_empty() { "nothing".to_owned() } else { in_all.join(" and ") };
        format!("{of_days}, each day begun on its times; {in_all} if nothing is made up")
    });
    let no_end = no_end.map(|words| if lost.is_some() { format!("{words}, counted beside") } else { words });
    let right = lost.into_iter().chain(no_end).collect::<Vec<_>>().join("; ");
    let right = if right.is_empty() { "nothing: the line does not work then".to_owned() } else { right };
    assert_eq!(told, right, "{sheet}: {stops:?}");
    units.len()
}

/// By-products that are needed on the day, soonest first: when each is there, late material of what gives it waited for.
pub fn comes_off(asked: &Asked<'_>, sheet: &str) -> usize {
    let rows = asked.maybe_rows(sheet, "comes off");
    let jobs = Jobs::of(asked);
    let mut right: Vec<[String; 7]> = Vec::new();
    for peg in
        asked.all_pegs().filter(|peg| peg["cover"] == *"by-product" && peg["need"].starts_with(&asked.tables.day))
    {
        let there = jobs.there(peg).expect("it comes off");
        let late = there.is_empty() || *there > peg["need"];
        let part = takes::part(asked, &peg["part"]);
        let qty = numbers::print(numbers::round_up(exact(&peg["qty"]), part.decimals));
        let there = if there.is_empty() { "no time known".to_owned() } else { there };
        let state = if late { "late" } else { "in time" };
        let whose = if peg["unit"].is_empty() { "no unit" } else { &peg["unit"] };
        let cells = [&*there, whose, &peg["part"], &qty, state, &peg["to"], &peg["need"]];
        right.push(cells.map(str::to_owned));
    }
    let columns = ["comes off", "unit", "part", "qty", "how it stands", "goes to", "needed"];
    let rows = rows.iter().filter(|row| row.contains_key("comes off"));
    let mut told: Vec<[String; 7]> = rows.map(|row| columns.map(|column| row[column].clone())).collect();
    told.sort();
    right.sort();
    assert_eq!(told, right);
    told.len()
}
