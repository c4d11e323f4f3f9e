//! Stock and open receipts.

use super::codes::Codes;
use super::kinds::{
    FRACTION_OF_A_PIECE, LONG_OVERDUE, MISREAD_CODE, MISTYPED_CODE, NEGATIVE_STOCK, RECEIPT_NOT_USED, RECEIPT_TWICE,
    RECEIPTS_OF_UNKNOWN_PARTS, RESERVED_FOR_NOBODY, ROW_TWICE, STOCK_OF_UNKNOWN_PARTS, TOO_LARGE, UNKNOWN_DESTINATION,
};
use super::plant::{Receipt, Stock};
use super::{Draft, each, slips};
use crate::base::{Date, DestId, Finding, Findings, Kind, Moment, PartId, Place, Quantity, Ratio, UnitId, fold};
use crate::book::{Book, BookColumn, Cells, Table};
use foldhash::fast::FixedState;
use std::collections::HashMap;

impl Draft {
    pub(super) fn read_supplies(&mut self, book: &Book, findings: &mut Findings) {
        self.read_stock(book, findings);
        self.read_receipts(book, findings);
    }

    fn read_stock(&mut self, book: &Book, findings: &mut Findings) {
        let mut unknown = Unknown::default();
        let mut rows = HashMap::<_, _, FixedState>::default();
        let columns = ["part", "qty", "uom", "location", "station", "unit", "hold"];
        each(book, Table::Stock, columns, findings, |cells, [part, qty, uom, location, station, unit, hold]| {
            let Some(code) = cells.code(part) else { return };
            let Some(id) = self.parts.find(code) else { return unknown.take(cells, part, &self.parts) };
            let amount = cells.signed_needed(qty);
            let lineside = self.dests.refer(cells, station, &UNKNOWN_DESTINATION, "station or shop").map(DestId);
            let owner = cells.text(unit);
            let reserved = self.units.find(owner).map(UnitId);
            if !owner.is_empty() && reserved.is_none() && !self.units.table_missing {
                let near = self.units.near(owner);
                return cells.report_near(
                    &RESERVED_FOR_NOBODY,
                    unit,
                    "this unit is not in the sequence: the stock counts for nothing",
                    near,
                );
            }
            let conversion = self.conversion(cells, uom, id);
            let (Some(amount), Some(conversion)) = (amount, conversion) else { return };
            if amount.is_negative() {
                return cells.report(&NEGATIVE_STOCK, qty, "a negative stock counts as 0");
            }
            self.report_fraction(cells, qty, id, amount, conversion);
            let Some(amount) = converted(cells, qty, amount, conversion) else { return };
            let held = cells.hold(hold);
            let lies = (fold(cells.text(location)), fold(cells.text(station)), reserved, held.map(fold));
            if let Some(first) = rows.insert((id, amount, lies), cells.number()).filter(|_| amount.is_positive()) {
                cells.report(&ROW_TWICE, part, format!("row {first} says the same; both count"));
            }
            self.plant.stock.push(Stock {
                part: PartId(id),
                qty: amount,
                location: cells.text(location).to_owned(),
                lineside,
                reserved,
                hold: held.map(str::to_owned),
                row: cells.number(),
            });
        });
        if !self.parts.table_missing {
            let what = ("no such part", "rows of stock of unknown parts");
            unknown.report(&STOCK_OF_UNKNOWN_PARTS, what, &[&self.parts], findings);
        }
    }

    fn read_receipts(&mut self, book: &Book, findings: &mut Findings) {
        let mut unknown = Unknown::default();
        let mut orders = Codes::default();
        let overdue = self.overdue_day();
        let year_ago = self.plant.as_of.date().year_before();
        let mut rows: HashMap<(u32, u32, Quantity, Moment, bool), u32, FixedState> = HashMap::default();
        let columns = ["purchase order", "part", "qty", "uom", "due", "supplier", "confirmed"];
        each(book, Table::Receipts, columns, findings, |cells, [order, part, qty, uom, due_column, supplier, said]| {
            // Codes print as first written, on whichever row that is.
            let written = Some(cells.text(order)).filter(|order| !order.is_empty()).map(|order| orders.add(order));
            let Some(code) = cells.code(part) else { return };
            let Some(id) = self.parts.find(code) else { return unknown.take(cells, part, &self.parts) };
            let known_order = cells.code(order).and(written);
            let blank = cells.text(qty).is_empty();
            let amount = if blank { cells.number_needed(qty) } else { cells.number_of(qty) };
            let when = cells.moment_needed(due_column);
            let confirmed = cells.yes_no(said);
            let conversion = self.conversion(cells, uom, id);
            let known = &self.plant.parts[id as usize];
            if !known.bought() {
                return cells.report(
                    &RECEIPT_NOT_USED,
                    part,
                    format!("{} is not bought: the receipt counts for nothing", known.code),
                );
            }
            let (Some(order), Some(amount), Some((due, timed)), Some(conversion)) =
                (known_order, amount, when, conversion)
            else {
                return;
            };
            self.report_fraction(cells, qty, id, amount, conversion);
            let Some(open) = converted(cells, qty, amount, conversion) else { return };
            let row = cells.number();
            if open.is_positive() {
                if due.date() < year_ago {
                    let as_of = self.plant.as_of;
                    cells.report(
                        &LONG_OVERDUE,
                        due_column,
                        format!("more than a year before the as-of moment, {as_of}"),
                    );
                }
                if let Some(first) = rows.insert((order, id, open, due, timed), row) {
                    let message = format!("row {first} has the same order, part, quantity and due date; both count");
                    cells.report(&RECEIPT_TWICE, part, message);
                }
            }
            let supplier = cells.text(supplier);
            let supplier = if supplier.is_empty() { known.supplier.clone() } else { supplier.to_owned() };
            let (day, available, overdue) = self.arrival(due, timed, overdue);
            self.plant.receipts.push(Receipt {
                order: orders.shown[order as usize].clone(),
                part: PartId(id),
                qty: open,
                due,
                timed,
                day,
                available,
                overdue,
                confirmed,
                supplier,
                row,
            });
        });
        if !self.parts.table_missing {
            let what = ("no such part", "receipts of unknown parts");
            unknown.report(&RECEIPTS_OF_UNKNOWN_PARTS, what, &[&self.parts], findings);
        }
    }

