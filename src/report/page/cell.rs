//! Cells and rows of a sheet, and how they look.

use crate::report::table::Value;

/// How a cell's value is shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Show {
    /// Text as it is, on one line.
    Text,
    /// Text that may run over several lines.
    Wrapped,
    /// A quantity with as many decimals as it has.
    Quantity,
    /// A whole number.
    Whole,
    /// An amount of money, two decimals.
    Money,
    /// Kilograms, one decimal.
    Weight,
    /// Kilograms more or less, one decimal.
    MoreOrLess,
    /// Minutes, one decimal.
    Minutes,
    /// `Tue 14 Sep 06:00`.
    Moment,
    /// `06:00`.
    Clock,
    /// `Tue 14 Sep`.
    Date,
    /// An empty box to tick or to write in.
    Box,
}

impl Show {
    /// How it shows a value: a date among times without a time.
    pub(super) fn of(self, value: &Value<'_>) -> Self {
        if self == Self::Moment && matches!(value, Value::Date(_)) { Self::Date } else { self }
    }
}

/// What a cell is on the page; shading only helps, words carry the state.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Look {
    /// A line of a table or of text.
    #[default]
    Plain,
    /// The same, bold.
    Strong,
    /// Something that needs attention: light shading, bold.
    Wrong,
    /// Something of lesser importance.
    Faint,
    /// A table's heading.
    Heading,
    /// A sheet's title.
    Title,
    /// A section's title.
    Section,
    /// Large, to be read from two metres.
    Large,
}

/// All that makes a cell look as it does.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Style {
    /// How its value is shown.
    pub show: Show,
    /// What it is on the page.
    pub look: Look,
    /// Its thin lines.
    pub lines: Frame,
}

/// The thin lines of a cell.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Frame {
    /// None at all.
    None,
    /// Around it.
    Around,
    /// Around the first of some cells that hold one text.
    First,
    /// Above and below, between the first of such cells and the last.
    Between,
    /// Around the last of them.
    Last,
}

/// How a cell stands over others.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Spans {
    /// The others are free, or there are none.
    None,
    /// The others are empty, and have the lines around all of them.
    Lined,
    /// It takes their place.
    Merged,
}

impl Look {
    /// The size of its letters.
    pub fn points(self) -> u8 {
        match self {
            Self::Plain | Self::Strong | Self::Wrong | Self::Faint | Self::Heading => 10,
            Self::Section => 12,
            Self::Title => 18,
            Self::Large => 24,
        }
    }
}

/// A cell.
#[derive(Clone, Debug)]
pub struct Cell<'p> {
    /// Its column, from 0.
    pub column: u16,
    /// How many columns it spans; text may do so to be read in full.
    pub span: u16,
    /// What it holds.
    pub value: Value<'p>,
    /// How the value is shown.
    pub show: Show,
    /// What it is on the page.
    pub look: Look,
    /// Whether it has a thin line around it.
    pub ruled: bool,
}

impl<'p> Cell<'p> {
    /// A cell of one column without a line around it.
    pub fn new(column: u16, value: impl Into<Value<'p>>, show: Show, look: Look) -> Self {
        Self { column, span: 1, value: value.into(), show, look, ruled: false }
    }

    /// Over several columns.
    #[must_use]
    pub fn over(mut self, span: u16) -> Self {
        self.span = span;
        self
    }

    /// How it looks.
    pub fn style(&self) -> Style {
        self.lined(if self.ruled { Frame::Around } else { Frame::None })
    }

    fn lined(&self, lines: Frame) -> Style {
        Style { show: self.show, look: self.look, lines }
    }

    /// The cells of the file that it needs, by column, and how each looks.
    pub fn places(&self, spans: Spans) -> impl Iterator<Item = (u16, Style)> {
        let count = if spans == Spans::Lined { self.span } else { 1 };
        (0..count).map(move |at| {
            let style = match at {
                _ if count == 1 => self.style(),
                0 => self.lined(Frame::First),
                at if at + 1 == count => self.lined(Frame::Last),
                _ => self.lined(Frame::Between),
            };
            (self.column + at, style)
        })
    }

    /// With a thin line around it.
    #[must_use]
    pub fn ruled(mut self) -> Self {
        self.ruled = true;
        self
    }
}

/// A row of cells.
#[derive(Clone, Debug, Default)]
pub struct Row<'p> {
    /// The cells, by column.
    pub cells: Vec<Cell<'p>>,
    /// Its height in points, where it is not the usual one.
    pub height: Option<u16>,
}
