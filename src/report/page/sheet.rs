//! Sheets as people hold them: titles, facts and tables one below the other, with page breaks where a page must end.

pub use super::cell::{Cell, Frame, Look, Row, Show, Spans, Style};
use super::listing::{Line, Listing};
use super::text_width::{letter_width, lines_of, thousandths};
use crate::report::table::Value;

/// The height of a row with one line of text, in points.
pub const ROW_HEIGHT: u16 = 15;

/// A column of a table on a sheet.
#[derive(Clone, Copy, Debug)]
pub struct Column {
    /// Its heading, unique in its table.
    pub heading: &'static str,
    /// Its width in characters; where the sheet fits its columns, the least. 0 where it stands below another table's column.
    pub width: u16,
    /// How its values are shown.
    pub show: Show,
}

/// A line of a table whose columns are worked out: a value for each, and what the line is on the page.
pub type Loose<'p> = (Look, Vec<Value<'p>>);

/// Where a real table stands: one that a spreadsheet program can sort and filter.
#[derive(Clone, Debug)]
pub struct TableSpan {
    /// Its name, unique in the workbook.
    pub name: String,
    /// The row of its headings, from 0.
    pub heading: u32,
    /// Its last row.
    pub last: u32,
    /// Its headings.
    pub headings: Vec<String>,
}

/// A small line of numbers in one cell.
#[derive(Clone, Debug)]
pub struct Spark {
    /// The cell's row, from 0.
    pub row: u32,
    /// The cell's column, from 0.
    pub column: u16,
    /// First and last column of the numbers, in the same row.
    pub from: (u16, u16),
}

/// A chart of columns, from cells of the same sheet.
#[derive(Clone, Debug)]
pub struct Chart {
    /// What it shows.
    pub title: String,
    /// Where its upper left corner stands: row and column, from 0.
    pub at: (u32, u16),
    /// First and last row of the numbers.
    pub rows: (u32, u32),
    /// The column of the categories.
    pub categories: u16,
    /// The columns of the series, with their names.
    pub series: Vec<(String, u16)>,
    /// The name of the value axis, with its unit.
    pub unit: String,
    /// Its width and height in pixels.
    pub size: (u32, u32),
}

/// How a sheet is put on paper.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Paper {
    /// As wide as the page; pages end where they are full.
    FitWidth,
    /// The whole sheet on one page.
    OnePage,
    /// At a fixed scale in percent, so that the sheet's own page breaks count.
    Scale(u16),
}

/// A sheet.
#[derive(Clone, Debug)]
pub struct Sheet<'p> {
    /// The name on its tab, 31 letters at most.
    pub name: String,
    /// Widths of its columns in characters.
    pub widths: Vec<u16>,
    /// Its rows.
    pub rows: Vec<Row<'p>>,
    /// Real tables.
    pub tables: Vec<TableSpan>,
    /// Rows before which a page ends.
    pub breaks: Vec<u32>,
    /// Rows repeated on each printed page.
    pub repeat: Option<(u32, u32)>,
    /// Rows above this one stay when scrolling.
    pub freeze: Option<u32>,
    /// So many columns at the left stay when scrolling.
    pub freeze_columns: u16,
    /// Small lines of numbers.
    pub sparks: Vec<Spark>,
    /// Charts.
    pub charts: Vec<Chart>,
    /// Cells with text that lead to another file: row and column, from 0, and where to.
    pub links: Vec<(u32, u16, String)>,
    /// How it is put on paper.
    pub paper: Paper,
    /// Whether its rows are what is done on a day: they are never cut short because the plan is long.
    pub of_a_day: bool,
    /// Whether it is only looked at, not printed with the day's paper.
    pub for_the_screen: bool,
    /// How many rows were not made, because the sheet is cut before them.
    pub not_made: u32,
    /// What money is told in; it stands behind the headings of columns of money. Blank where that is not known.
    pub currency: &'p str,
}

