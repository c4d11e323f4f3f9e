//! What no bill asks for, jobs already begun, and the delivery runs; then what can only be judged with all of it.
//!
//! Rules `extras`, `begun`.

use super::codes::Defined;
use super::follow::{Stands, stands, without_phantoms};
use super::kinds::{
    BAD_EXTRA, NO_USABLE_WAVE, ROW_TWICE, STOCK_NOT_USED, UNKNOWN_DESTINATION, UNKNOWN_PART, WAVE_OUTSIDE,
};
use super::limits::MOST_WAVES;
use super::plant::{DestKind, Extra, ExtraFor, Plant, Source, Started, Wave};
use super::supplies::converted;
use super::{Draft, each};
use crate::base::{Calendar, Date, DestId, Finding, Findings, Moment, PartId, ShopId, UnitId, fold};
use crate::book::{Book, BookColumn, Cells, Table};
use std::collections::HashMap;

impl Draft {
    pub(super) fn read_extras(&mut self, book: &Book, findings: &mut Findings) {
        let columns = ["part", "qty", "uom", "to", "needed", "unit", "reason"];
        let mut rows = HashMap::new();
        each(book, Table::Extras, columns, findings, |cells, columns| {
            if let Some(extra) = self.read_extra(cells, columns) {
                let whose = (fold(cells.text(columns[5])), fold(cells.text(columns[6])));
                let key = (extra.part, extra.qty, extra.to, extra.needed, whose);
                if let Some(first) = rows.insert(key, cells.number()) {
                    cells.report(&ROW_TWICE, columns[0], format!("row {first} says the same; both count"));
                }
                self.plant.extras.push(extra);
            }
        });
        self.read_started(book, findings);
        self.read_waves(book, findings);
        report_unused_stock(&self.plant, findings);
    }

    fn read_extra(&mut self, cells: &mut Cells<'_>, columns: [BookColumn; 7]) -> Option<Extra> {
        let [part, qty, uom, to, needed, unit, reason] = columns;
        let id = self.parts.refer_needed(cells, part, &UNKNOWN_PART, "part");
        let blank = cells.text(qty).is_empty();
        let amount = if blank { cells.number_needed(qty) } else { cells.number_of(qty) };
        let dest = self.dests.refer_needed(cells, to, &UNKNOWN_DESTINATION, "station or shop").map(DestId);
        let blank = cells.text(needed).is_empty();
        let at = cells.moment(needed).map(|(moment, _)| moment);
        let owner = match (cells.text(unit), self.units.find(cells.text(unit))) {
            ("", _) => ExtraFor::Nobody,
            (_, Some(id)) => ExtraFor::Unit(UnitId(id)),
            (code, None) => ExtraFor::Code(code.to_owned()),
        };
        let id = id?;
        let conversion = self.conversion(cells, uom, id)?;
        let (dest, amount) = (dest?, amount?);
        self.rule_out(cells, columns, id, dest, blank, &owner);
        let qty = converted(cells, qty, amount, conversion)?;
        let reason = cells.text(reason).to_owned();
        Some(Extra { part: PartId(id), qty, to: dest, needed: at, owner, reason, row: cells.number() })
    }

    /// What can't be planned: phantoms, make parts for a shop, a time that nothing gives, options that nobody ordered.
    fn rule_out(
        &self,
        cells: &mut Cells<'_>,
        columns: [BookColumn; 7],
        part: u32,
        to: DestId,
        blank: bool,
        owner: &ExtraFor,
    ) {
        let [part_column, _, _, to_column, needed, ..] = columns;
        let known = &self.plant.parts[part as usize];
        let planned = match owner {
            ExtraFor::Unit(id) => Some(&self.plant.units[id.at()]).filter(|unit| unit.on_plan()),
            _ => None,
        };
        match (known.source, self.plant.dest(to).what) {
            (Source::Phantom, _) => {
                cells.report(&BAD_EXTRA, part_column, "a phantom can't be asked for: ask for its components")
            }
            (Source::Make(_), DestKind::Shop(_)) => {
                cells.report(&BAD_EXTRA, to_column, "a part that is made goes to a station only")
            }
            (Source::Make(_), _) if known.configured && planned.is_none() => {
                cells.report(
                    &BAD_EXTRA,
                    part_column,
                    "this part depends on a unit's options: it needs a unit that is being planned",
                );
            }
            _ => {}
        }
        // Of a sequence that can't be read no unit is known.
        if !blank || self.units.table_missing && !matches!(owner, ExtraFor::Nobody) {
            return;
        }
        match (planned, self.plant.dest(to).what) {
            (None, _) => cells.report(&BAD_EXTRA, needed, "without a unit that is being planned, this needs a time"),
            (_, DestKind::Shop(_)) => cells.report(&BAD_EXTRA, needed, "for a shop, this needs a time"),
            (Some(unit), DestKind::Station { line, .. }) if line != unit.line => {
                cells.report(&BAD_EXTRA, needed, "this station is on another line than the unit, so this needs a time");
            }
            _ => {}
        }
    }

