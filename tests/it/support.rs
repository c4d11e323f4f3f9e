//! Small books as text, planned in memory; and tables as rows that can be looked up by heading.

use lineward::base::{Findings, Moment};
use lineward::report::{table::TABLES, to_csv};
use lineward::supply::Supply;
use lineward::{book, check, plan};
use std::collections::BTreeMap;
use std::fmt::Write;
use std::path::Path;

/// A book being written down: tables by name, each a CSV text.
#[derive(Clone, Default)]
pub struct Sheets(pub BTreeMap<String, String>);

/// A plan's tables as CSV text, by name, or what stood in its way.
pub type Outcome = Result<BTreeMap<&'static str, String>, Findings>;

/// Each part's whole supply, by part.
pub fn supplies(plan: &plan::Plan<'_>) -> Vec<Supply> {
    let mut all = Vec::new();
    plan.some_supplies(|some| all.extend_from_slice(some));
    all
}

/// What all pieces of a plan do that are not there, in the order of their table.
pub fn consequences(plan: &plan::Plan<'_>) -> Vec<plan::Consequence> {
    let mut all = Vec::new();
    plan.some_consequences(|some| all.extend_from_slice(some));
    all
}

impl Sheets {
    /// A plant with one line of the given stations (each its own position, nothing wanted ahead), working Monday to Friday
    /// 06:00 to 14:00 without a break, takt one hour, as of Monday 2027-09-13 06:00.
    pub fn plant(stations: &[&str]) -> Self {
        let mut sheets = Self::default();
        sheets.set("Settings", "key,value\nas of,2027-09-13 06:00\nreceipts at,06:00");
        sheets.set("Calendar", "calendar,day,start,end\nDAY,Mon-Fri,06:00,14:00");
        sheets.set("Lines", "line,calendar\nL1,DAY");
        sheets.set("Takt", "line,from,minutes\nL1,2027-01-01,60");
        sheets.set("Stations", "line,station,position");
        for (i, station) in stations.iter().enumerate() {
            sheets.add("Stations", &format!("L1,{station},{}", i + 1));
        }
        sheets.set("Floorplans", "floorplan\nTEAL");
        sheets.set("Parts", "part,uom");
        sheets.set("Bills", "parent,part,qty,station");
        sheets.set("Sequence", "line,seq,unit,floorplan");
        sheets
    }

    /// A folder of tables.
    pub fn read(folder: &Path) -> Self {
        let mut sheets = Self::default();
        for entry in std::fs::read_dir(folder).expect("a folder") {
            let path = entry.expect("an entry").path();
            let text = std::fs::read_to_string(&path).expect("UTF-8");
            sheets.set(path.file_stem().and_then(|stem| stem.to_str()).expect("a name"), text.trim_end());
        }
        sheets
    }

    /// Replaces a table.
    pub fn set(&mut self, table: &str, text: &str) -> &mut Self {
        self.0.insert(table.to_owned(), text.to_owned());
        self
    }

    /// Adds rows to a table.
    pub fn add(&mut self, table: &str, rows: &str) -> &mut Self {
        let text = self.0.entry(table.to_owned()).or_default();
        let _ = write!(text, "\n{rows}");
        self
    }

    /// All of it, for a failure.
    pub fn shown(&self) -> String {
        self.0.iter().fold(String::new(), |all, (table, text)| format!("{all}== {table}\n{text}\n"))
    }

    /// Reads the book.
    pub fn book(&self) -> book::Book {
        let files: Vec<(String, &str)> =
            self.0.iter().map(|(table, text)| (format!("{table}.csv"), text.as_str())).collect();
        book::from_texts("book", files.iter().map(|(file, text)| (file.as_str(), *text))).expect("text")
    }

    /// Plans it as of its own moment, or another.
    pub fn plan_as(&self, as_of: Option<&str>, set_aside: bool) -> Outcome {
        self.look(as_of, set_aside, tables)
    }

    /// Plans it as of its own moment, or another, and looks at the plan.
    pub fn look<T>(
        &self,
        as_of: Option<&str>,
        set_aside: bool,
        look: impl FnOnce(&plan::Plan<'_>) -> T,
    ) -> Result<T, Findings> {
        let as_of = as_of.map(|text| Moment::parse(text).expect("a moment").0);
        let (plant, mut findings) = check::plant(&self.book(), as_of, Moment::default());
        if findings.any_error() {
            return Err(findings);
        }
        let (plan, more) = plan::plan(&plant, &plan::Request { set_aside, ..Default::default() });
        findings.extend(more);
        Ok(look(&plan.ok_or(findings)?))
    }

    /// Plans it; a book that can't be planned is printed whole.
    pub fn plan(&self) -> Tables {
        match self.plan_as(None, false) {
            Ok(tables) => Tables(tables),
            Err(findings) => {
                let told: Vec<String> = findings.iter().map(ToString::to_string).collect();
                panic!("{}\n{}", told.join("\n"), self.shown())
            }
        }
    }

    /// All findings of reading and planning it.
    pub fn findings(&self) -> Findings {
        let (plant, mut findings) = check::plant(&self.book(), None, Moment::default());
        let more = plan::more_findings(&plant, &findings);
        findings.extend(more);
        findings.sort();
        findings
    }
}

/// How many random books a test takes: so many, or times as many as the variable `HUNT` says, to hunt longer.
pub fn rounds(usual: u64) -> u64 {
    usual * std::env::var("HUNT").ok().and_then(|times| times.parse().ok()).unwrap_or(1)
}

/// A plan's tables as CSV text, by name.
pub fn tables(plan: &plan::Plan<'_>) -> BTreeMap<&'static str, String> {
    TABLES.iter().map(|table| (table.name, table_text(table, plan))).collect()
}

/// A table as CSV text.
pub fn table_text(table: &lineward::report::table::Table, plan: &plan::Plan<'_>) -> String {
    let mut bytes = Vec::new();
    to_csv(table, plan, &mut bytes).expect("memory");
    String::from_utf8(bytes).expect("UTF-8")
}

/// A plan's tables.
pub struct Tables(pub BTreeMap<&'static str, String>);

impl Tables {
    /// The rows of a table whose columns hold the given values (`column=value` words), each as the asked columns.
    pub fn rows(&self, table: &str, wanted: &str, columns: &str) -> Vec<Vec<String>> {
        let mut reader = csv::Reader::from_reader(self.0[table].as_bytes());
        let headings = reader.headers().expect("headings").clone();
        let at = |name: &str| headings.iter().position(|heading| heading == name).expect("a column");
        let wanted: Vec<(usize, &str)> = wanted
            .split_whitespace()
            .map(|word| word.split_once('=').expect("column=value"))
            .map(|(c, v)| (at(c), v))
            .collect();
        let columns: Vec<usize> = columns.split_whitespace().map(at).collect();
        let rows = reader.records().map(|row| row.expect("a row"));
        let fits = rows.filter(|row| wanted.iter().all(|(column, value)| &row[*column] == *value));
        fits.map(|row| columns.iter().map(|column| row[*column].to_owned()).collect()).collect()
    }

    /// One column of such rows.
    pub fn column(&self, table: &str, wanted: &str, column: &str) -> Vec<String> {
        self.rows(table, wanted, column).into_iter().flatten().collect()
    }

    /// The sum of a column of such rows.
    pub fn sum(&self, table: &str, wanted: &str, column: &str) -> f64 {
        self.column(table, wanted, column).iter().map(|value| value.parse::<f64>().expect("a number")).sum()
    }
}
