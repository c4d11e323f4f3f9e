//! Tables as CSV with the line ends of RFC 4180.

use super::columns::{Cells, Chunk, Kind, Lot, pieces};
use super::digits::{push_date, push_moment, push_quantity, push_whole};
use super::files::{Hand, RowSink};
use super::table::Table;
use crate::plan::Plan;
use itertools::Itertools;
use std::borrow::Cow;
use std::io::{Error, Result, Write};

/// A table on its way to a file.
pub struct Lines<'p, W: Write> {
    columns: Vec<AsText<'p>>,
    /// Room to work in.
    chunk: Chunk,
    text: Vec<u8>,
    count: u64,
    out: W,
    outcome: Result<()>,
}

impl<'p, W: Write> Lines<'p, W> {
    /// With its headings.
    pub fn new(table: &Table, plan: &'p Plan<'_>, mut out: W) -> Result<Self> {
        let columns = table.columns().map(|(_, kind)| AsText::new(kind, plan)).collect();
        write!(out, "{}\r\n", table.columns().map(|(name, _)| name).join(","))?;
        Ok(Self { columns, chunk: Chunk::default(), text: Vec::new(), count: 0, out, outcome: Ok(()) })
    }
}

impl<W: Write> Lines<'_, W> {
    /// Writes the rows of the chunk.
    fn write(&mut self) -> Result<()> {
        self.text.clear();
        for row in 0..self.chunk.rows {
            for (i, (column, cells)) in self.columns.iter().zip(&self.chunk.columns).enumerate() {
                if i > 0 {
                    self.text.push(b',');
                }
                column.push(cells, row, &mut self.text)?;
            }
            self.text.extend_from_slice(b"\r\n");
        }
        self.count += self.chunk.rows as u64;
        self.out.write_all(&self.text)
    }
}

impl<W: Write + Send> Hand for Lines<'_, W> {
    fn take(&mut self, lot: &dyn Lot) {
        for piece in pieces(lot.count()) {
            if self.outcome.is_ok() {
                self.chunk.fill(lot, piece);
                self.outcome = self.write();
            }
        }
    }
}

impl<W: Write + Send> RowSink for Lines<'_, W> {
    fn hands(&mut self) -> Vec<&mut dyn Hand> {
        vec![self]
    }

    fn settle(&mut self) -> Result<()> {
        std::mem::replace(&mut self.outcome, Ok(()))
    }

    fn count(&self) -> u64 {
        self.count
    }

    fn finish(&mut self) -> Result<()> {
        self.settle()?;
        self.out.flush()
    }
}

/// How the numbers of a column become text.
enum AsText<'p> {
    /// Texts of a list, in quotes where they must be.
    Listed(Vec<Cow<'p, str>>),
    Quantity,
    Moment,
    Date,
    Whole,
}

impl<'p> AsText<'p> {
    fn new(kind: Kind, plan: &'p Plan<'_>) -> Self {
        match kind {
            Kind::Text(list) | Kind::Code(list) => Self::Listed(list.texts(plan).into_iter().map(quoted).collect()),
            Kind::Quantity => Self::Quantity,
            Kind::Moment => Self::Moment,
            Kind::Date => Self::Date,
            Kind::Whole => Self::Whole,
        }
    }

    /// Writes a cell: times as `YYYY-MM-DDTHH:MM:SS`, quantities as plain decimals.
    fn push(&self, cells: &Cells, row: usize, text: &mut Vec<u8>) -> Result<()> {
        let number = cells.values[row];
        if !cells.there[row] {
            return Ok(());
        }
        match self {
            Self::Listed(list) => {
                let listed = usize::try_from(number)
                    .ok()
                    .and_then(|place| list.get(place))
                    .ok_or_else(|| Error::other("a text is in no list of the plan"))?;
                text.extend_from_slice(listed.as_bytes());
            }
            Self::Quantity => push_quantity(number, text),
            Self::Moment => push_moment(number, text),
            Self::Date => push_date(number, text),
            Self::Whole => push_whole(number, text),
        }
        Ok(())
    }
}

/// A text as it stands in a line.
fn quoted(text: Cow<'_, str>) -> Cow<'_, str> {
    if text.contains([',', '"', '\r', '\n']) { format!("\"{}\"", text.replace('"', "\"\"")).into() } else { text }
}
