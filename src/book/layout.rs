//! How a plant's own file is laid out: which row holds the headings, what each column is called, which rows count.

use super::forms::Forms;
use super::rows::{Row, Rows};
use super::sheet_rows::Numbers;
use super::spec::plain_name;
use super::text::Letters;
use super::words::Words;
use crate::base::fold;
use std::path::Path;

/// The layout of one table; the default is that of a book's own file.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Layout {
    /// The row of the headings; by default the first that is not blank.
    pub headings: Option<u32>,
    /// What this plant calls a column: the column, and the heading. One heading may serve several columns.
    pub names: Vec<(&'static str, String)>,
    /// Values for columns that the file lacks.
    pub fixed: Vec<(&'static str, String)>,
    /// Rows left out.
    pub leave_out: Vec<Filter>,
    /// Of the other rows, only these count.
    pub keep_only: Vec<Filter>,
    /// The first of these rows, and all below it, are left out.
    pub end_at: Vec<Filter>,
    /// Headings under which a blank cell takes what stands above it.
    pub as_above: Vec<String>,
    /// The heading of the level in an indented bill.
    pub level: Option<String>,
    /// How numbers and dates are written.
    pub forms: Forms,
    /// The plant's own words.
    pub words: Words,
}

impl Layout {
    /// How the numbers of a sheet become text.
    pub fn numbers(&self) -> Numbers {
        Numbers { mark: self.forms.decimal, percent: self.words.percent }
    }
}

/// How a plant's files are written, as far as that holds for all tables.
#[derive(Clone, Debug, Default)]
pub struct Ways {
    /// What stands between the cells of a text file; by its ending where `None`.
    pub separator: Option<u8>,
    /// How the letters of a text file are kept.
    pub letters: Letters,
    /// How numbers and dates are written.
    pub forms: Forms,
    /// The plant's own words.
    pub words: Words,
}

impl Ways {
    /// The layout of a table of which no more is said.
    pub fn layout(&self) -> Layout {
        Layout { forms: self.forms.clone(), words: self.words.clone(), ..Layout::default() }
    }

    /// How the numbers of sheets become text.
    pub fn numbers(&self) -> Numbers {
        Numbers { mark: self.forms.decimal, percent: self.words.percent }
    }

    /// What stands between the cells of a text file.
    pub fn separator_of(&self, path: &Path) -> u8 {
        self.separator.unwrap_or(if super::extension(path) == "tsv" { b'\t' } else { b',' })
    }
}

/// Rows by what stands in one of their cells.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Filter {
    /// The heading above the cell.
    pub heading: String,
    /// What the cell holds: a text in which `*` stands for anything; blank for a cell in which nothing stands.
    pub patterns: Vec<String>,
}

impl Filter {
    /// What it says, for messages: `Status = draft`.
    fn shown(&self, pattern: &str) -> String {
        let shown = if pattern.is_empty() { "blank" } else { pattern };
        format!("{} = {shown}", self.heading)
    }
}

/// Rows that a layout leaves out, and why.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct LeftOut(Vec<(String, usize)>);

impl LeftOut {
    /// Counts a row.
    pub fn add(&mut self, why: String) {
        match self.0.iter_mut().find(|(known, _)| *known == why) {
            Some((_, count)) => *count += 1,
            None => self.0.push((why, 1)),
        }
    }

    /// The reasons, and how many rows each concerns.
    pub fn iter(&self) -> impl Iterator<Item = (&str, usize)> {
        self.0.iter().map(|(why, count)| (why.as_str(), *count))
    }
}

/// The columns that a heading names, of those that a table has.
pub fn columns_named<'s>(layout: &Layout, heading: &str, columns: impl Iterator<Item = &'s str>) -> Vec<usize> {
    let plain = plain_name(heading);
    let named =
        |column: &str| layout.names.iter().find(|(known, _)| *known == column).map(|(_, heading)| plain_name(heading));
    let (mut named_so, mut called_so) = (Vec::new(), None);
    for (i, column) in columns.enumerate() {
        match named(column) {
            Some(own) if own == plain => named_so.push(i),
            None if plain_name(column) == plain => called_so = Some(i),
            _ => {}
        }
    }
    // What the manifest says of a heading counts before what the heading says itself.
    if named_so.is_empty() { called_so.into_iter().collect() } else { named_so }
}

