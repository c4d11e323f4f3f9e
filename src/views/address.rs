//! Addresses: what a view shows, as a path and a query that can be sent to somebody who looks at the same book.

use super::cells::Choice;
use super::orders::Chosen;
use crate::base::{Date, Moment};
use form_urlencoded::Serializer;
use std::fmt;

/// What a view shows. Codes are the book's own; where it has no such code, the view says so.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Address {
    /// A line as it stands after a move; without one, after the last that was made.
    Line {
        /// The line; the book's first by default.
        line: Option<String>,
        /// The move, by its number; 0 is the last that was made.
        number: Option<i64>,
    },
    /// A unit.
    Unit {
        /// Its code.
        unit: String,
    },
    /// Why a unit needs a part.
    Why {
        /// The code of who needs it.
        unit: String,
        /// The code of what is needed.
        part: String,
    },
    /// A part.
    Part {
        /// Its code.
        part: String,
    },
    /// A delivery run.
    Run {
        /// When it leaves.
        leaves: Moment,
    },
    /// All delivery runs.
    Runs {
        /// From this day on.
        from: Option<Date>,
    },
    /// A shop on a day.
    Shop {
        /// Its code.
        shop: String,
        /// The day; by default the first on which it works.
        day: Option<Date>,
    },
    /// A supplier.
    Supplier {
        /// Its name.
        supplier: String,
    },
    /// All sheets of the workbooks.
    Lists,
    /// A sheet.
    List {
        /// The workbook's file.
        file: String,
        /// The sheet's name.
        sheet: String,
        /// From this row on, counted from 0.
        from: Option<usize>,
    },
    /// What the book has that is called so.
    Find {
        /// The words looked for.
        words: String,
    },
    /// An order that nobody has placed.
    Order {
        /// What was chosen.
        chosen: Chosen,
    },
    /// A cell of the book, chosen for a trial.
    Cell {
        /// How far somebody has come.
        choice: Choice,
    },
    /// What would be if some cells were otherwise.
    Try {
        /// The edits of each trial, one a line.
        edits: Vec<String>,
    },
}

impl Address {
    /// The line as it stands now.
    pub const FIRST: Self = Self::Line { line: None, number: None };

    /// From a path and a query; `None` where nothing stands there.
    pub fn parse(path: &str, query: &str) -> Option<Self> {
        let pairs: Vec<_> = form_urlencoded::parse(query.as_bytes()).collect();
        let all =
            |name: &str| pairs.iter().filter(move |(key, _)| key == name).map(|(_, value)| value.to_string()).collect();
        let values = |name: &str| -> Vec<String> { all(name) };
        let one = |name: &str| values(name).into_iter().next();
        let moment = |text: String| Moment::parse(&text).map(|(moment, _)| moment);
        Some(match path {
            "/" => Self::Line { line: one("line"), number: optional(one("move"), |text| text.parse().ok())? },
            "/unit" => Self::Unit { unit: one("unit")? },
            "/why" => Self::Why { unit: one("unit")?, part: one("part")? },
            "/part" => Self::Part { part: one("part")? },
            "/run" => match optional(one("leaves"), moment)? {
                Some(leaves) => Self::Run { leaves },
                None => Self::Runs { from: optional(one("from"), |text| Date::parse(&text))? },
            },
            "/shop" => Self::Shop { shop: one("shop")?, day: optional(one("day"), |text| Date::parse(&text))? },
            "/supplier" => Self::Supplier { supplier: one("supplier")? },
            "/sheets" => Self::Lists,
            "/sheet" => Self::List {
                file: one("file")?,
                sheet: one("sheet")?,
                from: optional(one("from"), |text| text.parse().ok())?,
            },
            "/find" => Self::Find { words: one("words").unwrap_or_default() },
            "/order" => Self::Order {
                chosen: Chosen {
                    floorplan: one("floorplan").unwrap_or_default(),
                    with: values("with"),
                    without: values("without"),
                },
            },
            "/cell" => Self::Cell {
                choice: Choice {
                    edits: values("edits").iter().map(|edits| edits.replace("\r\n", "\n")).collect(),
                    into: optional(one("into"), |text| text.parse().ok())?.unwrap_or_default(),
                    table: one("table"),
                    words: one("words").unwrap_or_default(),
                    row: optional(one("row"), |text| text.parse().ok())?,
                    column: one("column"),
                    value: one("value"),
                    drop: one("drop").is_some(),
                    new: one("new").is_some(),
                    cells: values("cell"),
                },
            },
            "/try" => Self::Try { edits: values("edits") },
            _ => return None,
        })
    }
}

/// A value that may be missing, but not be spoiled.
fn optional<T>(text: Option<String>, read: impl Fn(String) -> Option<T>) -> Option<Option<T>> {
    match text.filter(|text| !text.is_empty()) {
        Some(text) => read(text).map(Some),
        None => Some(None),
    }
}

