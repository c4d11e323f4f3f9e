//! What the shops build of what units and extras ask for.

use super::exploded::Exploded;
use super::needs::Needs;
use super::{Refused, range};
use crate::base::{Finding, Findings};
use crate::book::Table;
use crate::check::{Plant, kinds};
use crate::shops::{self, Run};

/// Every job has its crew and its times, and of no part is asked for more than a quantity holds.
pub(super) struct Built<'a> {
    pub(super) exploded: Exploded<'a>,
    pub(super) needs: Needs,
    pub(super) run: Run,
}

impl<'a> Built<'a> {
    /// Runs the shops.
    pub(super) fn of(mut exploded: Exploded<'a>, findings: &mut Findings) -> Result<Self, Refused> {
        let plant = exploded.plant;
        let too_large = |large| vec![range::too_large(plant, large)];
        let needs = exploded.needs().map_err(too_large)?;
        let run = shops::run(plant, &exploded.pace, &mut exploded.explosions, &needs.asked).map_err(too_large)?;
        report_missing_jobs(plant, &run, findings);
        let too_much = range::findings(&exploded, &run);
        if too_much.is_empty() { Ok(Self { exploded, needs, run }) } else { Err(too_much) }
    }
}

fn report_missing_jobs(plant: &Plant, run: &Run, findings: &mut Findings) {
    for &row in &run.no_such_job {
        let started = &plant.started[row];
        let code = &plant.part(started.part).code;
        let place = plant.place(Table::Started, started.row, "part");
        findings.add(Finding::new(
            &kinds::NO_SUCH_JOB,
            place,
            code,
            "the plan has no such job for this unit; the row is ignored",
        ));
    }
}
