//! One file or sheet: how it is written, where its headings stand, and which table it looks like.

use super::cells::{dates_of, is_blank, marks_of, measures_of, other_words, whole_percent, words_of};
use super::vocabulary;
use crate::book::rows::{Row, Rows};
use crate::book::spec::{Holds, Table, TableSpec, plain_name};
use crate::book::text::{self, Letters};
use crate::book::{extension, file_name, guard, parquet, workbook};
use std::path::Path;
use std::sync::Arc;

/// Headings stand in one of so many rows.
const FIRST_ROWS: usize = 30;
/// Larger files are not looked at.
const MOST_BYTES: u64 = 100_000_000;
/// What may stand between the cells of a text.
const SEPARATORS: [u8; 4] = [b';', b'\t', b'|', b','];

/// A file, or a sheet of one.
#[derive(Clone, Debug)]
pub struct Seen {
    /// The file's name.
    pub file: Arc<str>,
    /// The sheet's, where there are several.
    pub sheet: Option<Arc<str>>,
    /// How a text is written: the separator, and how its letters are kept.
    pub text: Option<(u8, Letters)>,
    /// What it looks like.
    pub guess: Option<Guess>,
}

impl std::fmt::Display for Seen {
    /// What it looks like: `looks like Parts: 40 rows`.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match &self.guess {
            None => f.write_str("looks like no table"),
            Some(guess) if guess.rows == 1 => write!(f, "looks like {}: 1 row", guess.spec.name),
            Some(guess) => write!(f, "looks like {}: {} rows", guess.spec.name, guess.rows),
        }
    }
}

