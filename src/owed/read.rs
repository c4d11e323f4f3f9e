//! The sheet of misses of a pull list as it was filled in: which list it is of, and each miss at its row.

use crate::base::{Date, Finding, Findings, Kind, Moment, Place, Quantity, Ratio, fold, parse_time};
use crate::book::Rows;
use crate::book::kinds::{MISSING_VALUE, NOT_A_NUMBER, OUT_OF_RANGE};
use crate::check::kinds::{CODE_TWICE, MORE_THAN_TAKEN, NO_SUCH_STOP, OTHER_LIST};
use crate::plan::Plan;
use crate::report::listed::{ListedStop, mark};
use crate::report::misses::{FACTS, HEADINGS, NAME};
use itertools::Itertools;
use std::collections::BTreeMap;
use std::sync::Arc;

/// Which list a sheet is of, and where it says so.
#[derive(Clone, Debug, Default)]
pub struct Head {
    /// The book's name.
    pub book: String,
    /// The moment of its plan.
    pub as_of: Moment,
    /// The list's day.
    pub day: Option<Date>,
    /// Whether units were set aside.
    pub set_aside: bool,
    /// The mark of its walks.
    pub walks: String,
    /// The row of each of these.
    rows: [u32; 5],
    file: Arc<str>,
}

/// A miss.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Entry {
    /// The run as it is written; blank where the list has one run only.
    pub run: String,
    /// The number of the walk.
    pub walk: usize,
    /// The number of the stop.
    pub stop: usize,
    /// How many were not there.
    pub short: Quantity,
    /// How many lie there now, where somebody counted.
    pub counted: Option<Quantity>,
    /// Who looked.
    pub who: String,
    /// Its row.
    pub row: u32,
}

/// A sheet of misses.
#[derive(Clone, Debug, Default)]
pub struct Misses {
    /// Which list it is of.
    pub head: Head,
    /// Its misses.
    pub entries: Vec<Entry>,
}

/// A cell of the sheet.
fn place(file: &Arc<str>, row: u32, column: &str) -> Place {
    Place { table: NAME, file: Arc::clone(file), sheet: Some(NAME.into()), row, column: column.into() }
}

/// Reads the rows of a sheet of misses.
///
/// # Errors
/// What can't be understood, at its cells.
pub fn read(file: &str, rows: &Rows) -> Result<Misses, Findings> {
    let file: Arc<str> = file.into();
    let mut findings = Findings::default();
    let head = head(&file, rows, &mut findings);
    let heading = rows.iter().find(|row| row.get(0).is_some_and(|cell| fold(cell.trim()) == HEADINGS[0]));
    let Some(heading) = heading else {
        let message = format!("this sheet has no row with the headings {}", HEADINGS.join(", "));
        findings.add(Finding::new(&OTHER_LIST, place(&file, 0, ""), "", message));
        return Err(findings);
    };
    let at = HEADINGS.map(|name| heading.cells().position(|cell| fold(cell.trim()) == name));
    for (name, _) in HEADINGS.iter().zip(at).filter(|(_, at)| at.is_none()) {
        let message = format!("the column {name} is missing");
        findings.add(Finding::new(&OTHER_LIST, place(&file, heading.number(), name), "", message));
    }
    let mut entries = Vec::new();
    for row in rows.iter().filter(|row| row.number() > heading.number()) {
        let cells = at.map(|at| at.and_then(|at| row.get(at)).unwrap_or("").trim());
        if cells.iter().any(|cell| !cell.is_empty()) {
            let mut line = Line { file: &file, row: row.number(), findings: &mut findings };
            entries.extend(line.entry(cells));
        }
    }
    match head.filter(|_| !findings.any_error()) {
        Some(head) => Ok(Misses { head, entries }),
        None => Err(findings),
    }
}

