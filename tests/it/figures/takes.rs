//! What is taken for whom, as the sheets of stops say it; and the words and sums of the trade that stand with it, made anew: kilograms, what is
//! heavy, moments in narrow columns.

use super::pull_list::{by_name, of_nobody};
use super::stores::there;
use crate::oracle::clock::{DAY, day_of, print};
use crate::oracle::numbers::{self, Millionths, ONE, Ratio, cut, decimal, millionths};
use crate::oracle::plant::Part;
use crate::oracle::sheets::key;
use crate::oracle::waves::wave_before;
use crate::questions::asked::{Asked, Row, Told, seconds, short};
use std::collections::BTreeMap;

/// What is taken from one bin for one kit, or of bulk for one station.
#[derive(Clone, Debug)]
pub struct Take {
    pub part: String,
    pub place: String,
    pub to: String,
    /// Blank where it is for nobody; none of bulk.
    pub unit: Option<String>,
    pub qty: Millionths,
}

pub fn exact(told: &str) -> Millionths {
    millionths(decimal(told).unwrap_or_else(|| panic!("a number: '{told}'")))
}

pub fn part<'a>(asked: &'a Asked<'_>, code: &str) -> &'a Part {
    &asked.tables.plant.parts[&key(code)]
}

/// `the 06:00 run` of the sheet `walks 06.00`.
pub fn run_of(tab: &str) -> String {
    if tab == "overdue" { tab.to_owned() } else { format!("the {} run", tab.replace('.', ":")) }
}

/// The stops of a run, as their sheet has them.
pub fn stop_rows(asked: &Asked<'_>, sheet: &str) -> Vec<Told> {
    let rows = asked.maybe_rows(sheet, "bin before");
    rows.into_iter().filter(|row| row.get("part").is_some_and(|part| !part.is_empty() && part != "part")).collect()
}

/// All that a run takes; none where its sheet ends before its stops do, or does not name all kits.
pub fn takes(asked: &Asked<'_>, tab: &str) -> Option<Vec<Take>> {
    let sheet = format!("stops {tab}");
    if !asked.sheets.iter().any(|known| known.name == sheet) {
        return Some(Vec::new());
    }
    if asked.texts(&sheet).contains(" stops more: ") {
        return None;
    }
    let mut takes = Vec::new();
    for row in stop_rows(asked, &sheet) {
        for of_place in row["goes to"].split("; ") {
            let (to, pieces) = of_place.split_once(": ").unwrap_or_else(|| panic!("{row:?}"));
            let issue = &part(asked, &row["part"]).issue;
            let how = [("sequence", " in line order"), ("bulk", " in bulk")].into_iter().find(|how| how.0 == issue);
            let to = to.strip_suffix(how.map_or("", |how| how.1)).unwrap_or_else(|| panic!("{row:?}"));
            for piece in pieces.split(", ") {
                if piece.starts_with("and ") && piece.ends_with(" more") {
                    return None;
                }
                let (unit, qty) = match (issue.as_str(), piece.rsplit_once(' ')) {
                    ("bulk", _) => (None, piece),
                    (_, Some((unit, qty))) => (Some(of_nobody(unit).to_owned()), qty),
                    _ => panic!("{row:?}"),
                };
                let (part, place, to) = (row["part"].clone(), row["location"].clone(), to.to_owned());
                takes.push(Take { part, place, to, unit, qty: exact(qty) });
            }
        }
    }
    Some(takes)
}

/// For whom the pieces of each stop are: of each kit what is there when its run is picked, of bulk no more than the packs that should go; and of
/// a stop no more and no less than is taken there.
pub fn goes_to(asked: &Asked<'_>, sheet: &str) -> usize {
    let tab = &sheet["stops ".len()..];
    let Some(takes) = takes(asked, tab) else { return 0 };
    let mut of_stops: BTreeMap<(&str, &str), Millionths> = BTreeMap::new();
    let mut of_kits: BTreeMap<(&str, &str, Option<&str>), Millionths> = BTreeMap::new();
    for take in &takes {
        *of_stops.entry((&take.part, &take.place)).or_default() += take.qty;
        *of_kits.entry((&take.part, &take.to, take.unit.as_deref())).or_default() += take.qty;
    }
    for row in stop_rows(asked, sheet) {
        assert_eq!(of_stops[&(&*row["part"], &*row["location"])], exact(&row["take"]), "{row:?}");
    }
    let by_name = by_name(asked);
    let mut expected: BTreeMap<(&str, &str, Option<&str>), [Millionths; 2]> = BTreeMap::new();
    for pull in by_name.get(&run_of(tab)).into_iter().flatten() {
        let (unit, [least, most]) = match there(asked, pull) {
            None => (None, [0, exact(&pull["qty"])]),
            Some(bounds) => (Some(&pull["unit"]), bounds.map(to_millionths)),
        };
        let sum = expected.entry((&pull["part"], &pull["to"], unit)).or_default();
        *sum = [sum[0] + least, sum[1] + most];
    }
    for (of, [least, most]) in &expected {
        let taken = of_kits.get(of).copied().unwrap_or(0);
        assert!((*least..=*most).contains(&taken), "{sheet}: {of:?} {taken} of {least} to {most}");
    }
    assert!(of_kits.keys().all(|of| expected.contains_key(of)), "{sheet}: {of_kits:?}\n{expected:?}");
    takes.len()
}

