//! The stores' figures: what each run takes from which bin, its walks and kilograms, and what waits at the dock.

use super::pull_list::{by_name, of_nobody};
use super::takes::{run_of, stop_rows};
use crate::oracle::clock::print;
use crate::oracle::sheets::key;
use crate::oracle::waves::wave_before;
use crate::questions::asked::{Asked, Row, Told, near, number, seconds, text, whole};
use std::collections::BTreeMap;

/// What of a pull is there when its run is picked: what covers it by then, and, where that is all of it, up to what it is rounded up to, as far
/// as nobody else needs that. Packs are told by bins alone.
pub fn there(asked: &Asked<'_>, pull: &Row) -> Option<[f64; 2]> {
    if pull["issue"] == *"bulk" {
        return None;
    }
    let wave = seconds(&pull["wave"]);
    let own = |peg: &&Row| {
        peg["to"] == pull["to"]
            && peg["unit"] == pull["unit"]
            && peg["need"] >= pull["wave"]
            && wave_before(&asked.tables.plant, seconds(&peg["need"])).clock == wave
    };
    let (mut there, mut whole) = (0.0, true);
    for peg in asked.pegs(&pull["part"]).iter().filter(own) {
        match &peg["cover"] {
            "reserved" | "stock" => there += number(&peg["qty"]),
            "receipt" if peg["available"] <= pull["pick_start"] => there += number(&peg["qty"]),
            "receipt" | "none" => whole = false,
            _ => {}
        }
    }
    Some([there, if whole { number(&pull["qty"]) } else { there }])
}

/// Kilograms of lines together: those known, how many lines have a weight, and how many none.
#[derive(Default)]
pub struct Load(f64, usize, usize);

impl Load {
    pub fn add(&mut self, asked: &Asked<'_>, part: &str, qty: f64) {
        match asked.weight(part) {
            Some(weight) => (self.0, self.1) = (self.0 + weight * qty, self.1 + 1),
            None => self.2 += 1,
        }
    }

    pub fn is_told(&self, told: &str) -> bool {
        self.is_told_up_to(self, told)
    }

    /// Each line is cut at the sixth place.
    fn is_told_up_to(&self, most: &Self, told: &str) -> bool {
        let near = 1e-5 * self.1 as f64;
        match (self.1, self.2) {
            (0, 0) => told.is_empty(),
            (0, _) => told == "not known",
            _ => told.parse::<f64>().is_ok_and(|told| (self.0 - near..=most.0 + near).contains(&told)),
        }
    }
}

pub fn tab_of(run: &str) -> String {
    run.trim_start_matches("the ").trim_end_matches(" run").replace(':', ".")
}

/// What stands before the first number of a location, or that number.
pub fn zone(place: &str) -> String {
    let begins = place.chars().next().is_some_and(|first| first.is_ascii_digit());
    let zone: String = place.chars().take_while(|sign| sign.is_ascii_digit() == begins).collect();
    zone.trim_end_matches(|sign: char| !sign.is_alphanumeric()).to_owned()
}

