//! What finished units weigh: the rows of `Scale`, of which at most one counts for each unit.
//!
//! Rule `scale`.

use super::kinds::{WEIGHED_AHEAD, WEIGHED_TWICE, WEIGHED_UNFINISHED, WEIGHTS_OF_UNKNOWN_UNITS};
use super::limits::{HEAVIEST, LIGHTEST};
use super::plant::{Unit, Weighed};
use super::{Draft, each};
use crate::base::{Finding, Findings, Quantity, UnitId};
use crate::book::{Book, BookColumn, Cells, Table};
use itertools::Itertools;

const COLUMNS: [&str; 3] = ["unit", "kg", "when"];

impl Draft {
    /// Reads the table `Scale`, which speaks of units of the sequence.
    pub(super) fn read_scale(&mut self, book: &Book, findings: &mut Findings) {
        let mut unknown = Vec::new();
        let mut rows: Vec<(Weighed, String)> = Vec::new();
        each(book, Table::Scale, COLUMNS, findings, |cells, [unit, kg, when]| {
            let code = cells.code(unit);
            let weight = kilograms(cells, kg);
            let moment = cells.moment(when).map(|(moment, _)| moment);
            if moment.is_some_and(|moment| moment > self.plant.as_of) {
                let as_of = self.plant.as_of;
                let message =
                    format!("this moment lies after the as-of moment, {as_of}; the weight counts all the same");
                cells.report(&WEIGHED_AHEAD, when, message);
            }
            let Some(code) = code else { return };
            let Some(id) = self.units.find(code) else { return unknown.push((cells.place(unit), code.to_owned())) };
            if !self.weighable(&self.plant.units[id as usize]) {
                let message =
                    "this unit is neither done nor at the last position of its line; its weight is not compared";
                return cells.report(&WEIGHED_UNFINISHED, unit, message);
            }
            if let Some(kilograms) = weight {
                let row = Weighed { unit: UnitId(id), kilograms, when: moment, earlier: 0, row: cells.number() };
                rows.push((row, cells.text(kg).to_owned()));
            }
        });
        if let Some((place, code)) = unknown.first().filter(|_| !self.units.table_missing) {
            let message = format!("no such unit in the sequence; weights of unknown units left out: {}", unknown.len());
            findings.add(Finding::new(&WEIGHTS_OF_UNKNOWN_UNITS, place.clone(), code, message));
        }
        rows.sort_by_key(|(row, _)| (row.unit, row.when, row.row));
        for of_unit in rows.chunk_by(|(a, _), (b, _)| a.unit == b.unit) {
            self.take_weights(of_unit, findings);
        }
    }

    /// Whether a unit is one that can be weighed as it is when finished.
    fn weighable(&self, unit: &Unit) -> bool {
        let last = self.plant.lines[unit.line.at()].positions;
        unit.done || unit.hold.is_none() && unit.at == Some(last)
    }

    /// Takes the last of the weights of a unit, which stand in order of their moments; where two of one moment differ, none.
    fn take_weights(&mut self, rows: &[(Weighed, String)], findings: &mut Findings) {
        for ((before, said), (row, text)) in rows.iter().tuple_windows() {
            if before.when == row.when {
                let then = if before.kilograms == row.kilograms { "it counts once" } else { "neither counts" };
                let message = format!("row {} says {said} for the same unit and moment; {then}", before.row);
                let place = self.plant.place(Table::Scale, row.row, "kg");
                findings.add(Finding::new(&WEIGHED_TWICE, place, text, message));
            }
        }
        let Some((last, _)) = rows.last() else { return };
        let at_once = rows.iter().filter(|(row, _)| row.when == last.when);
        if at_once.map(|(row, _)| row.kilograms).all_equal() {
            let earlier = rows.iter().filter(|(row, _)| row.when != last.when).count();
            self.plant.weighed.push(Weighed { earlier, ..*last });
        }
    }
}

/// Kilograms of a whole unit, which must be there; reports such as can't be meant.
fn kilograms(cells: &mut Cells<'_>, column: BookColumn) -> Option<Quantity> {
    if cells.text(column).is_empty() {
        cells.number_needed(column);
        return None;
    }
    let weight = cells.positive(column).and_then(Quantity::cut)?;
    let sound = (LIGHTEST..=HEAVIEST).contains(&weight);
    if !sound {
        cells.too_much(column, format!("a unit weighs from {LIGHTEST} to {HEAVIEST} kg"));
    }
    Some(weight).filter(|_| sound)
}
