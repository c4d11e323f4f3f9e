//! The build sequence and the changes that begin with a unit or a date.

use super::codes::Defined;
use super::kinds::{
    CHANGE_BY_DATE_ALONE, DONE_AHEAD, EMPTY_CHANGE, OUT_OF_PLACE, SEQ_TWICE, UNKNOWN_LINE, UNKNOWN_STATION,
    UNREACHED_CHANGE,
};
use super::limits::MOST_GAP;
use super::options::split_options;
use super::plant::{Change, DestKind, Unit};
use super::{Draft, each};
use crate::base::{DestId, Finding, Findings, FloorplanId, LineId, Quantity, UnitId, fold};
use crate::book::{Book, BookColumn, Cells, Table};
use std::collections::HashMap;

const COLUMNS: [&str; 11] =
    ["line", "seq", "unit", "floorplan", "options", "start", "gap", "at", "issued through", "hold", "done"];

impl Draft {
    pub(super) fn read_sequence(&mut self, book: &Book, findings: &mut Findings) {
        let mut units = Defined::default();
        let mut places: HashMap<(u32, Quantity), u32> = HashMap::new();
        each(book, Table::Sequence, COLUMNS, findings, |cells, columns| {
            let Some(unit) = self.read_unit(cells, columns) else { return };
            if !units.take(cells, columns[2], &fold(&unit.code)) {
                return;
            }
            if let Some(first) = places.insert((unit.line.0, unit.seq), unit.row) {
                cells.report(&SEQ_TWICE, columns[1], format!("row {first} has the same place on this line"));
            }
            self.units.add(&unit.code);
            self.plant.units.push(unit);
        });
        self.report_out_of_place(findings);
        self.read_changes(book, findings);
    }

    fn read_unit(&mut self, cells: &mut Cells<'_>, columns: [BookColumn; 11]) -> Option<Unit> {
        let [line, seq, unit, floorplan, options, start, gap, at, issued, hold, done] = columns;
        let line = self.lines.refer_needed(cells, line, &UNKNOWN_LINE, "line").map(LineId);
        let seq = cells.number_needed(seq).and_then(Quantity::cut);
        let code = cells.code(unit);
        let floorplan_code = cells.code(floorplan).unwrap_or_default();
        let mut ordered = Vec::new();
        let mut unknown_options = Vec::new();
        for word in split_options(cells.text(options)) {
            let (taken_away, option) = word.strip_prefix('-').map_or((false, word), |option| (true, option));
            match self.find_option(option) {
                Some(id) => ordered.push((id, taken_away)),
                None => unknown_options.push(word.to_owned()),
            }
        }
        let stands_at = self.position(cells, at, line);
        let issued_through = self.position(cells, issued, line);
        let passed = stands_at.map_or(0, |position| position - 1);
        Some(Unit {
            code: code?.to_owned(),
            line: line?,
            seq: seq?,
            floorplan: self.floorplans.find(floorplan_code).map(FloorplanId).ok_or_else(|| floorplan_code.to_owned()),
            ordered,
            unknown_options,
            start: cells.date(start),
            gap: cells.whole_up_to(gap, 0, MOST_GAP).unwrap_or_default(),
            at: stands_at,
            issued: issued_through.or(stands_at).unwrap_or_default().max(passed),
            hold: cells.hold(hold).map(str::to_owned),
            done: self.done(cells, done),
            row: cells.number(),
        })
    }

    /// Whether a unit is done; a day that has not come yet is most likely the one for which that is planned.
    fn done(&self, cells: &mut Cells<'_>, column: BookColumn) -> bool {
        let done = cells.done(column);
        let day = cells.parsed_date(cells.text(column));
        if day.is_some_and(|day| day > self.plant.as_of.date()) {
            let as_of = self.plant.as_of;
            let message =
                format!("this day lies after the as-of moment, {as_of}; the unit counts as done all the same");
            cells.report(&DONE_AHEAD, column, message);
        }
        done
    }