/// A workbook.
#[derive(Clone, Debug)]
pub struct Workbook<'p> {
    /// Its file's name.
    pub file: &'static str,
    /// What it is, for the head of each page.
    pub title: String,
    /// Plant, day and as-of moment, for the foot of each page.
    pub foot: String,
    /// Its sheets.
    pub sheets: Vec<Sheet<'p>>,
}

impl<'p> Sheet<'p> {
    /// An empty sheet.
    pub fn new(name: impl Into<String>, widths: &[u16]) -> Self {
        Self {
            name: name.into(),
            widths: widths.to_vec(),
            rows: Vec::new(),
            tables: Vec::new(),
            breaks: Vec::new(),
            repeat: None,
            freeze: None,
            freeze_columns: 0,
            sparks: Vec::new(),
            charts: Vec::new(),
            links: Vec::new(),
            paper: Paper::FitWidth,
            of_a_day: false,
            for_the_screen: false,
            not_made: 0,
            currency: "",
        }
    }

    /// The number of the next row, from 0.
    pub fn next_row(&self) -> u32 {
        self.rows.len() as u32
    }

    /// An empty row.
    pub fn gap(&mut self) -> &mut Self {
        self.rows.push(Row::default());
        self
    }

    /// A line of text over the whole width.
    pub fn text(&mut self, look: Look, text: impl Into<String>) -> &mut Self {
        let span = self.widths.len().max(1) as u16;
        let value = Value::from(text.into());
        let cell = Cell { column: 0, span, value, show: Show::Text, look, ruled: false };
        let height = match look {
            Look::Title => Some(26),
            Look::Large => Some(32),
            Look::Section => Some(20),
            _ => None,
        };
        self.rows.push(Row { cells: vec![cell], height });
        self
    }

    /// A paragraph over the whole width, as high as its text needs.
    pub fn paragraph(&mut self, look: Look, text: impl Into<String>) -> &mut Self {
        let text = text.into();
        let width: usize = self.widths.iter().map(|width| usize::from(*width)).sum();
        let lines = lines_of(&text, width);
        let span = self.widths.len().max(1) as u16;
        let cell = Cell { column: 0, span, value: Value::from(text), show: Show::Wrapped, look, ruled: false };
        self.rows.push(Row { cells: vec![cell], height: Some(15 * lines + 2) });
        self
    }

    /// A fact: what it is in the first columns, its value behind.
    pub fn fact(
        &mut self,
        look: Look,
        label_span: u16,
        label: &'static str,
        value: impl Into<Value<'p>>,
        show: Show,
    ) -> &mut Self {
        let rest = (self.widths.len() as u16).saturating_sub(label_span).max(1);
        let text = matches!(show, Show::Text | Show::Wrapped);
        let label = Cell { column: 0, span: label_span, value: label.into(), show: Show::Text, look, ruled: false };
        let span = if text { rest } else { 1 };
        let value = Cell { column: label_span, span, value: value.into(), show, look, ruled: false };
        self.rows.push(Row { cells: vec![label, value], height: None });
        self
    }

    /// With what money is told in.
    #[must_use]
    pub fn with_currency(mut self, currency: &'p str) -> Self {
        self.currency = currency;
        self
    }

    /// A table from the first column on. With a name it is a real one, of which a sheet can have several; its heading is
    /// repeated on each page and stays when scrolling where it is the sheet's first.
    pub fn table<L: Listing>(&mut self, name: Option<String>, lines: Vec<Line<'p, L>>) -> &mut Self {
        let heading = |column: &Column| match column.show {
            Show::Money if !self.currency.is_empty() => format!("{}, {}", column.heading, self.currency),
            _ => column.heading.to_owned(),
        };
        let columns: Vec<(String, Show)> = L::COLUMNS.iter().map(|column| (heading(column), column.show)).collect();
        self.add_table(name, &columns, lines.into_iter().map(|line| (line.look, line.into_values())))
    }