    fn read_started(&mut self, book: &Book, findings: &mut Findings) {
        let mut defined = Defined::default();
        each(book, Table::Started, ["unit", "part", "minutes left"], findings, |cells, [unit, part, left]| {
            let id = self.parts.refer_needed(cells, part, &UNKNOWN_PART, "part");
            let blank = cells.text(left).is_empty();
            let seconds = if blank { cells.number_needed(left).map(|_| 0) } else { cells.minutes(left) };
            let (Some(code), Some(id), Some(left)) = (cells.code(unit), id, seconds) else { return };
            if defined.take(cells, part, &format!("{} {id}", fold(code))) {
                self.plant.started.push(Started { unit: fold(code), part: PartId(id), left, row: cells.number() });
            }
        });
    }

    fn read_waves(&mut self, book: &Book, findings: &mut Findings) {
        let mut defined = Defined::default();
        let mut places = Vec::new();
        each(book, Table::Waves, ["wave", "time", "pick minutes"], findings, |cells, [code, time, pick]| {
            let at = cells.time_needed(time);
            let pick = cells.minutes(pick).unwrap_or_default();
            let (Some(text), Some(at)) = (cells.code(code), at) else { return };
            if defined.take(cells, code, &fold(text)) {
                if places.len() == MOST_WAVES {
                    return cells.too_much(code, format!("a day has at most {MOST_WAVES} delivery runs"));
                }
                places.push((cells.place(time), text.to_owned(), at));
                self.plant.waves.push(Wave { code: text.to_owned(), time: at, pick });
            }
        });
        // Of two runs at the same time the one with the longer picking counts.
        self.plant.waves.sort_by_key(|wave| (wave.time, std::cmp::Reverse(wave.pick)));
        let Some(stores) = self.plant.calendars.get(self.plant.stores.at()) else { return };
        let outside: Vec<_> = places.iter().filter(|(_, _, at)| !ever_runs(stores, *at)).collect();
        if outside.len() == places.len() && !places.is_empty() {
            let place = self.plant.place(Table::Waves, 0, "");
            findings.add(Finding::new(&NO_USABLE_WAVE, place, "", "no delivery run lies in the stores' working time"));
        }
        for (place, code, _) in outside {
            let message = format!("the run {code} never lies in the stores' working time");
            findings.add(Finding::new(&WAVE_OUTSIDE, place.clone(), code, message));
        }
    }
}

/// Whether a run at that time of day leaves on any day.
fn ever_runs(stores: &Calendar, time: i64) -> bool {
    let (from, until) = stores.dated_stretch();
    (from.days() - 7..until.days() + 7).any(|day| stores.works_or_just_stopped(Moment::at(Date::from_days(day), time)))
}

/// Loose stock of a make part is used where a station, an extra or another shop asks for the part.
fn report_unused_stock(plant: &Plant, findings: &mut Findings) {
    let mut inside = vec![false; plant.parts.len()];
    let mut asked = vec![false; plant.parts.len()];
    plant.extras.iter().for_each(|extra| asked[extra.part.at()] = true);
    let floorplans = plant.floorplans.iter().map(|floorplan| (None, floorplan.bill.clone()));
    let made = plant.parts.iter().filter_map(|part| match part.source {
        Source::Make(shop) => Some((Some(shop), part.bill.clone())),
        _ => None,
    });
    let parents: Vec<(Option<ShopId>, _)> = floorplans.chain(made).collect();
    for (shop, bill) in parents {
        for line in without_phantoms(plant, bill) {
            match stands(plant, line.part, shop) {
                Stands::InTheJob => inside[line.part.at()] = true,
                _ => asked[line.part.at()] = true,
            }
        }
    }
    for stock in plant.stock.iter().filter(|stock| inside[stock.part.at()] && !asked[stock.part.at()]) {
        let code = &plant.part(stock.part).code;
        let place = plant.place(Table::Stock, stock.row, "part");
        let message = format!("{code} is only built inside jobs of its own shop: this stock is not used");
        findings.add(Finding::new(&STOCK_NOT_USED, place, code, message));
    }
}
