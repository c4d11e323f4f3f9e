//! Stock and open receipts.

use super::codes::Codes;
use super::kinds::{
    MISREAD_CODE, NEGATIVE_STOCK, RECEIPT_NOT_USED, RECEIPTS_OF_UNKNOWN_PARTS, RESERVED_FOR_NOBODY,
    STOCK_OF_UNKNOWN_PARTS, TOO_LARGE, UNKNOWN_DESTINATION,
};
use super::plant::{Receipt, Stock};
use super::{Draft, each};
use crate::base::{Date, DestId, Finding, Findings, Kind, Moment, PartId, Place, Quantity, Ratio, UnitId};
use crate::book::{Book, Cells, Column, Table};

impl Draft {
    pub(super) fn read_supplies(&mut self, book: &Book, findings: &mut Findings) {
        self.read_stock(book, findings);
        self.read_receipts(book, findings);
    }

    fn read_stock(&mut self, book: &Book, findings: &mut Findings) {
        let mut unknown = Unknown::default();
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
            let Some(amount) = converted(cells, qty, amount, conversion) else { return };
            self.plant.stock.push(Stock {
                part: PartId(id),
                qty: amount,
                location: cells.text(location).to_owned(),
                lineside,
                reserved,
                hold: cells.hold(hold).map(str::to_owned),
                row: cells.number(),
            });
        });
        if !self.parts.table_missing {
            unknown.report(&STOCK_OF_UNKNOWN_PARTS, "no such part; rows of stock of unknown parts", findings);
        }
    }

    fn read_receipts(&mut self, book: &Book, findings: &mut Findings) {
        let mut unknown = Unknown::default();
        let mut orders = Codes::default();
        let overdue = self.overdue_day();
        let columns = ["purchase order", "part", "qty", "uom", "due", "supplier"];
        each(book, Table::Receipts, columns, findings, |cells, [order, part, qty, uom, due, supplier]| {
            // Codes print as first written, on whichever row that is.
            let written = Some(cells.text(order)).filter(|order| !order.is_empty()).map(|order| orders.add(order));
            let Some(code) = cells.code(part) else { return };
            let Some(id) = self.parts.find(code) else { return unknown.take(cells, part, &self.parts) };
            let known_order = cells.code(order).and(written);
            let blank = cells.text(qty).is_empty();
            let amount = if blank { cells.number_needed(qty) } else { cells.number_of(qty) };
            let when = cells.moment_needed(due);
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
            let Some(qty) = converted(cells, qty, amount, conversion) else { return };
            let supplier = cells.text(supplier);
            let supplier = if supplier.is_empty() { known.supplier.clone() } else { supplier.to_owned() };
            let (day, available, overdue) = self.arrival(due, timed, overdue);
            let row = cells.number();
            self.plant.receipts.push(Receipt {
                order: orders.shown[order as usize].clone(),
                part: PartId(id),
                qty,
                due,
                timed,
                day,
                available,
                overdue,
                supplier,
                row,
            });
        });
        if !self.parts.table_missing {
            unknown.report(&RECEIPTS_OF_UNKNOWN_PARTS, "no such part; receipts of unknown parts", findings);
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
pub(super) fn converted(cells: &mut Cells<'_>, column: Column, amount: Ratio, conversion: Ratio) -> Option<Quantity> {
    let qty = amount.times(conversion).and_then(Quantity::cut);
    if qty.is_none() {
        cells.report(&TOO_LARGE, column, "this quantity is too large");
    }
    qty
}

/// Rows of parts that the book does not know: one note, with a count.
#[derive(Default)]
pub(super) struct Unknown {
    first: Option<(Place, String)>,
    count: usize,
}

impl Unknown {
    pub(super) fn take(&mut self, cells: &mut Cells<'_>, column: Column, codes: &Codes) {
        // What the plan would miss because of a spreadsheet is worth more than a count.
        if let Some((code, why)) = codes.misread(cells.text(column)) {
            return cells.report_near(
                &MISREAD_CODE,
                column,
                format!("no such code; {why}; the row is left out"),
                Some(code),
            );
        }
        self.first.get_or_insert_with(|| (cells.place(column), cells.text(column).to_owned()));
        self.count += 1;
    }

    pub(super) fn report(self, kind: &'static Kind, what: &str, findings: &mut Findings) {
        if let Some((place, code)) = self.first {
            let message = format!("{what} left out: {}", self.count);
            findings.add(Finding::new(kind, place, code, message));
        }
    }
}
