//! Engineering changes: which part goes, which comes, and from which unit or day.

use crate::days::{day_of, working_days};
use crate::model::{Book, Unit};
use crate::tune::{SINCE_LAST_MOVE, TAKT};

/// Change, from date, from which of the units ahead (counted from 1), description, part that goes, part that comes.
pub struct Change {
    pub code: &'static str,
    pub date: &'static str,
    pub ahead: usize,
    pub description: &'static str,
    goes: &'static str,
    comes: &'static str,
}

pub const CHANGES: [Change; 4] = [
    Change {
        code: "C-2041",
        date: "",
        ahead: 22,
        description: "Galley sink with a rolled edge",
        goes: "SNK-01",
        comes: "SNK-02",
    },
    Change {
        code: "C-2043",
        date: "2027-09-20",
        ahead: 0,
        description: "Gas regulator with the new thread",
        goes: "GRG-01",
        comes: "GRG-02",
    },
    Change {
        code: "C-2047",
        date: "2027-09-28",
        ahead: 96,
        description: "Window latch of pattern B",
        goes: "WLT-01",
        comes: "WLT-02",
    },
    Change {
        code: "C-2050",
        date: "2027-09-15",
        ahead: 0,
        description: "No tap bag any more",
        goes: "CLC-06",
        comes: "",
    },
];

impl Change {
    /// The unit the change begins with, if it names one.
    pub fn unit(&self, book: &Book) -> Option<usize> {
        let first = book.units.iter().position(|unit| unit.entry == 1 && !unit.done)?;
        (self.ahead > 0).then_some(first + self.ahead - 1)
    }

    fn reached(&self, book: &Book, unit: &Unit) -> bool {
        let by_unit = self.unit(book).is_some_and(|n| unit.seq >= book.units[n].seq);
        by_unit || (!self.date.is_empty() && entry_date(unit).as_str() >= self.date)
    }
}

/// The date on which a unit enters the line, or today's for one that is on it.
fn entry_date(unit: &Unit) -> String {
    let minute = TAKT * unit.entry as f64 - SINCE_LAST_MOVE;
    working_days()[day_of(minute)].to_string()
}

/// Writes the changes into the bill lines of the parts that go and come.
pub fn build(book: &mut Book) {
    for change in &CHANGES {
        for line in &mut book.bills {
            if line.part == change.goes {
                line.until = change.code.to_string();
            } else if line.part == change.comes {
                line.from = change.code.to_string();
            }
        }
    }
}

/// Whether a unit is inside a line's changes.
pub fn inside(book: &Book, unit: &Unit, from: &str, until: &str) -> bool {
    let reached = |code: &str| CHANGES.iter().any(|c| c.code == code && c.reached(book, unit));
    (from.is_empty() || reached(from)) && (until.is_empty() || !reached(until))
}