impl fmt::Display for Address {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut query = Serializer::new(String::new());
        let mut add = |name: &str, value: &str| _ = query.append_pair(name, value);
        let path = match self {
            Self::Line { line, number } => {
                line.iter().for_each(|line| add("line", line));
                number.iter().for_each(|number| add("move", &number.to_string()));
                "/"
            }
            Self::Unit { unit } => {
                add("unit", unit);
                "/unit"
            }
            Self::Why { unit, part } => {
                add("unit", unit);
                add("part", part);
                "/why"
            }
            Self::Part { part } => {
                add("part", part);
                "/part"
            }
            Self::Run { leaves } => {
                add("leaves", &leaves.to_string());
                "/run"
            }
            Self::Runs { from } => {
                from.iter().for_each(|from| add("from", &from.to_string()));
                "/run"
            }
            Self::Shop { shop, day } => {
                add("shop", shop);
                day.iter().for_each(|day| add("day", &day.to_string()));
                "/shop"
            }
            Self::Supplier { supplier } => {
                add("supplier", supplier);
                "/supplier"
            }
            Self::Lists => "/sheets",
            Self::List { file, sheet, from } => {
                add("file", file);
                add("sheet", sheet);
                from.iter().for_each(|from| add("from", &from.to_string()));
                "/sheet"
            }
            Self::Find { words } => {
                add("words", words);
                "/find"
            }
            Self::Order { chosen } => {
                if !chosen.floorplan.is_empty() {
                    add("floorplan", &chosen.floorplan);
                }
                chosen.with.iter().for_each(|option| add("with", option));
                chosen.without.iter().for_each(|option| add("without", option));
                "/order"
            }
            Self::Cell { choice } => {
                choice.edits.iter().for_each(|edits| add("edits", edits));
                add("into", &choice.into.to_string());
                choice.table.iter().for_each(|table| add("table", table));
                if !choice.words.is_empty() {
                    add("words", &choice.words);
                }
                choice.row.iter().for_each(|row| add("row", &row.to_string()));
                choice.column.iter().for_each(|column| add("column", column));
                choice.value.iter().for_each(|value| add("value", value));
                for (name, _) in [("drop", choice.drop), ("new", choice.new)].into_iter().filter(|(_, so)| *so) {
                    add(name, "1");
                }
                choice.cells.iter().for_each(|cell| add("cell", cell));
                "/cell"
            }
            Self::Try { edits } => {
                edits.iter().for_each(|edits| add("edits", edits));
                "/try"
            }
        };
        f.write_str(path)?;
        let query = query.finish();
        if query.is_empty() { Ok(()) } else { write!(f, "?{query}") }
    }
}

impl maud::Render for Address {
    fn render_to(&self, buffer: &mut String) {
        maud::Render::render_to(&self.to_string(), buffer);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn parsed(address: &str) -> Option<Address> {
        let (path, query) = address.split_once('?').unwrap_or((address, ""));
        Address::parse(path, query)
    }

    #[test]
    fn an_address_comes_back_as_it_was() {
        let code = || "A&B=c/d é#?+ \"<".to_owned();
        let moment = Moment::parse("2027-09-14 06:00").map(|(moment, _)| moment);
        let all = [
            Address::FIRST,
            Address::Line { line: Some(code()), number: Some(-3) },
            Address::Unit { unit: code() },
            Address::Why { unit: code(), part: code() },
            Address::Part { part: code() },
            Address::Runs { from: None },
            Address::Runs { from: moment.map(Moment::date) },
            Address::Run { leaves: moment.expect("a moment") },
            Address::Shop { shop: code(), day: moment.map(Moment::date) },
            Address::Supplier { supplier: code() },
            Address::Lists,
            Address::List { file: code(), sheet: code(), from: None },
            Address::List { file: code(), sheet: code(), from: Some(3_000) },
            Address::Find { words: code() },
            Address::Order { chosen: Chosen::default() },
            Address::Order { chosen: Chosen { floorplan: code(), with: vec![code(), code()], without: vec![code()] } },
            Address::Cell { choice: Choice::default() },
            Address::Cell {
                choice: Choice {
                    edits: vec![code(), "two\nlines".to_owned()],
                    into: 1,
                    table: Some(code()),
                    words: code(),
                    row: Some(7),
                    column: Some(code()),
                    value: Some(String::new()),
                    drop: true,
                    new: true,
                    cells: vec![code(), String::new()],
                },
            },
            Address::Try { edits: vec![code(), "two\nlines".to_owned()] },
        ];
        for address in all {
            assert_eq!(parsed(&address.to_string()), Some(address));
        }
    }

    #[test]
    fn what_is_spoiled_stands_nowhere() {
        for address in [
            "/unit",
            "/unit?part=1",
            "/nothing",
            "/?move=x",
            "/run?leaves=soon",
            "/shop?shop=A&day=31",
            "/cell?row=x",
            "//",
            "",
        ] {
            assert_eq!(parsed(address), None, "{address}");
        }
    }
}