/// The rows of a file that count, the headings first.
pub fn apply(layout: &Layout, mut rows: Rows) -> (Rows, LeftOut) {
    let mut left_out = LeftOut::default();
    let first = layout.headings.unwrap_or_default();
    rows.retain(|row| row.number() >= first && !row.is_blank());
    let Some(heads) = rows.first() else { return (rows, left_out) };
    let heading_row = heads.number();
    let at = |heading: &str| heads.cells().position(|cell| plain_name(cell) == plain_name(heading));
    let found = |filters: &[Filter]| {
        filters.iter().filter_map(|filter| Some((at(&filter.heading)?, filter.clone()))).collect::<Vec<_>>()
    };
    let (gone, kept, ends) = (found(&layout.leave_out), found(&layout.keep_only), found(&layout.end_at));
    let above: Vec<usize> = layout.as_above.iter().filter_map(|heading| at(heading)).collect();
    if !(gone.is_empty() && ends.is_empty()) {
        let mut ended = None;
        rows.retain(|row| {
            if row.number() == heading_row {
                return true;
            }
            ended = ended.take().or_else(|| hit(&ends, row));
            let why = ended.as_ref().map(|end| format!("from {end} on")).or_else(|| hit(&gone, row));
            let counts = why.is_none();
            why.into_iter().for_each(|why| left_out.add(why));
            counts
        });
    }
    if !above.is_empty() {
        rows = filled(&rows, heading_row, &above);
    }
    if !kept.is_empty() {
        rows.retain(|row| {
            let other = kept.iter().find(|filter| hit(std::slice::from_ref(filter), row).is_none());
            let other = other.filter(|_| row.number() != heading_row);
            other.iter().for_each(|(_, filter)| left_out.add(format!("{} is not one of those kept", filter.heading)));
            other.is_none()
        });
    }
    (rows, left_out)
}

/// Which of the filters a row meets.
fn hit(filters: &[(usize, Filter)], row: Row<'_>) -> Option<String> {
    filters.iter().find_map(|(at, filter)| {
        let cell = fold(row.get(*at).unwrap_or_default().trim());
        let pattern = filter.patterns.iter().find(|pattern| fits(&fold(pattern), &cell))?;
        Some(filter.shown(pattern))
    })
}

/// Whether a text fits a pattern in which `*` stands for anything.
pub fn fits(pattern: &str, text: &str) -> bool {
    let mut pieces = pattern.split('*');
    let Some(mut rest) = pieces.next().and_then(|first| text.strip_prefix(first)) else { return false };
    let pieces: Vec<&str> = pieces.collect();
    let Some((last, middle)) = pieces.split_last() else { return rest.is_empty() };
    for piece in middle {
        let Some(at) = rest.find(piece) else { return false };
        rest = &rest[at + piece.len()..];
    }
    rest.ends_with(last)
}

/// The rows with what stands above in the blank cells of some columns.
fn filled(rows: &Rows, heading_row: u32, columns: &[usize]) -> Rows {
    let mut out = rows.like();
    let mut above = vec![String::new(); columns.len()];
    for row in rows.iter() {
        let mut cells: Vec<&str> = row.cells().collect();
        if row.number() != heading_row {
            for (at, above) in columns.iter().zip(&mut above) {
                let own = row.get(*at).unwrap_or_default();
                if !own.trim().is_empty() {
                    *above = own.to_owned();
                }
            }
            let needed = columns.iter().map(|at| at + 1).max().unwrap_or_default();
            cells.resize(cells.len().max(needed), "");
            columns.iter().zip(&above).for_each(|(at, above)| cells[*at] = above);
        }
        out.push(row.number(), cells);
    }
    out
}

