//! What the answers are looked up in: sheets by name and heading, the plan's tables whole, and the book's own.

use crate::oracle::numbers::{Millionths, decimal, millionths};
use crate::oracle::plant::Plant;
use crate::oracle::sheets::{Key, key};
use crate::support::{Sheets, table_text};
use lineward::base::Moment;
use lineward::plan::Plan;
use lineward::report::sheet::{Sheet, Workbook};
use lineward::report::table::{TABLES, Value};
use std::cell::OnceCell;
use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::ops::Index;
use std::rc::Rc;

/// A row below a heading of a sheet, by heading.
pub type Told = BTreeMap<String, String>;

/// A row of a table, asked by heading.
#[derive(Clone, Debug)]
pub struct Row {
    headings: Rc<Vec<String>>,
    cells: csv::StringRecord,
}

impl Index<&str> for Row {
    type Output = str;

    fn index(&self, heading: &str) -> &str {
        let at = self.headings.iter().position(|known| known == heading);
        &self.cells[at.unwrap_or_else(|| panic!("no column '{heading}' in {:?}", self.headings))]
    }
}

impl Row {
    /// What stands in a column, where the table has it.
    pub fn get(&self, heading: &str) -> Option<&str> {
        self.cells.get(self.headings.iter().position(|known| known == heading)?)
    }
}

/// The rows of a table's CSV text.
pub fn csv_rows(text: &str) -> Vec<Row> {
    let mut reader = csv::ReaderBuilder::new().flexible(true).from_reader(text.as_bytes());
    let headings = Rc::new(reader.headers().expect("headings").iter().map(str::to_owned).collect::<Vec<_>>());
    let rows = reader.records().map(|row| row.expect("a row"));
    rows.map(|cells| Row { headings: Rc::clone(&headings), cells }).collect()
}

/// The demo's day on paper, in the plan's tables, and the book's own.
pub struct Asked<'a> {
    pub sheets: &'a [Sheet<'a>],
    pub tables: Rc<Tables>,
}

/// Who takes material, by rank; when each unit arrives at each station of its line.
type RanksAndArrivals = (Vec<Key>, BTreeMap<(Key, Key), i64>);

/// The tables of a plan and of its book, loaded once for all workbooks.
pub struct Tables {
    /// The book's rows, for what is planned anew.
    pub sheets: Sheets,
    /// The book as the second implementation reads it: its calendars, stations, shops and runs.
    pub plant: Plant,
    of_plan: BTreeMap<&'static str, Vec<Row>>,
    /// The pegs of each part, as in their table.
    pegs: HashMap<String, Vec<Row>>,
    /// The pulls of each run, by its moment.
    pulls: BTreeMap<String, Vec<Row>>,
    of_book: BTreeMap<String, Vec<Row>>,
    weights: BTreeMap<String, Millionths>,
    ranks_and_arrivals: OnceCell<RanksAndArrivals>,
    /// The plan's day and its as-of moment.
    pub day: String,
    pub as_of: String,
}

/// The day on paper, and the one behind it.
pub const DAY: &str = "2027-09-14";
pub const AFTER: &str = "2027-09-15";

pub fn text(value: &Value<'_>) -> String {
    match value {
        Value::Blank => String::new(),
        Value::Text(text) => text.to_string(),
        Value::Quantity(qty) => qty.to_string(),
        Value::Total(total) => total.to_string(),
        Value::Moment(moment) => moment.to_string(),
        Value::Date(date) => date.to_string(),
        Value::Whole(number) => number.to_string(),
    }
}

fn moment(time: &str) -> Moment {
    Moment::parse(time).unwrap_or_else(|| panic!("a time: '{time}'")).0
}

/// `2027-09-14T06:00:00` as it stands in a text: `Tue 14 Sep 06:00`.
pub fn short(time: &str) -> String {
    moment(time).short()
}

/// `06:00`.
pub fn clock(time: &str) -> String {
    moment(time).clock()
}

/// A moment of a table or the book in seconds of the clock.
pub fn seconds(time: &str) -> i64 {
    crate::oracle::clock::moment(time).unwrap_or_else(|| panic!("a time: '{time}'")).clock
}

/// Seconds as whole minutes, rounded up.
pub fn minutes_up(seconds: i64) -> i64 {
    -(-seconds).div_euclid(60)
}

pub fn number(text: &str) -> f64 {
    text.parse().unwrap_or_else(|_| panic!("a number: '{text}'"))
}

pub fn whole(text: &str) -> i64 {
    text.parse().unwrap_or_else(|_| panic!("a whole number: '{text}'"))
}

pub fn near(one: f64, other: f64) -> bool {
    (one - other).abs() < 1e-6
}

