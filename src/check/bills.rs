//! Bills: each line with its exact factor, its station, its condition and its changes.
//!
//! Rules `line-factor`, `counted-scrap`, `configured`.

use super::codes::Codes;
use super::kinds::{
    BILLS_OF_UNKNOWN_PARENTS, BOUGHT_WITH_BILL, FRACTION_OF_A_PIECE, HIGH_SCRAP, NOT_A_BY_PRODUCT, SCRAP_LEFT_OUT,
    SCRAP_TOO_LARGE, TOO_LARGE, UNKNOWN_CHANGE, UNKNOWN_PART, UNKNOWN_STATION,
};
use super::plant::{BillLine, DestKind, Issue, Source};
use super::supplies::Unknown;
use super::{Draft, each, twice};
use crate::base::{ChangeId, DestId, Finding, Findings, PartId, Quantity, Ratio, numbered};
use crate::book::{Book, BookColumn, Cells, RawTable, Table};

const COLUMNS: [&str; 9] = ["parent", "part", "qty", "uom", "station", "when", "scrap", "from change", "until change"];

/// A parent: floorplans first, then parts.
type Parent = usize;

impl Draft {
    pub(super) fn read_bills(&mut self, book: &Book, findings: &mut Findings) {
        let mut unknown = Unknown::default();
        let mut last: (String, Option<Parent>) = Default::default();
        let known_parents = !self.parts.table_missing && !self.floorplans.table_missing;
        // For each row its parent and its condition, where it has them.
        let mut known: Vec<Option<(Parent, u32)>> = Vec::new();
        each(book, Table::Bills, COLUMNS, findings, |cells, columns| {
            let row = known.len();
            known.push(None);
            let Some(code) = cells.code(columns[0]) else { return };
            // The lines of a parent mostly stand together.
            if code != last.0 {
                last = (code.to_owned(), self.parent(code));
            }
            let Some(parent) = last.1 else {
                let dropped = self.floorplans.misread(code).is_some();
                return unknown.take(cells, columns[0], if dropped { &self.floorplans } else { &self.parts });
            };
            let condition = self.condition(cells, columns[5]);
            known[row] = Some((parent, condition));
        });
        if known_parents {
            let what = ("neither a floorplan nor a part", "bill lines of such parents");
            unknown.report(&BILLS_OF_UNKNOWN_PARENTS, what, &[&self.floorplans, &self.parts], findings);
        }
        if let Some(raw) = book.table(Table::Bills) {
            let lines = self.read_bill_lines(raw, &known, findings);
            self.store_bills(&lines, findings);
            twice::report(&self.plant, raw, findings);
        }
    }