/// A sum of a few quantities of six places.
pub fn to_millionths(number: f64) -> Millionths {
    #[expect(clippy::cast_possible_truncation, reason = "a test's quantities")]
    let whole = (number * 1e6).round() as i128;
    whole
}

/// Kilograms of lines together, each cut at the sixth place; how many lines have a weight, and how many none.
#[derive(Default)]
pub struct Kilograms {
    pub known: Millionths,
    pub lines: usize,
    pub unknown: usize,
}

impl Kilograms {
    pub fn add(&mut self, asked: &Asked<'_>, part: &str, qty: Millionths) {
        match asked.exact_weight(part) {
            Some(each) => (self.known, self.lines) = (self.known + cut(qty, Ratio::new(each, ONE)), self.lines + 1),
            None => self.unknown += 1,
        }
    }

    /// As a cell says it.
    pub fn cell(&self) -> String {
        match (self.lines, self.unknown) {
            (0, 0) => String::new(),
            (0, _) => "not known".to_owned(),
            _ => numbers::print(self.known),
        }
    }

    /// As a label says it: in words, with tenths of a kilogram rounded up.
    pub fn words(&self) -> Vec<String> {
        let tenths = numbers::print(numbers::round_up(self.known, 1));
        match (self.lines, self.unknown) {
            (_, 0) => vec![format!("{tenths} kg")],
            (0, _) => vec!["weight not known".to_owned()],
            (_, 1) => vec![format!("{tenths} kg and 1 line with weight not known"), format!("{tenths} kg and more")],
            (_, many) => {
                vec![format!("{tenths} kg and {many} lines with weight not known"), format!("{tenths} kg and more")]
            }
        }
    }
}

/// What is said of the weight of a line's pieces.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lift {
    One,
    Two,
    NotKnown,
}

/// A piece is one of a counted unit, a pack of what goes out in packs, and otherwise all that is taken; one above the plant's limit is for two.
pub fn lift(asked: &Asked<'_>, code: &str, qty: Millionths) -> Lift {
    let part = part(asked, code);
    let piece = match (part.issue.as_str(), part.pack) {
        ("bulk", Some(pack)) => pack.min(qty),
        ("bulk", None) => qty,
        _ if part.decimals == 0 => ONE,
        _ => qty,
    };
    let Some(each) = asked.exact_weight(code) else { return Lift::NotKnown };
    let limit = asked.setting("one person lifts").map(exact);
    match limit {
        Some(limit) if cut(piece, Ratio::new(each, ONE)) > limit => Lift::Two,
        _ => Lift::One,
    }
}