/// The rows with the layout's fixed values as further columns behind those that have headings.
pub fn with_fixed(layout: &Layout, rows: Rows) -> Rows {
    if layout.fixed.is_empty() {
        return rows;
    }
    let width = rows.first().map_or(0, Row::width);
    let mut filled = rows.like();
    for (i, row) in rows.iter().enumerate() {
        let own = (0..width).map(|at| row.get(at).unwrap_or_default());
        let fixed = layout.fixed.iter().map(|(column, value)| if i == 0 { column } else { value.as_str() });
        filled.push(row.number(), own.chain(fixed));
    }
    filled
}

/// The headings that a layout names and a file's heading row lacks.
pub fn missing<'l>(layout: &'l Layout, heading: &[String]) -> Vec<&'l str> {
    let there: Vec<String> = heading.iter().map(|cell| plain_name(cell)).collect();
    let named = layout.names.iter().map(|(_, heading)| heading.as_str());
    let filters = [&layout.leave_out, &layout.keep_only, &layout.end_at].into_iter().flatten();
    let all = named.chain(filters.map(|filter| filter.heading.as_str()));
    let all = all.chain(layout.as_above.iter().chain(&layout.level).map(String::as_str));
    let mut missing: Vec<&str> = Vec::new();
    for heading in all.filter(|heading| !there.contains(&plain_name(heading))) {
        if !missing.contains(&heading) {
            missing.push(heading);
        }
    }
    missing
}

/// Whether a layout looks at a heading for other things than its column.
pub fn looked_at(layout: &Layout, heading: &str) -> bool {
    let plain = plain_name(heading);
    let filters = [&layout.leave_out, &layout.keep_only, &layout.end_at].into_iter().flatten();
    let all = filters.map(|filter| &filter.heading).chain(&layout.as_above).chain(&layout.level);
    all.into_iter().any(|known| plain_name(known) == plain)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn patterns_fit_texts() {
        assert!(fits("stock-*.csv", "stock-2027-09-14.csv") && fits("*.csv", "x.csv") && fits("a*b*c", "aXbYbZc"));
        assert!(!fits("stock-*.csv", "stock-1.tsv") && !fits("a*b*c", "acb") && !fits("ab*ba", "aba"));
        assert!(fits("", "") && !fits("", "x") && fits("*", ""));
    }

    fn filter(heading: &str, pattern: &str) -> Filter {
        Filter { heading: heading.to_owned(), patterns: vec![pattern.to_owned()] }
    }

    #[test]
    fn rows_that_do_not_count_go_and_are_counted() {
        let mut rows = Rows::default();
        let lines: [&[&str]; 9] = [
            &["Title"],
            &["Line", "Unit", "Site"],
            &["A", "U1", "1"],
            &["", "U2", "1"],
            &["---", "---"],
            &["", "", "1"],
            &["", "U3", "2"],
            &["Total", "3"],
            &["B", "U4", "1"],
        ];
        (1..).zip(lines).for_each(|(number, cells)| rows.push(number, cells.iter().copied()));
        let layout = Layout {
            headings: Some(2),
            leave_out: vec![filter("line", "---*"), filter("Unit", "")],
            keep_only: vec![filter("site", "1")],
            end_at: vec![filter("LINE", "total*")],
            as_above: vec!["Line".to_owned()],
            ..Layout::default()
        };
        let (rows, left_out) = apply(&layout, rows);
        let all: Vec<Vec<&str>> = rows.iter().map(|row| row.cells().collect()).collect();
        assert_eq!(all, [vec!["Line", "Unit", "Site"], vec!["A", "U1", "1"], vec!["A", "U2", "1"]]);
        let why: Vec<(&str, usize)> = left_out.iter().collect();
        assert_eq!(
            why,
            [
                ("line = ---*", 1),
                ("Unit = blank", 1),
                ("from LINE = total* on", 2),
                ("site is not one of those kept", 1)
            ]
        );
    }
}
