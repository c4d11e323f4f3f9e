//! What only the rows of a text tell: how many cells each has, and which quotation marks can't be meant.

use super::kinds::{
    BEYOND_HEADINGS, CELLS_BEYOND, MANY_LINES, MARK_WITHIN, NO_LAST_LINE_END, OPEN_MARK, ROWS_IN_A_CELL, STRAY_MARK,
    UNEVEN_ROW,
};
use super::marks::{OddMark, Oddity};
use super::raw::{RawTable, Shape};
use super::rows::{Row, Rows};
use crate::base::{Finding, Findings, Place};

/// Where more rows than this have too few cells, or more cells a mark within, it is the way the file is written, and told once.
const FEW: usize = 10;

/// Columns of texts that only people read.
const FOR_PEOPLE: [&str; 6] = ["description", "name", "note", "message", "reason", "hold"];

impl Shape {
    /// Reports what is odd about how rows are written. The headings are among them, or not.
    pub fn report_written(&self, heads: &[String], rows: &Rows, findings: &mut Findings) {
        self.report_beyond(heads, rows, findings);
        if rows.written.is_some() {
            self.report_widths(heads, rows, findings);
        }
    }

    /// Reports quotation marks that can't be meant, or may not be.
    pub fn report_marks(&self, heads: &[String], rows: &Rows, findings: &mut Findings) {
        let Some(written) = &rows.written else { return };
        let within = |mark: &&OddMark| matches!(mark.oddity, Oddity::Within | Oddity::Inch);
        // What stands above the headings is no row of the table, unless it swallows some.
        let odd = written.odd.iter().filter(|mark| mark.row >= self.heading_row || mark.lines > 0);
        let letters = odd.clone().filter(within).filter(|mark| !self.is_inch(mark)).count();
        let mut told = 0;
        for mark in odd.filter(|mark| !self.is_inch(mark)) {
            told += usize::from(within(&mark));
            if letters > FEW && within(&mark) && told > 1 {
                continue;
            }
            let mut finding = self.odd_mark(heads, *mark);
            if letters > FEW && within(&mark) {
                finding.message += &format!(", here and in {} cells more", letters - 1);
            }
            findings.add(finding);
        }
    }

    /// Whether a mark stands for inches, as people write them in texts for people.
    fn is_inch(&self, mark: &OddMark) -> bool {
        let columns = self.spec.columns().zip(&self.columns);
        let at = |place: &Option<(usize, _)>| place.as_ref().is_some_and(|(at, _)| *at == mark.cell);
        let coded = columns.filter(|(_, place)| at(place)).any(|(name, _)| !FOR_PEOPLE.contains(&name));
        mark.oddity == Oddity::Inch && !coded
    }

    fn odd_mark(&self, heads: &[String], mark: OddMark) -> Finding {
        let heading = heads.get(mark.cell).map_or("", |heading| heading.trim());
        let place = Place { column: heading.into(), ..self.place(mark.row, "") };
        let lines = mark.lines;
        let (kind, message) = match mark.oddity {
            Oddity::Open => {
                (&OPEN_MARK, format!("the quotation mark is not closed: {lines} lines to the end of the file are lost"))
            }
            Oddity::Behind => (&STRAY_MARK, "the cell goes on behind its closing quotation mark".to_owned()),
            Oddity::Rows => (&ROWS_IN_A_CELL, format!("the quoted cell holds {lines} line ends, in the shape of rows")),
            Oddity::Within | Oddity::Inch => {
                (&MARK_WITHIN, "a quotation mark stands within the cell; it is read as a letter".to_owned())
            }
            Oddity::Lines => (&MANY_LINES, format!("the quoted cell holds {lines} line ends")),
        };
        Finding::new(kind, place, "", message)
    }

    fn report_widths(&self, heads: &[String], rows: &Rows, findings: &mut Findings) {
        let width = heads.len();
        let below = || rows.iter().filter(|row| row.number() != self.heading_row);
        // Where all rows have blank cells behind the last heading, it is the way the file is written.
        let mut widths = below().map(Row::width);
        let first = widths.next();
        let alike = first.is_some_and(|first| first > width && widths.all(|width| width == first));
        let short: Vec<Row<'_>> = below().filter(|row| row.width() < width).collect();
        for row in below().filter(|row| row.width() > width) {
            let place = self.place(row.number(), "");
            match row.cells().skip(width).find(|cell| !cell.trim().is_empty()) {
                Some(cell) => {
                    let message = format!("the row has {} cells, but there are {width} headings", row.width());
                    findings.add(Finding::new(&CELLS_BEYOND, place, cell.trim(), message));
                }
                None if !alike => findings.add(uneven(place, row.width(), width)),
                None => {}
            }
        }
        match short.first() {
            Some(first) if short.len() > FEW => {
                let message = format!(
                    "{} rows, of which this is the first, have fewer cells than the {width} headings; what is missing is read as blank",
                    short.len()
                );
                findings.add(Finding::new(&UNEVEN_ROW, self.place(first.number(), ""), "", message));
            }
            _ => {
                for row in short {
                    findings.add(uneven(self.place(row.number(), ""), row.width(), width));
                }
            }
        }
    }

    /// People write beside a table; in a text, what stands behind the last heading is told row by row.
    fn report_beyond(&self, heads: &[String], rows: &Rows, findings: &mut Findings) {
        let sheet = rows.written.is_none();
        let headed = |at: usize| heads.get(at).map_or(!sheet, |heading| !heading.trim().is_empty());
        let beyond = |row: Row<'_>| {
            let mut cells = row.cells().enumerate();
            cells
                .find(|(at, cell)| !headed(*at) && !cell.trim().is_empty())
                .map(|(_, cell)| (row.number(), cell.trim().to_owned()))
        };
        let mut found = rows.iter().filter_map(beyond);
        if let Some((row, cell)) = found.next() {
            let more = found.count();
            let more = if more > 0 { format!(", here and in {more} rows more") } else { String::new() };
            let message = format!("a cell stands under no heading{more}; it is ignored");
            findings.add(Finding::new(&BEYOND_HEADINGS, self.place(row, ""), &cell, message));
        }
    }
}

/// Reports texts whose last row does not end with a line end, where other texts of the book do.
pub fn report_unended(tables: &[RawTable], findings: &mut Findings) {
    let ended = |raw: &&RawTable| raw.rows.written.as_ref().is_some_and(|written| written.ended);
    if !tables.iter().any(|raw| ended(&raw)) {
        return;
    }
    for raw in tables.iter().filter(|raw| raw.rows.written.is_some() && !ended(raw)) {
        let last = raw.rows.written.as_ref().and_then(|written| written.last);
        let row = last.unwrap_or(raw.shape.heading_row);
        let message = "the file does not end with a line end, as other files do; is it whole?";
        findings.add(Finding::new(&NO_LAST_LINE_END, raw.shape.place(row, ""), "", message));
    }
}

fn uneven(place: Place, width: usize, headings: usize) -> Finding {
    let cells = if width == 1 { "1 cell".to_owned() } else { format!("{width} cells") };
    Finding::new(&UNEVEN_ROW, place, "", format!("the row has {cells}, but there are {headings} headings"))
}