/// What stands in a text behind some words, up to others.
pub fn between<'t>(text: &'t str, from: &str, to: &str) -> &'t str {
    let (_, behind) = text.split_once(from).unwrap_or_else(|| panic!("'{from}' in '{text}'"));
    behind.split_once(to).map_or(behind, |(told, _)| told)
}

impl Tables {
    /// Of a plan and the book it was made of.
    pub fn of(plan: &Plan<'_>, sheets: Sheets) -> Self {
        let mut of_plan: BTreeMap<&'static str, Vec<Row>> =
            TABLES.iter().map(|table| (table.name, csv_rows(&table_text(table, plan)))).collect();
        let mut pegs: HashMap<String, Vec<Row>> = HashMap::new();
        for peg in of_plan.remove("pegs").expect("pegs") {
            pegs.entry(peg["part"].to_owned()).or_default().push(peg);
        }
        let mut pulls: BTreeMap<String, Vec<Row>> = BTreeMap::new();
        for pull in of_plan.remove("pulls").expect("pulls") {
            pulls.entry(pull["wave"].to_owned()).or_default().push(pull);
        }
        let of_book: BTreeMap<String, Vec<Row>> =
            sheets.0.iter().map(|(name, text)| (name.clone(), csv_rows(text))).collect();
        let weight = |row: &Row| Some((key(&row["part"]), millionths(decimal(row.get("weight")?)?)));
        let weights = of_book["Parts"].iter().filter_map(weight).collect();
        let plant = crate::oracle::read(&sheets.0, None).expect("a book");
        let (day, as_of) = (plan.day.to_string(), plan.plant.as_of.to_string());
        let ranks_and_arrivals = OnceCell::new();
        Self { sheets, plant, of_plan, pegs, pulls, of_book, weights, ranks_and_arrivals, day, as_of }
    }

    fn ranks_and_arrivals(&self) -> &RanksAndArrivals {
        self.ranks_and_arrivals.get_or_init(|| crate::oracle::ranks_and_arrivals(&self.plant))
    }

    /// When a unit arrives at a station of its line.
    pub fn arrives(&self, unit: &str, station: &str) -> Option<i64> {
        self.ranks_and_arrivals().1.get(&(key(unit), key(station))).copied()
    }

    /// The rank of who takes something.
    pub fn rank(&self, unit: &str) -> Option<usize> {
        let unit = key(unit);
        self.ranks_and_arrivals().0.iter().position(|known| *known == unit)
    }
}

impl<'a> Asked<'a> {
    pub fn of(workbook: &'a Workbook<'a>, tables: Rc<Tables>) -> Self {
        Self { sheets: &workbook.sheets, tables }
    }
}