/// All that a run takes of each part, stop by stop: from the pegs for kits, for packs no more than what is pulled.
pub fn stops(asked: &Asked<'_>, sheet: &str) -> usize {
    let rows = stop_rows(asked, sheet);
    let by_name = by_name(asked);
    let pulls = by_name.get(&run_of(&sheet["stops ".len()..])).map_or(&[][..], Vec::as_slice);
    let (mut told, mut expected, mut packs) = (BTreeMap::new(), BTreeMap::new(), BTreeMap::new());
    for row in &rows {
        let take = number(&row["take"]);
        assert!(near(number(&row["bin before"]) - take, number(&row["left"])), "{row:?}");
        let place = if row["location"] == "not known" { "" } else { &*row["location"] };
        assert_eq!(row["zone"], zone(place), "{row:?}");
        let mut load = Load::default();
        load.add(asked, &row["part"], take);
        assert!(load.is_told(&row["kg"]), "{row:?}");
        let each = row["kg each"].parse().ok();
        assert_eq!(each, asked.weight(&row["part"]), "{row:?}");
        assert_eq!(row["what to know"].contains("bin empty after"), number(&row["left"]) == 0.0, "{row:?}");
        *told.entry(row["part"].clone()).or_default() += take;
    }
    for pull in pulls {
        match there(asked, pull) {
            Some([least, most]) if least > 0.0 => {
                let sum: &mut [f64; 2] = expected.entry(pull["part"].to_owned()).or_default();
                *sum = [sum[0] + least, sum[1] + most];
            }
            Some(_) => {}
            None => *packs.entry(pull["part"].to_owned()).or_default() += number(&pull["qty"]),
        }
    }
    if asked.texts(sheet).contains(" stops more: ") {
        return rows.len();
    }
    let most = |part: &String| packs.get(part).copied();
    let of_kits: BTreeMap<&String, f64> =
        told.iter().filter(|(part, _)| most(part).is_none()).map(|(part, qty)| (part, *qty)).collect();
    assert!(of_kits.keys().copied().eq(expected.keys()), "{sheet}: {of_kits:?}\n{expected:?}");
    let right = |(part, qty): (&&String, &f64)| {
        let [least, most] = expected[*part];
        (least - 1e-6..=most + 1e-6).contains(qty)
    };
    assert!(of_kits.iter().all(right), "{sheet}: {of_kits:?}\n{expected:?}");
    let fits = |(part, qty): (&String, &f64)| most(part).is_none_or(|most: f64| *qty <= most + 1e-6);
    assert!(told.iter().all(fits), "{sheet}: {told:?}\n{packs:?}");
    rows.len()
}

/// What a run's stops come to: how many, and the kilograms.
fn work(asked: &Asked<'_>, run: &str) -> Option<(usize, Load, Vec<String>)> {
    let sheet = format!("stops {}", tab_of(run));
    if !asked.sheets.iter().any(|known| known.name == sheet) || asked.texts(&sheet).contains(" stops more: ") {
        return None;
    }
    let rows = stop_rows(asked, &sheet);
    let mut load = Load::default();
    rows.iter().for_each(|row| load.add(asked, &row["part"], number(&row["take"])));
    let mut zones: Vec<String> = rows.iter().map(|row| row["zone"].clone()).collect();
    zones.dedup_by_key(|zone| zone.to_lowercase());
    Some((rows.len(), load, zones))
}

/// The front's kilograms, zones and picking are those of the run's stops.
pub fn front(asked: &Asked<'_>, sheet: &str) -> usize {
    let rows = asked.maybe_rows(sheet, "picking starts");
    let mut seen = 0;
    for row in rows.iter().filter(|row| row["run"] != "all") {
        if row["run"] != "overdue" {
            let leaves = seconds(&format!("{}T{}:00", asked.tables.day, &tab_of(&row["run"]).replace('.', ":")));
            let wave = wave_before(&asked.tables.plant, leaves);
            // Several waves may lie in a minute; none does here.
            assert_eq!(row["picking starts"], print(wave.pick_start), "{row:?}");
        }
        let Some((_, load, zones)) = work(asked, &row["run"]) else { continue };
        assert!(load.is_told(&row["kg"]), "{row:?}");
        let named = zones.iter().map(|zone| if zone.is_empty() { "not known" } else { zone });
        let named: Vec<&str> = named.take(8).collect();
        let told: Vec<&str> = row["zones walked"].split(", ").filter(|zone| !zone.is_empty()).take(8).collect();
        assert!(told.iter().zip(&named).all(|(told, zone)| told.trim_end_matches(',') == *zone), "{row:?} {named:?}");
        seen += 1;
    }
    seen
}

/// How many stops each walk of a run has.
fn walks(asked: &Asked<'_>, run: &str) -> Vec<usize> {
    let sheet = format!("walks {}", tab_of(run));
    if !asked.sheets.iter().any(|known| known.name == sheet) {
        return Vec::new();
    }
    let cells = asked.sheet(&sheet).rows.iter().flat_map(|row| &row.cells).map(|cell| text(&cell.value));
    let stops = |told: String| {
        let (stops, behind) = told.split_once(" stops, ").or(told.split_once(" stop, "))?;
        let begins = ["picked from ", "these runs have left"].iter().any(|begins| behind.starts_with(begins));
        stops.parse().ok().filter(|_| begins)
    };
    cells.filter_map(stops).collect()
}