    /// A table whose headings are worked out, such as the days of a plan.
    pub fn table_headed(
        &mut self,
        name: Option<String>,
        columns: &[(String, Show)],
        lines: Vec<Loose<'p>>,
    ) -> &mut Self {
        self.add_table(name, columns, lines.into_iter())
    }

    fn add_table(
        &mut self,
        name: Option<String>,
        columns: &[(String, Show)],
        lines: impl Iterator<Item = Loose<'p>>,
    ) -> &mut Self {
        let heading = self.next_row();
        let head = columns.iter().enumerate().map(|(i, (heading, _))| Cell {
            column: i as u16,
            span: 1,
            value: heading.clone().into(),
            show: Show::Wrapped,
            look: Look::Heading,
            ruled: true,
        });
        let words = columns.iter().zip(&self.widths);
        let tall = words.map(|((heading, _), width)| lines_of(heading, usize::from(*width))).max().unwrap_or(1);
        self.rows.push(Row { cells: head.collect(), height: Some(15 * tall + 3) });
        for (look, values) in lines {
            let cells = values.into_iter().zip(columns).enumerate().map(|(i, (value, (_, show)))| Cell {
                column: i as u16,
                span: 1,
                show: show.of(&value),
                value,
                look,
                ruled: true,
            });
            let cells: Vec<Cell<'p>> = cells.collect();
            let height = self.height_of(&cells);
            self.rows.push(Row { cells, height });
        }
        let last = self.next_row() - 1;
        if let Some(name) = name.filter(|_| last > heading) {
            if self.tables.is_empty() {
                self.repeat = Some((heading, heading));
                self.freeze = Some(heading + 1);
            }
            let headings = columns.iter().map(|(heading, _)| heading.clone()).collect();
            self.tables.push(TableSpan { name, heading, last, headings });
        }
        self
    }

    /// A row of cells, so many points high; as high as its text needs where no height is given.
    pub fn row(&mut self, height: Option<u16>, cells: Vec<Cell<'p>>) -> &mut Self {
        let height = height.or_else(|| self.height_of(&cells));
        self.rows.push(Row { cells, height });
        self
    }

    /// Gives every row a height, so that all programs end pages at the same rows.
    pub fn fix_heights(&mut self) -> &mut Self {
        self.rows.iter_mut().for_each(|row| row.height = row.height.or(Some(ROW_HEIGHT)));
        self
    }

    /// A page ends here.
    pub fn page_break(&mut self) -> &mut Self {
        self.breaks.push(self.next_row());
        self
    }

    /// The height that wrapped text needs; `None` for a single line.
    pub(super) fn height_of(&self, cells: &[Cell<'_>]) -> Option<u16> {
        let wrapped = cells.iter().filter(|cell| cell.show == Show::Wrapped);
        let lines = wrapped.map(|cell| match &cell.value {
            Value::Text(text) => {
                let width = self.width_of(cell);
                if lines_of(text, width) == 1 {
                    return 1;
                }
                // The regular face is narrower than the bold one, by which lines are counted.
                let plain = matches!(cell.look, Look::Plain | Look::Faint) && !text.is_empty();
                let bold: usize = text.chars().map(letter_width).sum();
                lines_of(text, if plain { width * bold / thousandths(text).div_ceil(10) } else { width })
            }
            _ => 1,
        });
        lines.max().filter(|lines| *lines > 1).map(|lines| 15 * lines)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_first_real_table_of_a_sheet_repeats_and_stays() {
        let mut sheet = Sheet::new("x", &[10, 10]);
        let columns = [("part".to_owned(), Show::Text), ("qty".to_owned(), Show::Whole)];
        let lines = vec![(Look::Plain, vec!["A".into(), 1_i64.into()])];
        sheet.text(Look::Title, "t").table_headed(Some("x".into()), &columns, lines);
        assert_eq!((sheet.repeat, sheet.freeze, sheet.tables[0].last), (Some((1, 1)), Some(2), 2));
    }
}