/// The facts by which the list is known.
fn head(file: &Arc<str>, rows: &Rows, findings: &mut Findings) -> Option<Head> {
    let fact = |label: &str| {
        let row = rows.iter().find(|row| row.get(0).is_some_and(|cell| cell.trim() == label))?;
        let value = row.cells().skip(1).map(str::trim).find(|cell| !cell.is_empty())?;
        Some((row.number(), value.to_owned()))
    };
    let mut found = Vec::new();
    for label in FACTS {
        match fact(label) {
            Some(fact) => found.push(fact),
            None => {
                let message = format!("this sheet does not say '{label}': it is no pull list's, or was changed");
                findings.add(Finding::new(&OTHER_LIST, place(file, 0, ""), "", message));
            }
        }
    }
    let [book, as_of, day, set_aside, walks]: [(u32, String); 5] = found.try_into().ok()?;
    let (moment, date) = (Moment::parse(&as_of.1).map(|(moment, _)| moment), Date::parse(&day.1));
    let mut wrong = |(row, value): &(u32, String), label: &str| {
        let message = "this is not as the pull list has written it".to_owned();
        findings.add(Finding::new(&OTHER_LIST, place(file, *row, label), value, message));
    };
    if moment.is_none() {
        wrong(&as_of, FACTS[1]);
    }
    if date.is_none() {
        wrong(&day, FACTS[2]);
    }
    Some(Head {
        rows: [book.0, as_of.0, day.0, set_aside.0, walks.0],
        book: book.1,
        as_of: moment?,
        day: Some(date?),
        set_aside: set_aside.1 == "yes",
        walks: walks.1,
        file: Arc::clone(file),
    })
}

/// A row being read.
struct Line<'a> {
    file: &'a Arc<str>,
    row: u32,
    findings: &'a mut Findings,
}

impl Line<'_> {
    fn report(&mut self, kind: &'static Kind, column: &str, value: &str, message: impl Into<String>) {
        self.findings.add(Finding::new(kind, place(self.file, self.row, column), value, message.into()));
    }

    /// A miss; what can't be understood is reported.
    fn entry(&mut self, [run, walk, stop, short, counted, who]: [&str; 6]) -> Option<Entry> {
        let walk = self.number("walk", walk);
        let stop = self.number("stop", stop);
        let (missing, there) = (self.amount("short", short), self.amount("counted", counted));
        if short.is_empty() && counted.is_empty() {
            self.report(&MISSING_VALUE, "short", "", "say how many were not there, or how many lie there now");
            return None;
        }
        let (short, counted) = (missing?, there?);
        let (run, who) = (run.to_owned(), who.to_owned());
        Some(Entry { run, walk: walk?, stop: stop?, short: short.unwrap_or_default(), counted, who, row: self.row })
    }

    /// A number that must be there, from 1.
    fn number(&mut self, column: &str, text: &str) -> Option<usize> {
        if text.is_empty() {
            self.report(&MISSING_VALUE, column, "", format!("{column} must not be blank"));
            return None;
        }
        let number = Ratio::decimal(text).and_then(Ratio::as_whole).and_then(|number| usize::try_from(number).ok());
        let number = number.filter(|number| *number > 0);
        if number.is_none() {
            self.report(&NOT_A_NUMBER, column, text, "expected a number such as 12");
        }
        number
    }

    /// An amount that is not negative, if there is one; `None` where it was reported.
    #[expect(clippy::option_option, reason = "what is blank is no mistake")]
    fn amount(&mut self, column: &str, text: &str) -> Option<Option<Quantity>> {
        if text.is_empty() {
            return Some(None);
        }
        let Some(amount) = Ratio::decimal(text).and_then(Quantity::cut) else {
            self.report(&NOT_A_NUMBER, column, text, "expected a number such as 2");
            return None;
        };
        if amount < Quantity::ZERO {
            self.report(&OUT_OF_RANGE, column, text, format!("{column} must not be negative"));
            return None;
        }
        Some(Some(amount))
    }
}

