//! Rows of text cells, all in one piece of text, each knowing the row of the spreadsheet it is.

use super::marks::OddMark;

/// Whether a workbook can hold a sign: XML 1.0 (fifth edition), 2.2, has no others.
pub fn is_letter(sign: char) -> bool {
    matches!(sign, '\t' | '\n' | '\r' | '\u{20}'..='\u{fffd}' | '\u{10000}'..)
}

/// Whether a workbook can hold all of a text.
pub fn all_letters(text: &str) -> bool {
    // The two signs above U+FFFD begin with this byte, and few others do.
    // All bytes are looked at, several at a time: most texts have none of these.
    let other = text.bytes().fold(false, |other, byte| other | (byte < 0x20) | (byte == 0xEF));
    !other || text.chars().all(is_letter)
}

/// The rows of a table as they were found, in order of their numbers.
#[derive(Clone, Debug, Default)]
pub struct Rows {
    text: String,
    /// Where each cell ends in the text; it starts where the one before ends.
    ends: Vec<usize>,
    spans: Vec<Span>,
    /// What only a text tells; `None` where they come from sheets, in which blank cells at the end of a row are not written.
    pub written: Option<Written>,
}

/// What a text tells of the cells that are written in it.
#[derive(Clone, Debug)]
pub struct Written {
    /// What stands between cells.
    pub separator: u8,
    /// Whether the last row ends with a line end, as all others do.
    pub ended: bool,
    /// The last row, whether it counts or not.
    pub last: Option<u32>,
    /// Quotation marks that can't be meant.
    pub odd: Vec<OddMark>,
}

/// A row: its number, and its cells by their indices among all.
#[derive(Clone, Copy, Debug)]
struct Span {
    number: u32,
    from: usize,
    to: usize,
}

impl Rows {
    /// Room for a text of so many bytes.
    pub fn with_room(bytes: usize) -> Self {
        Self { text: String::with_capacity(bytes), ..Self::default() }
    }

    /// None, from the same file.
    pub fn like(&self) -> Self {
        Self { written: self.written.clone(), ..Self::default() }
    }

    /// The first of them.
    pub fn start(&self, count: usize) -> Self {
        let mut start = self.like();
        self.iter().take(count).for_each(|row| start.push(row.number(), row.cells()));
        start
    }

    /// Adds a row.
    pub fn push<'c>(&mut self, number: u32, cells: impl IntoIterator<Item = &'c str>) {
        let from = self.ends.len();
        for cell in cells {
            self.text.push_str(cell);
            self.ends.push(self.text.len());
        }
        self.spans.push(Span { number, from, to: self.ends.len() });
    }

    /// Adds the rows of what stands behind, so many rows further down than they say.
    pub fn append(&mut self, behind: Self, further: u32) {
        let (letters, cells) = (self.text.len(), self.ends.len());
        if self.spans.is_empty() && further == 0 {
            *self = behind;
            return;
        }
        self.text.push_str(&behind.text);
        self.ends.extend(behind.ends.iter().map(|end| end + letters));
        let moved = |span: &Span| Span {
            number: span.number.saturating_add(further),
            from: span.from + cells,
            to: span.to + cells,
        };
        self.spans.extend(behind.spans.iter().map(moved));
    }

    /// All text of all cells, one behind the other.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// Whether a sign may stand somewhere that no workbook can hold: see [`is_letter`].
    pub fn may_hold_no_letter(&self) -> bool {
        !all_letters(&self.text)
    }

    /// How many there are.
    pub fn len(&self) -> usize {
        self.spans.len()
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.spans.is_empty()
    }

    /// The rows, in order.
    pub fn iter(&self) -> impl ExactSizeIterator<Item = Row<'_>> {
        self.spans.iter().map(|span| Row { rows: self, span: *span })
    }

    /// The row with the least number; `None` where there are none.
    pub fn first(&self) -> Option<Row<'_>> {
        self.iter().next()
    }

    /// The row of a number.
    pub fn numbered(&self, number: u32) -> Option<Row<'_>> {
        self.place(number).map(|at| Row { rows: self, span: self.spans[at] })
    }

    /// The number of the last row.
    pub fn last_number(&self) -> Option<u32> {
        self.spans.last().map(|span| span.number)
    }

    fn place(&self, number: u32) -> Option<usize> {
        self.spans.binary_search_by_key(&number, |span| span.number).ok()
    }

    /// Puts cells in the place of those that a row has; a row that is not there comes at its place.
    pub fn put<'c>(&mut self, number: u32, cells: impl IntoIterator<Item = &'c str>) {
        let place = self.spans.binary_search_by_key(&number, |span| span.number);
        self.push(number, cells);
        let Some(span) = self.spans.pop() else { return };
        match place {
            Ok(at) => self.spans[at] = span,
            Err(at) => self.spans.insert(at, span),
        }
    }

    /// Leaves a row out.
    pub fn remove(&mut self, number: u32) {
        if let Some(place) = self.place(number) {
            self.spans.remove(place);
        }
    }

    /// Leaves out the rows that are not wanted.
    pub fn retain(&mut self, mut wanted: impl FnMut(Row<'_>) -> bool) {
        let kept = self.iter().filter(|row| wanted(*row)).map(|row| row.span).collect();
        self.spans = kept;
    }

    /// Leaves out the first rows.
    pub fn skip(&mut self, rows: usize) {
        self.spans.drain(..rows.min(self.spans.len()));
    }
}

/// A row's cells as text, and its number.
#[derive(Clone, Copy, Debug)]
pub struct Row<'r> {
    rows: &'r Rows,
    span: Span,
}

impl<'r> Row<'r> {
    /// The row as the spreadsheet numbers it.
    pub fn number(self) -> u32 {
        self.span.number
    }

    /// How many cells it has.
    pub fn width(self) -> usize {
        self.span.to - self.span.from
    }

    /// A cell's text, counted from 0.
    pub fn get(self, at: usize) -> Option<&'r str> {
        let cell = self.span.from + at;
        if cell >= self.span.to {
            return None;
        }
        let start = if cell == 0 { 0 } else { self.rows.ends[cell - 1] };
        self.rows.text.get(start..self.rows.ends[cell])
    }

    /// The cells, from the first column on.
    pub fn cells(self) -> impl Iterator<Item = &'r str> {
        (0..self.width()).filter_map(move |at| self.get(at))
    }

    /// Whether nothing stands in it.
    pub fn is_blank(self) -> bool {
        self.cells().all(|cell| cell.trim().is_empty())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_keep_their_cells_when_others_go() {
        let mut rows = Rows::default();
        rows.push(1, ["a", "", "c"]);
        rows.push(4, ["", " "]);
        rows.push(5, ["d"]);
        rows.retain(|row| !row.is_blank());
        let all: Vec<(u32, Vec<&str>)> = rows.iter().map(|row| (row.number(), row.cells().collect())).collect();
        assert_eq!(all, [(1, vec!["a", "", "c"]), (5, vec!["d"])]);
        rows.put(4, ["longer than before"]);
        rows.put(9, ["new"]);
        rows.remove(1);
        let all: Vec<(u32, Vec<&str>)> = rows.iter().map(|row| (row.number(), row.cells().collect())).collect();
        assert_eq!(all, [(4, vec!["longer than before"]), (5, vec!["d"]), (9, vec!["new"])]);
        assert_eq!((rows.numbered(5).and_then(|row| row.get(0)), rows.last_number()), (Some("d"), Some(9)));
        rows.skip(1);
        let first = rows.first().unwrap();
        assert_eq!((first.get(0), first.get(1), first.width()), (Some("d"), None, 1));
    }
}