    /// The position of a station of the unit's own line.
    fn position(&self, cells: &mut Cells<'_>, column: BookColumn, of: Option<LineId>) -> Option<u32> {
        let id = self.dests.refer(cells, column, &UNKNOWN_STATION, "station")?;
        match self.plant.dest(DestId(id)).what {
            DestKind::Station { line, position, .. } if of.is_none_or(|of| of == line) => Some(position),
            _ => {
                cells.report(&UNKNOWN_STATION, column, "this is not a station of the unit's line");
                None
            }
        }
    }

    /// By `seq` on a line, held and done ones left out, the units with `at` come first, at falling positions.
    fn report_out_of_place(&self, findings: &mut Findings) {
        for line in 0..self.plant.lines.len() {
            let mut units: Vec<&Unit> =
                self.plant.units.iter().filter(|u| u.line.at() == line && u.on_plan()).collect();
            units.sort_by_key(|unit| unit.seq);
            for pair in units.windows(2) {
                let (before, unit) = (pair[0], pair[1]);
                let Some(position) = unit.at else { continue };
                let message = match before.at {
                    None => format!("{} comes before it in the order and is not on the line yet", before.code),
                    Some(front) if front <= position => {
                        format!("{} comes before it in the order, but stands no further on", before.code)
                    }
                    Some(_) => continue,
                };
                findings.add(Finding::new(
                    &OUT_OF_PLACE,
                    self.plant.place(Table::Sequence, unit.row, "at"),
                    &unit.code,
                    message,
                ));
            }
        }
    }

    /// For each line the place in its order of the last unit that is neither held nor done.
    fn last_places(&self) -> Vec<Option<Quantity>> {
        let mut last = vec![None; self.plant.lines.len()];
        for unit in self.plant.units.iter().filter(|unit| unit.on_plan()) {
            let last = &mut last[unit.line.at()];
            *last = (*last).max(Some(unit.seq));
        }
        last
    }

    fn read_changes(&mut self, book: &Book, findings: &mut Findings) {
        let mut defined = Defined::default();
        let last_places = self.last_places();
        let others = self.plant.lines.len() > 1;
        let columns = ["change", "from date", "from unit", "description"];
        each(book, Table::Changes, columns, findings, |cells, [code, date, unit, description]| {
            let from_date = cells.date(date);
            let from_unit = self.units.find(cells.text(unit)).map(UnitId);
            let dated = !cells.text(date).is_empty();
            if from_unit.is_none() && !self.units.table_missing {
                let near = self.units.near(cells.text(unit));
                match (dated, cells.text(unit).is_empty()) {
                    (false, true) => {
                        cells.report(&EMPTY_CHANGE, code, "a change needs a date or a unit from which it holds");
                    }
                    (false, false) => {
                        let message = "this unit is not in the sequence, and the change has no date";
                        cells.report_near(&EMPTY_CHANGE, unit, message, near);
                    }
                    (true, false) => {
                        let message = "this unit is not in the sequence: only the date counts";
                        cells.report_near(&CHANGE_BY_DATE_ALONE, unit, message, near);
                    }
                    (true, true) => {}
                }
            }
            let first = from_unit.map(|id| &self.plant.units[id.at()]);
            let alone = first.is_some_and(|first| !first.done && last_places[first.line.at()] < Some(first.seq));
            if alone && others && !dated {
                let message =
                    "this unit is on hold and no unit is planned behind it, so other lines do not reach the change";
                cells.report(&UNREACHED_CHANGE, unit, message);
            }
            let Some(text) = cells.code(code) else { return };
            if defined.take(cells, code, &fold(text)) {
                self.changes.add(text);
                let description = cells.text(description).to_owned();
                self.plant.changes.push(Change { code: text.to_owned(), description, from_date, from_unit });
            }
        });
    }
}
