//! The buyer's workbook: what will be late or short, and the balance of each bought part.

use super::names::dest_code;
use super::sheet::{Column, Look, Sheet, Show, Workbook};
use super::table::Value;
use crate::netting::Cover;
use crate::plan::Plan;
use crate::supply::{Covered, Supply};

const COLUMNS: [Column; 8] = [
    Column { heading: "how it stands", show: Show::Text },
    Column { heading: "part", show: Show::Text },
    Column { heading: "description", show: Show::Text },
    Column { heading: "supplier", show: Show::Text },
    Column { heading: "unit", show: Show::Text },
    Column { heading: "to", show: Show::Text },
    Column { heading: "need", show: Show::Moment },
    Column { heading: "qty", show: Show::Quantity },
];

/// The workbook.
pub fn workbook<'p>(plan: &'p Plan<'p>) -> Workbook<'p> {
    let mut sheet = Sheet::new("late or short", &[14, 16, 36, 20, 12, 10, 18, 10]);
    sheet.text(Look::Title, "Late or short");
    sheet.text(Look::Plain, super::foot(plan));
    let lines = plan.supplies.iter().flat_map(|supply| lines(plan, supply)).collect();
    sheet.table(Some("late_or_short".to_owned()), &COLUMNS, lines);
    Workbook { file: "shortages.xlsx", title: "Shortages".to_owned(), foot: super::foot(plan), sheets: vec![sheet] }
}

fn lines<'p>(plan: &'p Plan<'p>, supply: &'p Supply) -> Vec<(Look, Vec<Value<'p>>)> {
    let mut lines = Vec::new();
    for peg in supply.pegs.iter().filter(|peg| !matches!(peg.cover, Cover::Job(_) | Cover::ByProduct)) {
        let demand = &supply.demands[peg.demand as usize];
        let part = plan.plant.part(demand.part);
        let word = match peg.covered(demand.need) {
            Covered::InTime => continue,
            Covered::Late => "late",
            Covered::Short => "short",
        };
        lines.push((
            Look::Plain,
            vec![
                word.into(),
                part.code.as_str().into(),
                part.description.as_str().into(),
                part.supplier.as_str().into(),
                plan.pace.owners[demand.owner.at()].code.as_str().into(),
                dest_code(plan, demand.to).into(),
                demand.need.into(),
                peg.qty.into(),
            ],
        ));
    }
    lines
}