/// A word of the plant, and the book's that it seems to mean.
pub type Word = (String, Option<&'static str>);

/// What a file or sheet looks like.
#[derive(Clone, Debug)]
pub struct Guess {
    /// Of all tables the one whose headings it has.
    pub spec: &'static TableSpec,
    /// The row of its headings; whether that is the first row in which something stands.
    pub headings: (u32, bool),
    /// How many rows stand below.
    pub rows: usize,
    /// Columns, and their headings.
    pub columns: Vec<(&'static str, String)>,
    /// Headings that mean nothing here.
    pub others: Vec<String>,
    /// Needed columns for which no heading was found.
    pub missing: Vec<&'static str>,
    /// The decimal mark, and that between groups of three digits, where cells show them.
    pub decimal: Option<char>,
    /// The same of groups of three digits.
    pub thousands: Option<char>,
    /// Forms of dates that are needed, and whether another reading is possible.
    pub dates: Vec<&'static str>,
    /// Forms that would read the same cells as other days.
    pub doubtful_dates: Vec<&'static str>,
    /// Units of measure that the book does not know, and what they seem to mean.
    pub measures: Vec<Word>,
    /// Words for yes and for no.
    pub truths: [Vec<String>; 2],
    /// Rows that are no rows of the table: a heading, and what its cells hold there.
    pub leave_out: Vec<(String, String)>,
    /// Whether shares are written as whole percents without a sign.
    pub percent: bool,
    /// Words that stand for nothing.
    pub blank: Vec<String>,
    /// The heading of the levels, where it is an indented bill.
    pub level: Option<String>,
    /// Headings under which only the first row of several is filled.
    pub as_above: Vec<String>,
    /// For columns that take one of a few words: other words, and what they seem to mean.
    pub words: Vec<(&'static str, Vec<Word>)>,
}

/// Looks at a file: one thing for a text, one for each sheet of a workbook.
pub fn look(path: &Path) -> Vec<Seen> {
    let size = path.metadata().map_or(u64::MAX, |found| found.len());
    let file = file_name(path);
    let none = |text| vec![Seen { file: Arc::clone(&file), sheet: None, text, guess: None }];
    if size > MOST_BYTES {
        return none(None);
    }
    match extension(path).as_str() {
        "csv" | "tsv" | "txt" | "asc" | "dat" | "prn" => {
            let Ok(bytes) = guard::bytes(path) else { return none(None) };
            let letters = letters_of(&bytes);
            let Ok(text) = text::of_file(&bytes, letters, path) else { return none(None) };
            let Some((separator, rows)) = split(&text.text, path) else { return none(None) };
            let guess = Guess::of(&rows, &file, None);
            vec![Seen { file, sheet: None, text: Some((separator, text.letters)), guess }]
        }
        "parquet" => {
            let guess = parquet::rows(path).ok().and_then(|rows| Guess::of(&rows, &file, None));
            vec![Seen { file, sheet: None, text: None, guess }]
        }
        "xlsx" | "xlsm" | "xlsb" | "ods" | "xls" => {
            let Ok(sheets) = workbook::sheets(path) else { return none(None) };
            let several = sheets.len() > 1;
            let seen = |(sheet, rows): (Arc<str>, Rows)| Seen {
                file: Arc::clone(&file),
                guess: Guess::of(&rows, &file, Some(&sheet)),
                sheet: several.then_some(sheet),
                text: None,
            };
            sheets.into_iter().map(seen).collect()
        }
        _ => Vec::new(),
    }
}

/// How the letters of a text seem to be kept.
fn letters_of(bytes: &[u8]) -> Letters {
    let start = &bytes[..bytes.len().min(2_000)];
    if start.iter().filter(|byte| **byte == 0).count() * 4 > start.len() {
        Letters::Utf16
    } else if std::str::from_utf8(bytes).is_ok() {
        Letters::Utf8
    } else {
        Letters::Windows1252
    }
}

/// The rows of a text by the separator that gives most rows the same number of cells.
fn split(text: &str, path: &Path) -> Option<(u8, Rows)> {
    let read = |separator: u8| {
        let rows = text::split(text, path, separator).ok()?;
        let mut widths: Vec<usize> = rows.iter().take(500).map(Row::width).filter(|width| *width > 1).collect();
        widths.sort_unstable();
        let alike = widths.chunk_by(|a, b| a == b).map(|run| run.len() * run[0].min(4)).max().unwrap_or_default();
        Some((alike, separator, rows))
    };
    let best = SEPARATORS.into_iter().filter_map(read).max_by_key(|(alike, ..)| *alike)?;
    Some((best.1, best.2))
}

impl Guess {
    /// Whether it is a table of the book as it is, but for how dates and a few words are written.
    pub fn is_plain(&self, seen: &Seen) -> bool {
        let named = seen.sheet.as_deref().and_then(Table::named).is_some_and(|spec| spec.table == self.spec.table);
        let renamed = self.columns.iter().any(|(name, heading)| plain_name(name) != plain_name(heading));
        let as_it_is = self.decimal.is_none() && self.thousands.is_none() && self.leave_out.is_empty();
        let words = self.words.is_empty() && self.as_above.is_empty() && self.level.is_none() && !self.percent;
        named && !renamed && self.missing.is_empty() && self.headings.1 && as_it_is && words
    }

    fn of(rows: &Rows, file: &str, sheet: Option<&str>) -> Option<Self> {
        let first = rows.iter().find(|row| !row.is_blank())?.number();
        let stem = Path::new(file).file_stem().map(|stem| stem.to_string_lossy().into_owned()).unwrap_or_default();
        let called = Table::named(sheet.unwrap_or(&stem)).or_else(|| Table::named(&stem).filter(|_| sheet.is_none()));
        let known = |row: &Row<'_>| row.cells().filter(|cell| vocabulary::is_known(cell)).count();
        // The first of the rows that hold most known headings.
        let head = rows.iter().take(FIRST_ROWS).rev_max(known)?;
        if known(&head) < 2 && called.is_none() {
            return None;
        }
        let heads: Vec<String> = head.cells().map(|cell| cell.trim().to_owned()).collect();
        let named = |spec: &TableSpec| {
            sheet.map_or_else(
                || vocabulary::names(spec, &stem),
                |sheet| vocabulary::names(spec, sheet) || vocabulary::names(spec, &stem),
            )
        };
        let score = |spec: &&'static TableSpec| {
            let columns = columns_of(spec, &heads);
            let needed = spec.all.iter().filter(|column| column.needed);
            let found = needed.clone().filter(|column| columns.iter().any(|(name, _)| *name == column.name)).count();
            let all = needed.count();
            let called = called.is_some_and(|called| called.table == spec.table);
            let wide = columns.len() >= 2 || called && !columns.is_empty();
            let enough = found * 2 >= all && wide && (spec.table != Table::Settings || found == all);
            enough.then_some(
                6 * found / all.max(1) * 2
                    + columns.len()
                    + if named(spec) { 8 } else { 0 }
                    + usize::from(found == all) * 4
                    + usize::from(called) * 100,
            )
        };
        let spec = Table::all().filter_map(|spec| Some((score(&spec)?, spec)));
        let (_, spec) = spec.reduce(|best, next| if next.0 > best.0 { next } else { best })?;
        Some(Self::laid_out(spec, rows, head, &heads, first))
    }

    fn laid_out(spec: &'static TableSpec, rows: &Rows, head: Row<'_>, heads: &[String], first: u32) -> Self {
        let columns = columns_of(spec, heads);
        let at = |heading: &str| heads.iter().position(|known| known == heading);
        let below: Vec<Row<'_>> = rows.iter().filter(|row| row.number() > head.number() && !row.is_blank()).collect();
        let (leave_out, below) = no_rows(spec, &columns, heads, below);
        let cells = |holds: fn(&Holds, &str) -> bool| -> Vec<&str> {
            let wanted = columns.iter().filter(|(name, _)| {
                spec.all.iter().any(|column| column.name == *name && holds(&column.holds, column.name))
            });
            let places: Vec<usize> = wanted.filter_map(|(_, heading)| at(heading)).collect();
            let cells = below.iter().flat_map(|row| places.iter().map(|at| row.get(*at).unwrap_or_default().trim()));
            cells.filter(|cell| !cell.is_empty() && !is_blank(cell)).collect()
        };
        // The values of settings are of all kinds.
        let mut numbers = cells(|holds, name| *holds == Holds::Number || name == "value");
        let may_be_number = |cell: &&str| cell.chars().all(|sign| sign.is_ascii_digit() || ".,' -".contains(sign));
        numbers.retain(|cell| spec.table != Table::Settings || may_be_number(cell) && cell.matches('-').count() < 2);
        let (decimal, thousands) = marks_of(&numbers, rows.written.is_none());
        let (dates, doubtful_dates) = dates_of(&cells(|holds, name| {
            matches!(holds, Holds::Date | Holds::Moment) || matches!(name, "day" | "value")
        }));
        let shares = cells(|_, name| name == "scrap");
        let percent = shares.iter().any(|cell| whole_percent(cell));
        let level = heads.iter().find(|heading| spec.table == Table::Bills && vocabulary::is_level(heading)).cloned();
        let given = |name: &str| level.is_some() && name == "parent" || columns.iter().any(|(known, _)| *known == name);
        let missing = spec.all.iter().filter(|column| column.needed && !given(column.name));
        let truths =
            cells(|holds, name| matches!(holds, Holds::Words(["yes", "no"])) || matches!(name, "done" | "hold"));
        let is_level = |heading: &String| level.as_ref() == Some(heading);
        let used = |heading: &String| is_level(heading) || columns.iter().any(|(_, known)| known == heading);
        let others = heads.iter().filter(|heading| !heading.is_empty() && !used(heading));
        Self {
            spec,
            headings: (head.number(), head.number() == first),
            rows: below.len(),
            others: others.cloned().collect(),
            missing: missing.map(|column| column.name).collect(),
            decimal,
            thousands,
            dates,
            doubtful_dates,
            measures: measures_of(&cells(|_, name| name == "uom")),
            truths: [vocabulary::YES, vocabulary::NO].map(|words| words_of(&truths, words)),
            leave_out,
            percent,
            blank: words_of(
                &below.iter().flat_map(|row| row.cells().map(str::trim)).collect::<Vec<_>>(),
                vocabulary::BLANK,
            ),
            as_above: above_of(spec, &columns, heads, &below),
            words: other_words(spec, &columns, heads, &below),
            level,
            columns,
        }
    }
}

trait FirstOfMost<'r>: Iterator<Item = Row<'r>> + Sized {
    /// The first of those for which most is counted.
    fn rev_max(self, count: impl Fn(&Row<'r>) -> usize) -> Option<Row<'r>> {
        self.map(|row| (count(&row), row))
            .reduce(|best, next| if next.0 > best.0 { next } else { best })
            .map(|(_, row)| row)
    }
}

impl<'r, I: Iterator<Item = Row<'r>>> FirstOfMost<'r> for I {}

/// The columns of a table that headings mean, each heading and column once.
fn columns_of(spec: &'static TableSpec, heads: &[String]) -> Vec<(&'static str, String)> {
    let mut found: Vec<(&'static str, String)> = Vec::new();
    // A heading that is a column's own name goes before one that only may mean it.
    for own in [true, false] {
        for heading in heads {
            let means = vocabulary::columns(spec, heading);
            let is_own = |name: &&str| vocabulary::plain(name) == vocabulary::plain(heading);
            let free = |name: &&'static str| found.iter().all(|(known, _)| known != name);
            let taken = found.iter().any(|(_, known)| known == heading);
            if let Some(name) = means.into_iter().filter(|name| is_own(name) == own).find(free).filter(|_| !taken) {
                found.push((name, heading.clone()));
            }
        }
    }
    found.sort_by_key(|(name, _)| spec.columns().position(|column| column == *name));
    found
}

/// Rows that are no rows of the table: rules and totals, told by the first needed column; and the rows that are left.
fn no_rows<'r>(
    spec: &TableSpec,
    columns: &[(&'static str, String)],
    heads: &[String],
    below: Vec<Row<'r>>,
) -> (Vec<(String, String)>, Vec<Row<'r>>) {
    let key = spec.keys().into_iter().map(|at| spec.all[at].name);
    let key = key
        .filter_map(|name| columns.iter().find(|(known, _)| *known == name))
        .map(|(_, heading)| heading.clone())
        .next();
    let Some((key, at)) = key.and_then(|key| Some((key.clone(), heads.iter().position(|heading| *heading == key)?)))
    else {
        return (Vec::new(), below);
    };
    let mut out: Vec<(String, String)> = Vec::new();
    let mut add = |pattern: String| {
        if !out.iter().any(|(_, known)| *known == pattern) {
            out.push((key.clone(), pattern));
        }
    };
    let mut kept = Vec::new();
    for row in below {
        let cell = row.get(at).unwrap_or_default().trim();
        let filled = row.cells().filter(|cell| !cell.trim().is_empty()).count();
        let rule = cell.len() > 1 && cell.chars().all(|sign| matches!(sign, '-' | '=' | '_' | '*' | '.'));
        let total = vocabulary::TOTALS.iter().any(|word| {
            let begun = cell.to_lowercase();
            begun.starts_with(word) && begun[word.len()..].chars().next().is_none_or(|sign| !sign.is_alphanumeric())
        });
        if rule {
            add(format!("{}*", cell.chars().take(3).collect::<String>()));
        } else if total {
            add(format!("{}*", cell.split_whitespace().next().unwrap_or(cell).trim_end_matches(':')));
        } else if cell.is_empty() && filled < 2 {
            add(String::new());
        } else {
            kept.push(row);
        }
    }
    (out, kept)
}

/// Headings of needed codes under which some cells are blank, but not the first: it stands for those below.
fn above_of(spec: &TableSpec, columns: &[(&'static str, String)], heads: &[String], below: &[Row<'_>]) -> Vec<String> {
    let needed = spec.all.iter().filter(|column| column.needed && column.holds == Holds::Text);
    let headings = needed.filter_map(|column| columns.iter().find(|(name, _)| *name == column.name));
    let gaps = headings.filter(|(_, heading)| {
        let Some(at) = heads.iter().position(|known| known == heading) else { return false };
        let blank = |row: &Row<'_>| row.get(at).unwrap_or_default().trim().is_empty();
        below.first().is_some_and(|row| !blank(row)) && below.iter().any(blank)
    });
    gaps.map(|(_, heading)| heading.clone()).collect()
}