/// The rows below a heading among those of a sheet.
pub fn told_rows(of_sheet: &[lineward::report::sheet::Row<'_>], heading: &str) -> Vec<Told> {
    let mut rows = Vec::new();
    let mut heads: Option<BTreeMap<u16, (usize, String)>> = None;
    for row in of_sheet {
        let cells: BTreeMap<u16, String> = row.cells.iter().map(|cell| (cell.column, text(&cell.value))).collect();
        if cells.values().any(|cell| cell == heading) {
            // A heading that stands again begins the next column.
            let (mut seen, mut half) = (BTreeSet::new(), 0);
            let place = |(at, name): (&u16, &String)| {
                if !seen.insert(name.clone()) {
                    half += 1;
                    seen = BTreeSet::from([name.clone()]);
                }
                (*at, (half, name.clone()))
            };
            heads = Some(cells.iter().map(place).collect());
        } else if row.cells.len() < 2 {
            heads = None;
        } else if let Some(heads) = &heads {
            for half in 0..=heads.values().map(|(half, _)| *half).max().unwrap_or(0) {
                let own = cells.iter().filter_map(|(at, cell)| {
                    Some((heads.get(at).filter(|(of, _)| *of == half)?.1.clone(), cell.clone()))
                });
                let own: Told = own.collect();
                rows.extend((!own.is_empty()).then_some(own));
            }
        }
    }
    rows
}

impl Asked<'_> {
    pub fn sheet(&self, name: &str) -> &Sheet<'_> {
        self.sheets.iter().find(|sheet| sheet.name == name).unwrap_or_else(|| panic!("no sheet '{name}'"))
    }

    /// The rows below a heading, on sheets of several columns those of all.
    pub fn rows(&self, sheet: &str, heading: &str) -> Vec<Told> {
        let rows = self.maybe_rows(sheet, heading);
        assert!(!rows.is_empty(), "nothing below '{heading}' on '{sheet}'");
        rows
    }

    /// The same; none where the heading does not stand there.
    pub fn maybe_rows(&self, sheet: &str, heading: &str) -> Vec<Told> {
        told_rows(&self.sheet(sheet).rows, heading)
    }

    /// An amount of money of a row: its heading has the currency behind it, where the book has one.
    pub fn money<'t>(row: &'t Told, heading: &str) -> &'t str {
        let named = |(known, _): &(&String, &String)| {
            *known == heading || known.strip_prefix(heading).is_some_and(|behind| behind.starts_with(", "))
        };
        row.iter().find(named).unwrap_or_else(|| panic!("no '{heading}' in {row:?}")).1
    }

    /// What stands beside a label.
    pub fn fact(&self, sheet: &str, label: &str) -> String {
        let mut rows = self.sheet(sheet).rows.iter().map(|row| row.cells.iter().map(|cell| text(&cell.value)));
        let row = rows.find_map(|mut cells| cells.any(|cell| cell == label).then_some(cells));
        row.unwrap_or_else(|| panic!("no '{label}' on '{sheet}'")).find(|cell| !cell.is_empty()).unwrap_or_default()
    }

    /// The first cell of a sheet with some words in it.
    pub fn told(&self, sheet: &str, words: &str) -> String {
        let cells = self.sheet(sheet).rows.iter().flat_map(|row| &row.cells).map(|cell| text(&cell.value));
        cells.into_iter().find(|cell| cell.contains(words)).unwrap_or_else(|| panic!("no '{words}' on '{sheet}'"))
    }

    /// All texts of a sheet.
    pub fn texts(&self, sheet: &str) -> String {
        let cells = self.sheet(sheet).rows.iter().flat_map(|row| &row.cells);
        cells.map(|cell| text(&cell.value)).collect::<Vec<_>>().join("\n")
    }

    /// The rows of a table of the plan, but pegs and pulls.
    pub fn table(&self, name: &str) -> &[Row] {
        &self.tables.of_plan[name]
    }

    /// The rows of a table of the book.
    pub fn of_book(&self, name: &str) -> &[Row] {
        &self.tables.of_book[name]
    }

    /// The same; none where the book does not have it.
    pub fn maybe_book(&self, name: &str) -> &[Row] {
        self.tables.of_book.get(name).map_or(&[], Vec::as_slice)
    }

    /// The book's row of a code.
    pub fn row(&self, table: &str, column: &str, code: &str) -> &Row {
        let found = self.of_book(table).iter().find(|row| row[column] == *code);
        found.unwrap_or_else(|| panic!("no {column} '{code}' in {table}"))
    }

    /// The pegs of a part.
    pub fn pegs(&self, part: &str) -> &[Row] {
        self.tables.pegs.get(part).map_or(&[], Vec::as_slice)
    }

    /// All pegs, part by part.
    pub fn all_pegs(&self) -> impl Iterator<Item = &Row> {
        self.tables.pegs.values().flatten()
    }

    /// The peg that a job covers.
    pub fn peg_of_job(&self, job: &Row) -> &Row {
        let name = &job["job"];
        let found = self.pegs(&job["part"]).iter().find(|peg| peg["cover"] == *"job" && peg["source"] == *name);
        found.unwrap_or_else(|| panic!("nobody takes {name}"))
    }

    /// All pulls, run by run.
    pub fn all_pulls(&self) -> impl Iterator<Item = &Row> {
        self.tables.pulls.values().flatten()
    }

    /// The pulls of the day's runs, and of those that are overdue.
    pub fn pulls(&self) -> impl Iterator<Item = &Row> {
        let asked = |wave: &String| wave.starts_with(DAY) || **wave < *"2027-09-13T14:30:00";
        self.tables.pulls.iter().filter(move |(wave, _)| asked(wave)).flat_map(|(_, pulls)| pulls)
    }

    /// The pulls that the plan's list has, by run: of runs that have left, and of those of its day.
    pub fn listed_pulls(&self) -> impl Iterator<Item = (&String, &Vec<Row>)> {
        let (day, as_of) = (&self.tables.day, &self.tables.as_of);
        self.tables.pulls.iter().filter(move |(wave, _)| *wave < as_of || wave.starts_with(day.as_str()))
    }

    /// Whether a run has left.
    pub fn overdue(&self, wave: &str) -> bool {
        *wave < *self.tables.as_of
    }

    /// The pulls of one of the day's runs.
    pub fn run(&self, clock: &str) -> Vec<&Row> {
        self.tables.pulls.get(&format!("{DAY}T{clock}:00")).into_iter().flatten().collect()
    }

    pub fn weight(&self, part: &str) -> Option<f64> {
        Some(self.exact_weight(part)? as f64 / 1e6)
    }

    /// The kilograms of one of a part's unit of measure.
    pub fn exact_weight(&self, part: &str) -> Option<Millionths> {
        self.tables.weights.get(&key(part)).copied()
    }

    /// What the book says of a key of its settings, the last row of it.
    pub fn setting(&self, of: &str) -> Option<&str> {
        let settings = self.tables.of_book.get("Settings")?.iter();
        settings.rev().find(|row| row["key"].trim() == of).map(|row| row["value"].trim())
    }
}