/// A run's work: its stops and kilograms, its walks, its kits; pickers by the longest walks first, each as long as the picking lasts.
pub fn work_of_runs(asked: &Asked<'_>, sheet: &str) -> usize {
    let rows = asked.maybe_rows(sheet, "walks");
    let stores = asked.tables.plant.stores();
    let mut settings = asked.of_book("Settings").iter();
    let a_stop = settings.rfind(|row| row["key"] == *"seconds a stop").map(|row| whole(&row["value"]));
    let kits = asked.maybe_rows("kits", "what is not in it");
    let mut seen = 0;
    for row in rows.iter().filter(|row| row.contains_key("pickers")) {
        let Some((stops, load, _)) = work(asked, &row["run"]) else { continue };
        assert_eq!(row["stops"], stops.to_string(), "{row:?}");
        assert!(load.is_told(&row["kg"]), "{row:?}");
        assert_eq!(row["kits"], kits.iter().filter(|kit| kit["run"] == row["run"]).count().to_string(), "{row:?}");
        let mut of_walks = walks(asked, &row["run"]);
        // A walk for what is not there has none.
        of_walks.retain(|stops| *stops > 0);
        let told = whole(&row["walks"]) as usize;
        assert!(of_walks.len() == told || of_walks.is_empty() && told == 1, "{row:?}: {of_walks:?}");
        seen += 1;
        let Some(a_stop) = a_stop.filter(|_| row["run"] != "overdue") else {
            assert_eq!((&*row["pickers"], &*row["begin by"]), ("", ""), "{row:?}");
            continue;
        };
        let (picked, leaves) = (seconds(&row["picked from"]), seconds(&row["leaves"]));
        let time = stores.worked(leaves) - stores.worked(picked);
        of_walks.sort_unstable_by(|one, other| other.cmp(one));
        let mut busy: Vec<i64> = Vec::new();
        for stops in of_walks.iter().map(|stops| *stops as i64 * a_stop) {
            match busy.iter_mut().find(|busy| **busy + stops <= time) {
                Some(busy) => *busy += stops,
                None => busy.push(stops),
            }
        }
        assert_eq!(row["pickers"], busy.len().to_string(), "{row:?}: {of_walks:?}");
        let begin = stores.starts(stores.worked(leaves) - busy.iter().max().copied().unwrap_or(0));
        assert_eq!(row["begin by"], print(begin), "{row:?}: {busy:?}");
    }
    seen
}

/// All takes of a run's walks are those of its stops, however they are divided.
pub fn taken(asked: &Asked<'_>, sheet: &str) -> usize {
    let stops = format!("stops {}", &sheet["walks ".len()..]);
    if asked.texts(&stops).contains(" stops more: ") {
        return 0;
    }
    let (mut told, mut expected): (BTreeMap<[String; 2], f64>, BTreeMap<[String; 2], f64>) = Default::default();
    let place = |row: &Told| match &*row["location"] {
        "not known" | "no location" => String::new(),
        place => place.to_owned(),
    };
    let rows = asked.maybe_rows(sheet, "take");
    for row in rows.iter().filter(|row| row.contains_key("take") && row.contains_key("stop") && !row["part"].is_empty())
    {
        let Some((qty, _)) = row["take"].split_once(' ') else { continue };
        if whole_number(&row["stop"]) {
            *told.entry([row["part"].clone(), place(row)]).or_default() += number(qty);
        }
    }
    for row in stop_rows(asked, &stops) {
        *expected.entry([row["part"].clone(), place(&row)]).or_default() += number(&row["take"]);
    }
    assert!(told.keys().eq(expected.keys()), "{told:?}\n{expected:?}");
    assert!(told.iter().all(|(of, qty)| near(*qty, expected[of])), "{told:?}\n{expected:?}");
    told.len()
}