    /// Reports a fraction of a part that is counted in whole pieces. What is brought in bulk may be measured in another unit, and
    /// what it comes to is then no count.
    fn report_fraction(&self, cells: &mut Cells<'_>, qty: BookColumn, part: u32, amount: Ratio, conversion: Ratio) {
        let part = &self.plant.parts[part as usize];
        let counted = part.counted() || part.decimals == 0 && conversion == Ratio::ONE;
        let pieces = amount.times(conversion);
        if counted && pieces.is_some_and(|pieces| pieces.denominator() != 1) {
            cells.report(&FRACTION_OF_A_PIECE, qty, format!("{} is counted in whole pieces", part.code));
        }
    }

    /// The day on which overdue receipts are taken to come; the same for all of them.
    fn overdue_day(&self) -> Option<Date> {
        let stores = self.plant.calendars.get(self.plant.stores.at())?;
        stores.nth_open_day_after(self.plant.as_of.date(), self.plant.overdue_receipts)
    }

    /// On which day a receipt is taken to come, when it is there, and whether it is overdue. What is there at 24:00 comes on
    /// the day that ends then, and not on the next.
    fn arrival(&self, due: Moment, timed: bool, overdue: Option<Date>) -> (Date, Moment, bool) {
        let plant = &self.plant;
        let today = plant.as_of.date();
        if due.date() < today || timed && due < plant.as_of {
            let Some(day) = overdue else { return (today, Moment::NEVER, true) };
            return (day, Moment::at(day, plant.receipts_at).max(plant.as_of), true);
        }
        let available = if timed { due } else { Moment::at(due.date(), plant.receipts_at).max(plant.as_of) };
        (due.date(), available, false)
    }
}

/// An amount in the part's own unit of measure, cut at the sixth place.
pub(super) fn converted(
    cells: &mut Cells<'_>,
    column: BookColumn,
    amount: Ratio,
    conversion: Ratio,
) -> Option<Quantity> {
    let qty = amount.times(conversion).and_then(Quantity::cut);
    if qty.is_none() {
        cells.report(&TOO_LARGE, column, "this quantity is too large");
    }
    qty
}

/// Rows of parts that the book does not know: a warning for each whose code is nearly a known one; of all others one note,
/// with a count.
#[derive(Default)]
pub(super) struct Unknown {
    /// Where the first stands.
    place: Option<Place>,
    /// The codes as first written.
    codes: Codes,
    /// Each row, and its code.
    rows: Vec<(u32, u32)>,
}

impl Unknown {
    pub(super) fn take(&mut self, cells: &mut Cells<'_>, column: BookColumn, codes: &Codes) {
        // What the plan would miss because of a spreadsheet is worth more than a count.
        if let Some((code, why)) = codes.misread(cells.text(column)) {
            return cells.report_near(
                &MISREAD_CODE,
                column,
                format!("no such code; {why}; the row is left out"),
                Some(code),
            );
        }
        self.place.get_or_insert_with(|| cells.place(column));
        self.rows.push((cells.number(), self.codes.add(cells.text(column))));
    }

    /// Reports them; `known` is what their codes may have been meant to be.
    pub(super) fn report(self, kind: &'static Kind, what: (&str, &str), known: &[&Codes], findings: &mut Findings) {
        let Some(first) = self.place else { return };
        let known: Vec<&str> = known.iter().flat_map(|codes| &codes.shown).map(String::as_str).collect();
        let found: Vec<&str> = self.codes.shown.iter().map(String::as_str).collect();
        let meant = slips::meant(&known, &found);
        let (none, rows) = what;
        let finding = |kind, row, code: u32, message| {
            Finding::new(kind, Place { row, ..first.clone() }, found[code as usize], message)
        };
        let mut others = Vec::new();
        for (row, code) in self.rows {
            match meant[code as usize] {
                Some(at) => {
                    let message = format!("{none}; the row is left out");
                    findings.add(finding(&MISTYPED_CODE, row, code, message).near(Some(known[at])));
                }
                None => others.push((row, code)),
            }
        }
        if let Some((row, code)) = others.first() {
            findings.add(finding(kind, *row, *code, format!("{none}; {rows} left out: {}", others.len())));
        }
    }
}