    /// The lines, read in pieces; where something is wrong once more, one after the other, so that the same codes are
    /// suggested on every machine.
    fn read_bill_lines(
        &self,
        raw: &RawTable,
        known: &[Option<(Parent, u32)>],
        findings: &mut Findings,
    ) -> Vec<(Parent, BillLine)> {
        let columns = raw.columns(COLUMNS);
        let read = |row: usize, cells: &mut Cells<'_>| {
            let (parent, condition) = known.get(row).copied().flatten()?;
            Some((parent, self.read_line(cells, columns, condition)?))
        };
        let (mut lines, found) = raw.in_pieces(read);
        if !found.any_error() {
            findings.extend(found);
            return lines;
        }
        [&self.parts, &self.dests, &self.changes].into_iter().for_each(Codes::suggest_afresh);
        lines.clear();
        let mut row = 0;
        raw.each(findings, |cells| {
            lines.extend(read(row, cells));
            row += 1;
        });
        lines
    }

    fn parent(&self, code: &str) -> Option<Parent> {
        let floorplan = self.floorplans.find(code).map(|id| id as usize);
        floorplan.or_else(|| self.parts.find(code).map(|id| self.plant.floorplans.len() + id as usize))
    }

    /// Puts the lines of each parent side by side.
    fn store_bills(&mut self, lines: &[(Parent, BillLine)], findings: &mut Findings) {
        let floorplans = self.plant.floorplans.len();
        let mut order: Vec<u32> = (0..numbered(lines.len())).collect();
        order.sort_by_key(|i| lines[*i as usize].0);
        self.plant.bills = order.iter().map(|i| lines[*i as usize].1.clone()).collect();
        let mut from = 0;
        for group in order.chunk_by(|a, b| lines[*a as usize].0 == lines[*b as usize].0) {
            let (parent, range) = (lines[group[0] as usize].0, from..from + group.len());
            from = range.end;
            if let Some(floorplan) = self.plant.floorplans.get_mut(parent) {
                floorplan.bill = range;
                continue;
            }
            let part = &mut self.plant.parts[parent - floorplans];
            if matches!(part.source, Source::Make(_) | Source::Phantom) {
                part.bill = range;
            } else {
                let (code, row) = (part.code.clone(), lines[group[0] as usize].1.row);
                let message = if part.bought() {
                    "is bought: its bill is ignored"
                } else {
                    "is a by-product: its bill is ignored"
                };
                let place = self.plant.place(Table::Bills, row, "parent");
                findings.add(Finding::new(&BOUGHT_WITH_BILL, place, &code, format!("{code} {message}")));
            }
        }
    }

    fn read_line(&self, cells: &mut Cells<'_>, columns: [BookColumn; 9], when: u32) -> Option<BillLine> {
        let [_, part, qty, uom, station, _, scrap, from, until] = columns;
        let id = self.parts.refer_needed(cells, part, &UNKNOWN_PART, "part");
        let amount = cells.signed_needed(qty);
        let placed = cells.text(station).is_empty();
        let station = self.station(cells, station);
        let yield_lost = read_scrap(cells, scrap);
        let from = self.changes.refer(cells, from, &UNKNOWN_CHANGE, "change").map(ChangeId);
        let until = self.changes.refer(cells, until, &UNKNOWN_CHANGE, "change").map(ChangeId);
        // A station that is not there has been told; the line is not also one without a station.
        let (id, amount) = (id?, amount.filter(|_| placed || station.is_some())?);
        let conversion = self.conversion(cells, uom, id)?;
        let gives = amount.is_negative();
        let known = &self.plant.parts[id as usize];
        if gives && known.source != Source::ByProduct {
            cells.report(
                &NOT_A_BY_PRODUCT,
                qty,
                format!("{} is no by-product, so its quantity can't be negative", known.code),
            );
        }
        let counted = known.counted();
        let mut lost = yield_lost?;
        if counted && !lost.is_zero() {
            cells.report(&SCRAP_LEFT_OUT, scrap, format!("{} is counted in pieces: the scrap is left out", known.code));
            lost = Ratio::ZERO;
        }
        report_high_scrap(cells, scrap, lost);
        let factor = factor(amount.abs(), conversion, lost, gives);
        if factor.is_none() {
            cells.report(&TOO_LARGE, qty, "this quantity can't be multiplied out exactly");
        }
        let factor = factor?;
        if counted && matches!(known.issue, Issue::Kit | Issue::Sequence) && factor.denominator() != 1 {
            cells.report(&FRACTION_OF_A_PIECE, qty, format!("{} is counted in whole pieces", known.code));
        }
        Some(BillLine { part: PartId(id), factor, gives, station, when, from, until, row: cells.number() })
    }

    pub(super) fn station(&self, cells: &mut Cells<'_>, column: BookColumn) -> Option<DestId> {
        let id = DestId(self.dests.refer(cells, column, &UNKNOWN_STATION, "station")?);
        if matches!(self.plant.dest(id).what, DestKind::Shop(_)) {
            cells.report(&UNKNOWN_STATION, column, "this is a shop, not a station");
            return None;
        }
        Some(id)
    }
}

/// `qty × conversion ÷ (1 − scrap)`, or for a by-product `qty × conversion × (1 − scrap)`.
fn factor(qty: Ratio, conversion: Ratio, scrap: Ratio, gives: bool) -> Option<Ratio> {
    let whole = qty.times(conversion)?;
    let good = Ratio::ONE.minus(scrap)?;
    if gives { whole.times(good) } else { whole.over(good) }
}

/// From this share on, a scrap is taken for a percent that was written as a number.
const HIGH: (i128, i128) = (1, 5);

/// Above this share a percent, too, is taken for a slip.
const TOO_HIGH: (i128, i128) = (1, 2);

/// A percent sign says what is meant; a number that is so high may be one without it.
fn report_high_scrap(cells: &mut Cells<'_>, column: BookColumn, lost: Ratio) {
    let text = cells.text(column);
    let is_percent = text.ends_with('%');
    let from = if is_percent { TOO_HIGH } else { HIGH };
    let above = |from: Ratio| if is_percent { lost.compare(from).is_gt() } else { lost.compare(from).is_ge() };
    let high = Ratio::new(from.0, from.1).is_some_and(above);
    let percent = lost.times(Ratio::whole(100)).and_then(Quantity::cut);
    let Some(percent) = percent.filter(|_| high) else { return };
    let near = (!is_percent).then(|| format!("{text}%"));
    cells.report_near(&HIGH_SCRAP, column, format!("read as {percent} %"), near.as_deref());
}

/// `0.05` or `5%`; 0 where blank.
pub(super) fn read_scrap(cells: &mut Cells<'_>, column: BookColumn) -> Option<Ratio> {
    let text = cells.text(column);
    if text.is_empty() {
        return Some(Ratio::ZERO);
    }
    let percent = text.strip_suffix('%').and_then(|percent| cells.parsed(percent.trim()));
    let scrap = match percent.and_then(|percent| percent.over(Ratio::whole(100))) {
        Some(scrap) => scrap,
        None => cells.signed(column)?,
    };
    if scrap.is_negative() || !Ratio::ONE.minus(scrap)?.is_positive() {
        let near = (!text.ends_with('%')).then(|| format!("{text}%"));
        cells.report_near(&SCRAP_TOO_LARGE, column, "a scrap lies between 0 and 1, or 0% and 100%", near.as_deref());
        return None;
    }
    Some(scrap)
}