impl Head {
    /// What tells that the list is another plan's than this.
    pub fn findings(&self, plan: &Plan<'_>, stops: &[ListedStop]) -> Findings {
        let mut findings = Findings::default();
        let mut report = |at: usize, value: &str, message: String| {
            let place = place(&self.file, self.rows[at], FACTS[at]);
            findings.add(Finding::new(&OTHER_LIST, place, value, message));
        };
        if *self.book != *plan.plant.book {
            report(0, &self.book, format!("this list is of another book than {}", plan.plant.book));
        } else if self.walks != mark(plan, stops) {
            let when = format!("as of {} for {}", plan.plant.as_of.short(), plan.day.long());
            let message =
                format!("the walks of the plan {when} are others: the book was changed since the list was written");
            report(4, &self.walks, message);
        }
        findings
    }
}

impl Misses {
    /// The stop of each miss, in the order of the walks; what is on no walk is reported.
    pub fn find<'m>(
        &'m self,
        plan: &Plan<'_>,
        stops: &'m [ListedStop],
        findings: &mut Findings,
    ) -> Vec<(&'m ListedStop, &'m Entry)> {
        let mut seen: BTreeMap<usize, &Entry> = BTreeMap::new();
        for entry in &self.entries {
            let mut line = Line { file: &self.head.file, row: entry.row, findings };
            let Some(at) = line.stop_of(entry, stops) else { continue };
            if let Some(first) = seen.insert(at, entry) {
                line.report(
                    &CODE_TWICE,
                    "stop",
                    &entry.stop.to_string(),
                    format!("row {} is of the same stop", first.row),
                );
            }
            line.judge(plan, entry, &stops[at]);
        }
        seen.into_iter().map(|(at, entry)| (&stops[at], entry)).collect()
    }
}

impl Line<'_> {
    /// The stop of a miss, by its place in the list.
    fn stop_of(&mut self, entry: &Entry, stops: &[ListedStop]) -> Option<usize> {
        let runs = stops.iter().map(|stop| stop.run.as_str()).dedup().collect_vec();
        let same = |run: &&&str| {
            fold(run) == fold(&entry.run) || parse_time(run).is_some_and(|at| parse_time(&entry.run) == Some(at))
        };
        let run = match (runs.as_slice(), entry.run.is_empty()) {
            ([only], true) => *only,
            _ => match runs.iter().find(same) {
                Some(run) => *run,
                None => {
                    let message = format!("the list has walks of these runs: {}", runs.join(", "));
                    self.report(&NO_SUCH_STOP, "run", &entry.run, message);
                    return None;
                }
            },
        };
        let of_run = stops.iter().filter(|stop| stop.run == run);
        let walks = of_run.map(|stop| stop.walk).max().unwrap_or_default();
        if entry.walk > walks {
            let message = format!("walks of the run {run} are numbered from 1 to {walks}");
            self.report(&NO_SUCH_STOP, "walk", &entry.walk.to_string(), message);
            return None;
        }
        let of_walk = stops.iter().positions(|stop| stop.run == run && stop.walk == entry.walk).collect_vec();
        let at = entry.stop.checked_sub(1).and_then(|at| of_walk.get(at)).copied();
        if at.is_none() {
            let message =
                format!("stops of walk {} of the run {run} are numbered from 1 to {}", entry.walk, of_walk.len());
            self.report(&NO_SUCH_STOP, "stop", &entry.stop.to_string(), message);
        }
        at
    }

    /// Reports amounts that can't be right at a stop.
    fn judge(&mut self, plan: &Plan<'_>, entry: &Entry, stop: &ListedStop) {
        let part = plan.plant.part(stop.part);
        if entry.short > stop.qty {
            let message = format!("no more than {} {} of {} is taken at this stop", stop.qty, part.uom, part.code);
            self.report(&MORE_THAN_TAKEN, "short", &entry.short.to_string(), message);
        }
        let amounts = [("short", Some(entry.short)), ("counted", entry.counted)];
        for (column, amount) in amounts {
            if let Some(amount) = amount.filter(|amount| part.counted() && amount.round_up(0) != *amount) {
                let message = format!("{} is counted in whole pieces", part.code);
                self.report(&OUT_OF_RANGE, column, &amount.to_string(), message);
            }
        }
    }
}