fn whole_number(told: &str) -> bool {
    told.parse::<u32>().is_ok()
}

/// Each kit's need, lines and kilograms; it lacks something where one of its pulls is not whole.
pub fn kits(asked: &Asked<'_>, sheet: &str) -> usize {
    let rows = asked.maybe_rows(sheet, "what is not in it");
    let mut expected: BTreeMap<[String; 3], Vec<&Row>> = BTreeMap::new();
    for (run, pulls) in by_name(asked) {
        for pull in pulls.into_iter().filter(|pull| pull["issue"] != *"bulk") {
            expected.entry([run.clone(), pull["to"].to_owned(), pull["unit"].to_owned()]).or_default().push(pull);
        }
    }
    assert_eq!(rows.len(), expected.len());
    for row in &rows {
        let of = [row["run"].clone(), row["station"].clone(), of_nobody(&row["unit"]).to_owned()];
        let own = expected.get(&of).unwrap_or_else(|| panic!("{row:?}"));
        assert_eq!(Some(&*row["needed"]), own.iter().map(|pull| &pull["need"]).min(), "{row:?}");
        let (mut load, mut up_to, mut lines) = (Load::default(), Load::default(), 0);
        let pieces = own.iter().filter_map(|pull| Some((pull, there(asked, pull)?)));
        for (pull, [least, most]) in pieces.filter(|(_, [least, _])| *least > 0.0) {
            load.add(asked, &pull["part"], least);
            up_to.add(asked, &pull["part"], most);
            lines += 1;
        }
        assert_eq!(row["lines"], lines.to_string(), "{row:?}: {own:#?}");
        assert!(load.is_told_up_to(&up_to, &row["kg"]), "{row:?}: {own:#?}");
        let unknown = if load.2 == 0 { String::new() } else { load.2.to_string() };
        assert_eq!(row["weight not known (lines)"], unknown, "{row:?}");
        let all = own.iter().all(|pull| ["ready", "arriving"].contains(&&pull["status"]));
        assert_eq!(row["what is not in it"].is_empty(), all, "{row:?}: {own:#?}");
    }
    rows.len()
}

/// The lines of the cards of a run's kits: what its stops take of each part, or, where not every kit has a card, no more.
pub fn cards(asked: &Asked<'_>, sheet: &str) -> usize {
    let stops = format!("stops {}", &sheet["cards ".len()..]);
    if asked.texts(&stops).contains(" stops more: ") {
        return 0;
    }
    let all = asked.of_book("Settings").iter().any(|row| row["key"] == *"kit cards" && row["value"] == *"all");
    let (mut on_cards, mut taken): (BTreeMap<String, f64>, BTreeMap<String, f64>) = Default::default();
    let rows = asked.maybe_rows(sheet, "in it");
    let rows: Vec<&Told> = rows.iter().filter(|row| row.get("part").is_some_and(|part| !part.is_empty())).collect();
    for row in &rows {
        let mut load = Load::default();
        load.add(asked, &row["part"], number(&row["qty"]));
        // That a weight is not known stands with the description.
        assert!(load.is_told(if row["kg"].is_empty() { "not known" } else { &row["kg"] }), "{row:?}");
        *on_cards.entry(row["part"].clone()).or_default() += number(&row["qty"]);
    }
    let of_kits = |row: &Told| asked.tables.plant.parts[&key(&row["part"])].issue != "bulk";
    for row in stop_rows(asked, &stops).iter().filter(|row| of_kits(row)) {
        *taken.entry(row["part"].clone()).or_default() += number(&row["take"]);
    }
    let fits = |(part, qty): (&String, &f64)| taken.get(part).is_some_and(|taken| *qty <= taken + 1e-6);
    assert!(on_cards.iter().all(fits), "{on_cards:?}\n{taken:?}");
    if all {
        assert!(on_cards.keys().eq(taken.keys()), "{on_cards:?}\n{taken:?}");
        assert!(on_cards.iter().all(|(part, qty)| near(*qty, taken[part])), "{on_cards:?}\n{taken:?}");
    }
    rows.len()
}
