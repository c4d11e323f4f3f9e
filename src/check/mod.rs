//! Raw tables become a plant, or findings: every value is read, every reference resolved, every structure proved sound.

pub mod amounts;
mod bills;
mod calendars;
mod codes;
mod content;
mod extras;
pub mod follow;
mod forecast;
mod holds;
pub mod kinds;
pub mod limits;
mod misread;
mod options;
mod own_by_products;
mod parts;
mod places;
mod plant;
mod scale;
mod sequence;
mod settings;
mod shop_order;
mod slips;
mod structure;
mod supplies;
pub mod too_many;
mod twice;
mod units_of_measure;
mod unknown_uoms;
pub mod written;

pub use plant::{
    BillLine, Change, Choice, Choose, Closing, Content, CrewLess, Dest, DestKind, Extra, ExtraFor, Floorplan, Forecast,
    Group, Issue, Line, Noticed, Offer, Part, Plant, Receipt, Rule, Serves, Shop, Source, Started, Stock, Unit, Wave,
    Weighed, not_promised,
};

pub use holds::{Held, held};
pub use kinds::all as all_kinds;

use crate::base::{Finding, Findings, Moment, numbered};
use crate::book::{Book, BookColumn, Cells, NO_ROWS, Table, TableSpec};
use crate::expression::Expression;
use codes::{Codes, Defined, Names};
use std::collections::HashMap;
use std::sync::Arc;
use units_of_measure::Uoms;

/// A plant in the making, and the lists of codes its tables refer to.
#[derive(Default)]
struct Draft {
    plant: Plant,
    calendars: Codes,
    /// Where each calendar stands first.
    calendar_places: Vec<crate::base::Place>,
    lines: Codes,
    dests: Codes,
    shops: Codes,
    parts: Codes,
    floorplans: Codes,
    names: Names,
    groups: Codes,
    changes: Codes,
    kinds: Codes,
    units: Codes,
    conditions: HashMap<String, u32>,
    parts_and_floorplans: Defined,
    uoms: Uoms,
}

/// Checks a book. The plant is complete and sound where the findings hold no error; `as_of` counts before the book's own
/// moment, and `now` after it.
pub fn plant(book: &Book, as_of: Option<Moment>, now: Moment) -> (Plant, Findings) {
    let mut findings = book.findings.clone();
    report_missing_tables(book, &mut findings);
    report_empty_tables(book, &mut findings);
    let mut draft = Draft::new(book);
    draft.read_calendars(book, &mut findings);
    draft.read_settings(book, as_of, now, &mut findings);
    draft.read_options(book, &mut findings);
    draft.read_places(book, &mut findings);
    draft.report_unused_calendars(book, &mut findings);
    draft.read_uoms(book, &mut findings);
    draft.read_parts(book, &mut findings);
    draft.read_conversions(book, &mut findings);
    unknown_uoms::report(book, &draft.uoms, &mut findings);
    unknown_uoms::report_unused(book, &draft.uoms, &mut findings);
    draft.read_choices(book, &mut findings);
    draft.read_sequence(book, &mut findings);
    draft.read_content(book, &mut findings);
    draft.read_forecast(book, &mut findings);
    draft.read_bills(book, &mut findings);
    draft.plant.names = draft.names.len();
    draft.plant.name_codes = draft.names.shown().to_vec();
    draft.check_structure(&mut findings);
    draft.read_supplies(book, &mut findings);
    draft.read_extras(book, &mut findings);
    draft.read_scale(book, &mut findings);
    amounts::report(&draft.plant, &mut findings);
    too_many::report(&draft.plant, &mut findings);
    draft.plant.warnings = Noticed::of(&findings);
    (draft.plant, findings)
}

fn report_missing_tables(book: &Book, findings: &mut Findings) {
    let missing = |table| book.table(table).is_none() && !book.has_failed(table);
    for spec in Table::all().filter(|spec| spec.needed && missing(spec.table)) {
        let place = crate::base::Place { table: spec.name, file: Arc::clone(&book.name), ..Default::default() };
        findings.add(Finding::new(&kinds::MISSING_TABLE, place, "", format!("the book has no table {}", spec.name)));
    }
}

