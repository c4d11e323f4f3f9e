//! How a cell that spans several stands over them.

use super::cell::{Cell, Look, Show, Spans};
use super::sheet::Sheet;
use super::text_width::lines_of;
use crate::report::table::Value;

impl Sheet<'_> {
    /// How a cell stands over those that it spans: a line of text that fits runs over empty cells by itself.
    pub fn spans(&self, cell: &Cell<'_>) -> Spans {
        if cell.span == 1 {
            return Spans::None;
        }
        let shaded = matches!(cell.look, Look::Wrong | Look::Heading);
        let by_itself = match &cell.value {
            Value::Text(text) if cell.show == Show::Text => self.on_one_line(cell, text),
            Value::Blank => cell.ruled && matches!(cell.show, Show::Text | Show::Box),
            _ => false,
        };
        match (by_itself, cell.ruled) {
            (true, true) if cell.look != Look::Heading => Spans::Lined,
            (true, false) if !shaded => Spans::None,
            _ => Spans::Merged,
        }
    }

    /// Whether a text fits on one line of its cell.
    fn on_one_line(&self, cell: &Cell<'_>, text: &str) -> bool {
        // Bold letters are wider by a tenth; beyond its lines there is no room for them.
        let wide = if cell.ruled && cell.look != Look::Plain { 11 } else { 10 };
        lines_of(text, self.width_of(cell) * 100 / wide / usize::from(cell.look.points())) == 1
    }

    /// How many characters wide a cell is.
    pub(super) fn width_of(&self, cell: &Cell<'_>) -> usize {
        let columns = self.widths.iter().skip(usize::from(cell.column)).take(usize::from(cell.span));
        columns.map(|width| usize::from(*width)).sum()
    }
}
