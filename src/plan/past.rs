//! Whether the periods of a forecast lie behind the sequence.
//!
//! Rule `past-the-sequence`.

use crate::base::{Date, Finding, Findings, FloorplanId, LineId, UnitId};
use crate::book::Table;
use crate::check::{Plant, kinds};
use crate::line::Pace;

/// The last unit to enter a line on which a floorplan is built, and the day on which it does; of all lines where the sequence has
/// no unit of it. `None` where nobody enters.
pub fn enters_last(plant: &Plant, pace: &Pace, floorplan: FloorplanId) -> Option<(UnitId, Date)> {
    let built = |line: LineId| plant.units.iter().any(|unit| unit.line == line && unit.floorplan == Ok(floorplan));
    let lines: Vec<bool> = (0..plant.lines.len()).map(|line| built(LineId::of(line))).collect();
    let everywhere = !lines.contains(&true);
    let units = (0..plant.units.len()).map(UnitId::of);
    let those = units.filter(|unit| everywhere || lines[plant.units[unit.at()].line.at()]);
    let last = those.filter_map(|unit| Some((pace.enters(plant, unit)?, unit))).max();
    last.map(|(enters, unit)| (unit, enters.date()))
}

/// Warnings of periods that begin before the sequence has ended, or have passed.
pub(super) fn findings(plant: &Plant, pace: &Pace) -> Findings {
    let mut findings = Findings::default();
    if plant.forecast.is_empty() {
        return findings;
    }
    let floorplans = (0..plant.floorplans.len()).map(FloorplanId::of);
    let ends: Vec<_> = floorplans.map(|floorplan| enters_last(plant, pace, floorplan)).collect();
    let today = plant.as_of.date();
    for row in plant.forecast.iter().filter(|row| row.units > 0) {
        let last = ends[row.floorplan.at()];
        let (column, value, message) = match last.filter(|(_, enters)| row.from <= *enters) {
            Some((unit, enters)) => {
                let unit = &plant.units[unit.at()].code;
                ("from", row.from, format!("{unit} of the sequence enters on {enters}; the row counts whole"))
            }
            None if row.to < today => ("to", row.to, format!("the period has passed by {today}; the row counts whole")),
            None => continue,
        };
        let place = plant.place(Table::Forecast, row.row, column);
        findings.add(Finding::new(&kinds::FORECAST_TOO_EARLY, place, value.to_string(), message));
    }
    findings
}