/// Tables without a row. A file of its own, of a table that a plant may do without, was most likely exported for its rows; a
/// sheet is often left blank.
fn report_empty_tables(book: &Book, findings: &mut Findings) {
    let of = |spec: &'static TableSpec| book.table(spec.table).filter(|raw| !raw.reading.unreadable);
    let any = Table::all().filter_map(of).any(|raw| !raw.rows.is_empty());
    for raw in Table::all().filter_map(of).filter(|raw| raw.rows.is_empty()) {
        let spec = raw.shape.spec;
        let kind = match spec.table {
            Table::Stock | Table::Receipts => &NO_ROWS,
            _ if spec.needed => &NO_ROWS,
            _ if any && raw.shape.sheet.is_none() => &kinds::EMPTY_TABLE,
            _ => continue,
        };
        let place = raw.shape.place(raw.shape.heading_row, "");
        let message = format!("the table {} has headings, but no rows", spec.name);
        findings.add(Finding::new(kind, place, "", message));
    }
}

impl Draft {
    fn new(book: &Book) -> Self {
        let failed = |table| Codes::new(book.has_failed(table));
        let missing = |table| Codes::new(book.table(table).is_none() || book.has_failed(table));
        let mut draft = Self {
            calendars: missing(Table::Calendar),
            lines: missing(Table::Lines),
            dests: if book.has_failed(Table::Shops) { failed(Table::Shops) } else { missing(Table::Stations) },
            shops: failed(Table::Shops),
            groups: failed(Table::Groups),
            changes: failed(Table::Changes),
            parts: missing(Table::Parts),
            kinds: missing(Table::Parts),
            floorplans: missing(Table::Floorplans),
            units: missing(Table::Sequence),
            ..Self::default()
        };
        draft.plant.book = Arc::clone(&book.name);
        draft.plant.shapes = Table::all().filter_map(|s| book.table(s.table)).map(|raw| raw.shape.clone()).collect();
        draft.plant.conditions.push(Expression::default());
        draft
    }

    /// The index of the condition in a cell; 0, which always holds, where it is blank or can't be read.
    fn condition(&mut self, cells: &mut Cells<'_>, column: BookColumn) -> u32 {
        let text = cells.text(column);
        if text.is_empty() {
            return 0;
        }
        if let Some(known) = self.conditions.get(text) {
            return *known;
        }
        let mistakes = match Expression::parse(text, |name| self.names.find(name)) {
            Ok(expression) => {
                let id = numbered(self.plant.conditions.len());
                self.plant.conditions.push(expression);
                self.conditions.insert(text.to_owned(), id);
                return id;
            }
            Err(mistakes) => mistakes,
        };
        for mistake in mistakes {
            let (start, _) = mistake.span;
            let at = text[..start].chars().count() + 1;
            if let Some(name) = mistake.quote {
                let message = format!("quote the name \"{name}\", since it holds a space: at letter {at}");
                cells.report(&kinds::BAD_EXPRESSION, column, message);
            } else if mistake.unknown_name {
                let message = format!("'{}' is no option, floorplan, series or line", mistake.message);
                cells.report_near(&kinds::UNKNOWN_NAME, column, message, self.names.near(&mistake.message));
            } else {
                cells.report(&kinds::BAD_EXPRESSION, column, format!("{} at letter {at}", mistake.message));
            }
        }
        0
    }
}

/// Walks the rows of a table that may be missing.
fn each<const N: usize>(
    book: &Book,
    table: Table,
    names: [&'static str; N],
    findings: &mut Findings,
    mut visit: impl FnMut(&mut Cells<'_>, [BookColumn; N]),
) {
    if let Some(raw) = book.table(table) {
        let columns = raw.columns(names);
        raw.each(findings, |cells| visit(cells, columns));
    }
}

/// A name, or the code where there is none.
fn or_code(name: &str, code: &str) -> String {
    if name.is_empty() { code } else { name }.to_owned()
}
