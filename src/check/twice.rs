//! Bill lines that stand twice: a copy, or an old line beside the one that was to replace it.

use super::kinds::BILL_LINE_TWICE;
use super::plant::{BillLine, Plant};
use crate::base::{Findings, fold};
use crate::book::RawTable;
use std::collections::HashMap;

/// Reports lines of one parent with the same part, station, condition, changes, unit of measure and note; the quantity may
/// differ. Lines whose notes say what each is for are two.
pub fn report(plant: &Plant, raw: &RawTable, findings: &mut Findings) {
    let alike = alike(plant);
    if alike.is_empty() {
        return;
    }
    let columns = raw.columns(["part", "qty", "uom", "note"]);
    let mut first: HashMap<(u32, String, String), (u32, String)> = HashMap::new();
    raw.each(findings, |cells| {
        let Some((group, uom)) = alike.get(&cells.number()) else { return };
        let [part, qty, own, note] = columns;
        let written = cells.text(own);
        let key = (*group, fold(if written.is_empty() { uom } else { written }), fold(cells.text(note)));
        match first.get(&key) {
            Some((row, other)) => {
                let message =
                    format!("row {row} is the same line: both count, {other} there and {} here", cells.text(qty));
                cells.report(&BILL_LINE_TWICE, part, message);
            }
            None => _ = first.insert(key, (cells.number(), cells.text(qty).to_owned())),
        }
    });
}

/// By their rows the lines that another one of their parent is like, as far as the plan knows: a number for those that are
/// alike, and the part's own unit of measure.
fn alike(plant: &Plant) -> HashMap<u32, (u32, &str)> {
    let conditions = conditions(plant);
    let key =
        |line: &BillLine| (line.part, line.station, conditions[line.when as usize], line.from, line.until, line.gives);
    let mut alike = HashMap::new();
    let floorplans = plant.floorplans.iter().map(|floorplan| &floorplan.bill);
    for bill in floorplans.chain(plant.parts.iter().map(|part| &part.bill)) {
        let mut lines: Vec<&BillLine> = plant.bills[bill.clone()].iter().collect();
        lines.sort_by_key(|line| key(line));
        for same in lines.chunk_by(|a, b| key(a) == key(b)).filter(|same| same.len() > 1) {
            let group = same[0].row;
            alike.extend(same.iter().map(|line| (line.row, (group, plant.part(line.part).uom.as_str()))));
        }
    }
    alike
}

/// For each condition the first that reads the same, however it is written.
fn conditions(plant: &Plant) -> Vec<u32> {
    let mut first = HashMap::new();
    (0..).zip(&plant.conditions).map(|(id, condition)| *first.entry(condition).or_insert(id)).collect()
}