/// The word for it, where the plant has a limit.
pub fn mark(asked: &Asked<'_>, code: &str, qty: Millionths) -> Option<&'static str> {
    asked.setting("one person lifts")?;
    match lift(asked, code, qty) {
        Lift::One => None,
        Lift::Two => Some("heavy"),
        Lift::NotKnown => Some("weight not known"),
    }
}

/// A part's description, and the word.
pub fn marked(asked: &Asked<'_>, code: &str, qty: Millionths) -> String {
    let description = &part(asked, code).description;
    let words = [Some(description.as_str()).filter(|words| !words.is_empty()), mark(asked, code, qty)];
    words.into_iter().flatten().collect::<Vec<_>>().join("; ")
}

/// A moment in a narrow column, to the minute: `06:00` on the list's day, `Mon 06:00` up to three days from it.
pub fn narrow(asked: &Asked<'_>, clock: i64) -> String {
    let minute = print(clock - clock.rem_euclid(60));
    match day_of(clock) - seconds(&asked.tables.day) / DAY {
        0 => minute[11..16].to_owned(),
        -3..=3 => format!("{} {}", &short(&minute)[..3], &minute[11..16]),
        _ => short(&minute),
    }
}

/// What of a pull is not there when its run is picked: of which order, when it is there, how much, and when it is needed first.
#[derive(Clone, Debug)]
pub struct Missing {
    pub order: String,
    /// When it is there; none where nothing covers it.
    pub there: Option<i64>,
    pub qty: Millionths,
    pub need: i64,
}

/// Of a pull's pegs those that miss the picking of its run. Of bulk those of demands for which packs follow: what was opened before does not serve
/// them.
pub fn missing(asked: &Asked<'_>, pull: &Row) -> Vec<Missing> {
    if ["ready", "arriving"].contains(&&pull["status"]) {
        return Vec::new();
    }
    let (wave, picked) = (seconds(&pull["wave"]), &pull["pick_start"]);
    let served = |need: i64| wave_before(&asked.tables.plant, need).clock;
    let pulled =
        |peg: &&Row| peg["to"] == pull["to"] && ["reserved", "stock", "receipt", "none"].contains(&&peg["cover"]);
    let bulk = pull["issue"] == *"bulk";
    let pegs: Vec<&Row> =
        asked.pegs(&pull["part"]).iter().filter(pulled).filter(|peg| bulk || peg["unit"] == pull["unit"]).collect();
    let of_pull: Vec<&Row> = if bulk {
        let part = part(asked, &pull["part"]);
        let step = part.pack.unwrap_or(10_i128.pow(6 - part.decimals.min(6)));
        let (mut open, mut own) = (0, Vec::new());
        for same in pegs.chunk_by(|one, other| one["need"] == other["need"] && one["unit"] == other["unit"]) {
            let qty: Millionths = same.iter().map(|peg| exact(&peg["qty"])).sum();
            if open < qty {
                open += numbers::round_up_to(qty - open, step);
                own.extend(same.iter().copied().filter(|peg| served(seconds(&peg["need"])) == wave));
            }
            open -= qty;
        }
        own
    } else {
        pegs.into_iter().filter(|peg| peg["need"] >= pull["wave"] && served(seconds(&peg["need"])) == wave).collect()
    };
    let mut found: Vec<Missing> = Vec::new();
    for peg in of_pull {
        let there = match &peg["cover"] {
            "none" => None,
            "receipt" if peg["available"] > *picked => Some(seconds(&peg["available"])),
            _ => continue,
        };
        let (qty, need, order) = (exact(&peg["qty"]), seconds(&peg["need"]), peg["source"].to_owned());
        match found.iter_mut().find(|known| (&known.order, known.there) == (&order, there)) {
            Some(known) => (known.qty, known.need) = (known.qty + qty, known.need.min(need)),
            None => found.push(Missing { order, there, qty, need }),
        }
    }
    found
}

/// How a piece stands that misses its run: short, late for its need, or in time with a run of its own.
pub fn how(missing: &Missing) -> &'static str {
    match missing.there {
        None => "short",
        Some(there) if there > missing.need => "late",
        Some(_) => "special run",
    }
}

/// Stations in the order of their lines, then shops, each in the order of the book.
pub fn line_order(asked: &Asked<'_>, to: &str) -> (bool, usize, i64, String) {
    let plant = &asked.tables.plant;
    match plant.stations.get(&key(to)) {
        Some(station) => {
            let line = plant.lines.iter().position(|line| line.key == station.line).expect("a line");
            (false, line, station.position, key(to))
        }
        None => {
            let mut shops = asked.of_book("Shops").iter();
            (true, shops.position(|shop| key(&shop["shop"]) == key(to)).expect("a shop"), 0, key(to))
        }
    }
}

/// A station's or shop's code, with its name where that says more.
pub fn place_name(asked: &Asked<'_>, to: &str) -> String {
    let tables = [("Stations", "station"), ("Shops", "shop")];
    let rows = tables
        .into_iter()
        .flat_map(|(table, column)| asked.maybe_book(table).iter().filter(move |row| key(&row[column]) == key(to)));
    let name = rows.filter_map(|row| row.get("name")).map(str::trim).find(|name| !name.is_empty());
    name.filter(|name| *name != to).map_or(to.to_owned(), |name| format!("{to} {name}"))
}
