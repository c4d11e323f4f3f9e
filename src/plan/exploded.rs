//! Units with their options, their times and the paths of their bills: what everything else is computed from.

use super::{Refused, Request, past, range, short_calendar, standstill};
use crate::base::{DestId, Finding, Findings, Level, UnitId};
use crate::book::Table;
use crate::check::{DestKind, Plant, kinds};
use crate::configure::Configured;
use crate::every_order;
use crate::explode::{self, Explosions};
use crate::line::{self, Pace};
use itertools::Itertools;

/// Every unit on the plan has its times and the paths that count for it, or is set aside; no order is wrong that may not be.
pub(super) struct Exploded<'a> {
    pub(super) plant: &'a Plant,
    pub(super) pace: Pace,
    pub(super) configured: Configured,
    pub(super) explosions: Explosions<'a>,
}

/// When units stand where: within the calendars of their lines.
pub(super) fn placed(plant: &Plant, findings: &mut Findings) -> Result<Pace, Refused> {
    let pace = line::pace(plant);
    if let Err(line) = pace.within_calendars(plant) {
        let message = format!(
            "the calendar of line {} does not reach as far as its units do, or they would leave after the year 2399",
            plant.lines[line.at()].code
        );
        return Err(vec![short_calendar(plant, message)]);
    }
    findings.extend(standstill::findings(plant, &pace));
    findings.extend(past::findings(plant, &pace));
    Ok(pace)
}

impl<'a> Exploded<'a> {
    /// Explodes the bills of all units that have options. Where orders are wrong that are not set aside, the findings say so.
    pub(super) fn of(
        plant: &'a Plant,
        mut configured: Configured,
        pace: Pace,
        request: &Request,
        findings: &mut Findings,
    ) -> Result<Self, Refused> {
        let explosions = explode::explode(plant, &configured, &pace);
        let mut explosions = explosions.map_err(|large| vec![range::too_large(plant, large)])?;
        set_aside_foreign(plant, &mut configured, &mut explosions, findings);
        findings.extend(every_order::units::findings(plant, &configured, &pace));
        let blocks =
            |finding: &Finding| finding.kind.level == Level::Error && !(request.set_aside && finding.unit.is_some());
        if findings.iter().any(blocks) {
            return Err(Refused::new());
        }
        Ok(Self { plant, pace, configured, explosions })
    }
}

/// Units that need something at a station of another line are set aside, too.
fn set_aside_foreign(
    plant: &Plant,
    configured: &mut Configured,
    explosions: &mut Explosions<'_>,
    findings: &mut Findings,
) {
    for (i, unit) in plant.units.iter().enumerate() {
        let at_home = |floorplan: usize| explosions.floorplans[floorplan].lines.iter().all(|line| *line == unit.line);
        if explosions.floorplan_of(UnitId::of(i)).is_none_or(at_home) {
            continue;
        }
        let foreign =
            |station: DestId| !matches!(plant.dest(station).what, DestKind::Station { line, .. } if line == unit.line);
        let paths = explosions.paths_of(UnitId::of(i)).filter(|path| foreign(path.station));
        let stations: Vec<(DestId, u32)> =
            paths.map(|path| (path.station, path.row)).sorted().dedup_by(|a, b| a.0 == b.0).collect();
        for &(station, row) in &stations {
            let (code, bill) = (&plant.dest(station).code, plant.place(Table::Bills, row, "station"));
            let message = format!("unit {} needs material at {code}, a station of another line ({bill})", unit.code);
            let place = plant.place(Table::Sequence, unit.row, "line");
            findings.add(Finding::new(&kinds::OTHER_LINE, place, &unit.code, message).of_unit(&unit.code));
        }
        if !stations.is_empty() {
            configured[i] = None;
            explosions.set_aside(UnitId::of(i));
        }
    }
}
