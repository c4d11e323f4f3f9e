//! How many units of each floorplan start after the sequence ends.
//!
//! Rule `past-the-sequence`.

use super::kinds::{PERIOD_BACKWARDS, PERIODS_OVERLAP, UNKNOWN_FLOORPLAN};
use super::limits::MOST_FORECAST;
use super::plant::Forecast;
use super::{Draft, each};
use crate::base::{Finding, Findings, FloorplanId};
use crate::book::{Book, Table};

impl Draft {
    /// Reads the table `Forecast`. That a period begins before the sequence has ended is found when it is known how far this reaches.
    pub(super) fn read_forecast(&mut self, book: &Book, findings: &mut Findings) {
        each(
            book,
            Table::Forecast,
            ["floorplan", "from", "to", "units"],
            findings,
            |cells, [floorplan, from, to, units]| {
                let of = self.floorplans.refer_needed(cells, floorplan, &UNKNOWN_FLOORPLAN, "floorplan");
                let (first, last) = (cells.date_needed(from), cells.date_needed(to));
                let blank = cells.text(units).is_empty();
                let many = if blank {
                    cells.number_needed(units).and(None)
                } else {
                    cells.whole_up_to(units, 0, MOST_FORECAST)
                };
                if let (Some(first), Some(last)) = (first, last)
                    && last < first
                {
                    return cells.report(&PERIOD_BACKWARDS, to, format!("the period begins later, on {first}"));
                }
                if let (Some(floorplan), Some(from), Some(to), Some(units)) = (of.map(FloorplanId), first, last, many) {
                    self.plant.forecast.push(Forecast { floorplan, from, to, units, row: cells.number() });
                }
            },
        );
        self.report_overlaps(findings);
    }

    /// Periods of one floorplan that share days: each that begins within one that began no later.
    fn report_overlaps(&self, findings: &mut Findings) {
        let mut rows: Vec<&Forecast> = self.plant.forecast.iter().collect();
        rows.sort_by_key(|row| (row.floorplan, row.from, row.row));
        for of_floorplan in rows.chunk_by(|a, b| a.floorplan == b.floorplan) {
            let mut longest = of_floorplan[0];
            for row in &of_floorplan[1..] {
                if row.from <= longest.to {
                    let place = self.plant.place(Table::Forecast, row.row, "from");
                    let until = format!("row {} has units of this floorplan until {}", longest.row, longest.to);
                    findings.add(Finding::new(&PERIODS_OVERLAP, place, row.from.to_string(), until));
                }
                if row.to > longest.to {
                    longest = row;
                }
            }
        }
    }
}
