//! The whole path as one function: a checked plant becomes a plan. No clock, no file, no environment.

mod account;
mod alone;
mod arrivals;
mod at_once;
mod brought;
mod consequences;
mod cover;
mod delays;
mod deliveries;
mod doubts;
mod effects;
mod foreseen;
mod demands;
mod found;
mod goods;
mod late;
mod links;
mod loss;
mod margins;
mod near;
mod needs;
mod of_day;
mod on_line;
mod outlook;
mod packed;
mod past;
mod range;
mod saves;
mod settling;
mod slots;
mod standing;
mod standstill;
mod stops;
mod sums;
mod supplies;
mod table_order;
mod troubles;
pub mod words;

pub use account::{Account, FIRST_DAYS, FIRST_RUNS, Leaning, Planned, Taken};
pub use alone::{Alone, Waiting, Without, Worth};
pub use at_once::HandOver;
pub use brought::Brought;
pub use consequences::{Consequence, Outcome, There, latest, left_behind};
pub use deliveries::{Deliveries, Delivery};
pub use doubts::Doubt;
pub use effects::{Effects, FIRST_ROWS};
pub use foreseen::{Expected, Foreseen, Sampled};
pub use goods::{Goods, Rows};
pub use late::Late;
pub use loss::{Loss, Lost, StopAt};
pub use margins::{Margin, step};
pub use near::Near;
pub use of_day::{DayStop, OfDay};
pub use outlook::{Outlook, Scope};
pub use past::enters_last;
pub use standing::Lacks;
pub use stops::{Stop, Totals, Wait, stops};
pub use troubles::{Trouble, waiting};

use crate::base::{Date, DestId, Finding, Findings, Moment, NameId, PartId, UnitId};
use crate::book::Table;
use crate::check::{DestKind, Plant, kinds, too_many};
use crate::configure::{self, Configured};
use crate::every_order;
use crate::explode::{self, Explosions, TooLarge};
use crate::line::{self, Pace};
use crate::netting::Demand;
use crate::pulls::Pull;
use crate::shops::{self, Job, Run};
use crate::waves::Runs;
use delays::Moved;
use itertools::Itertools;
use links::Links;
use needs::Stage;
use outlook::ByOwner;
use packed::Packed;
use std::sync::OnceLock;
use supplies::Supplies;

/// How a unit stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum UnitState {
    /// Everything is in time.
    Clear,
    /// Something is late: the part that is first, and when the last is there.
    Late(PartId, Moment),
    /// Something is short: the part that is first.
    Short(PartId),
    /// Held back.
    Hold,
    /// On the line, but not supplied, because its order is wrong.
    SetAside,
}

/// A unit on the plan.
#[derive(Clone, Debug)]
pub struct UnitPlan {
    /// The row of the sequence.
    pub unit: UnitId,
    /// Its options, in code order; none for held and set-aside units.
    pub options: Vec<NameId>,
    /// When it enters and leaves its line; `None` for held units.
    pub times: Option<(Moment, Moment)>,
    /// How it stands.
    pub state: UnitState,
}

/// How a job's material stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Material {
    /// All there when it is needed.
    Ready,
    /// Late until.
    Late(Moment),
    /// Something is short.
    Short,
    /// It has begun.
    Issued,
}

/// A plan: everything that the tables and workbooks show.
pub struct Plan<'a> {
    /// What it was computed from.
    pub plant: &'a Plant,
    /// When units stand where, and who needs material.
    pub pace: Pace,
    /// Units by rank, then held ones.
    pub units: Vec<UnitPlan>,
    /// Jobs, by shop in planning order.
    pub jobs: Vec<Job>,
    /// The jobs' indices in the order of their table.
    pub job_order: Vec<u32>,
    /// For each job how its material stands.
    pub materials: Vec<Material>,
    /// The pulls that are overdue or leave up to the end of the plan's day, in the order of their table: see
    /// [`Plan::each_pull`].
    pub pulls: Vec<Pull>,
    /// For each owner what it lacks on hand, and as promised.
    pub lacks: Vec<(Lacks, Lacks)>,
    /// The delivery runs that needs go with.
    pub runs: Runs,
    /// The day of the pull list.
    pub day: Date,
    /// What the pieces that are not there do.
    pub effects: Effects,
    /// The last unit to leave its line, and when it does.
    pub end: Option<(UnitId, Moment)>,
    /// What is open, as it comes.
    pub deliveries: Deliveries<'a>,
    /// What is wrong with the orders of units set aside, by place.
    pub set_aside: Vec<Finding>,
    /// For each bought part the pieces that may not be there in time.
    doubts: Vec<doubts::OfPart>,
    /// What of each part is late or short.
    troubles: Vec<Trouble>,
    /// Who waits for which job.
    links: Links,
    /// For each job when what it builds is really there.
    there: Vec<There>,
    /// For each heap of by-products when it is really there.
    heaps_there: Vec<There>,
    /// For each job what its material does that is not there in time, where that was asked for.
    below_job: Vec<OnceLock<Option<on_line::Effect>>>,
    /// For each heap of a by-product the worst of what waits for it, and where, as soon as somebody asks.
    below_heap: Vec<OnceLock<Option<(DestId, on_line::Effect)>>>,
    /// For each job until when its material may come; where that was asked for.
    saves: OnceLock<saves::Saves>,
    /// What comes of deliveries that nobody promised, where that was asked for; `None` in it where too much is missing.
    pub(crate) without: OnceLock<Option<Vec<Without>>>,
    /// What units behind the sequence are expected to take, where that was asked for.
    pub(crate) foreseen: OnceLock<Foreseen>,
    /// No job is done at another moment than that.
    none_moved: Moved,
    /// Jobs and their pieces by owner; where that is asked for.
    by_owner: OnceLock<ByOwner>,
    /// Stock and receipts as the plant has them.
    goods: Goods<'a>,
    /// When each receipt is there.
    receipts_there: Vec<Moment>,
    /// What each part's supply comes to.
    accounts: Vec<Account>,
    /// What all supplies are made from.
    source: Supplies,
    /// All pulls, by part.
    packed: Vec<Vec<Packed>>,
    /// The parts in the order in which a picker walks.
    walking_order: Vec<PartId>,
}

impl Plan<'_> {
    /// The last moment at which a piece of a demand may be there without stopping the line, other late material left aside; `None`
    /// where it can't stop it, or no moment is soon enough.
    pub fn saves_until(&self, demand: &Demand) -> Option<Moment> {
        match self.plant.dest(demand.to).what {
            DestKind::Station { .. } => self.on_line().until(demand),
            DestKind::Shop(_) => self.saves().of_material(self.shops().takers(demand)),
        }
    }

    fn saves(&self) -> &saves::Saves {
        self.saves.get_or_init(|| saves::Saves::of(self))
    }
}

/// What a plan is asked to do beyond the plant itself.
#[derive(Clone, Copy, Debug, Default)]
pub struct Request {
    /// The day of the pull list; the next one by default.
    pub day: Option<Date>,
    /// Whether units whose order is wrong are set aside instead of stopping the plan.
    pub set_aside: bool,
    /// How many demands the plan holds at most; by default one and a half million. With more, supplies are made again where
    /// they are wanted, which takes time instead of memory: what the plan tells is the same.
    pub most_held: Option<usize>,
}

/// What planning finds beyond reading. Of a plant with errors only the orders of its units can be judged, if they fit in memory.
pub fn more_findings(plant: &Plant, read: &Findings) -> Findings {
    if !too_many::fits(plant) {
        return Findings::default();
    }
    if read.any_error() { configure::configure(plant).1 } else { plan(plant, &Request::default()).1 }
}

/// Plans a checked plant. There is no plan where the findings hold an error that can't be set aside.
pub fn plan<'a>(plant: &'a Plant, request: &Request) -> (Option<Plan<'a>>, Findings) {
    let (mut configured, mut findings) = configure::configure(plant);
    let pace = line::pace(plant);
    if let Err(line) = pace.within_calendars(plant) {
        let message = format!(
            "the calendar of line {} does not reach as far as its units do, or they would leave after the year 2399",
            plant.lines[line.at()].code
        );
        findings.add(short_calendar(plant, message));
        return (None, findings);
    }
    findings.extend(standstill::findings(plant, &pace));
    findings.extend(past::findings(plant, &pace));
    let mut explosions = match explode::explode(plant, &configured, &pace) {
        Ok(explosions) => explosions,
        Err(large) => return (None, too_large(plant, large, findings)),
    };
    set_aside_foreign(plant, &mut configured, &mut explosions, &mut findings);
    findings.extend(every_order::units::findings(plant, &configured, &pace));
    let blocks = |finding: &Finding| {
        finding.kind.level == crate::base::Level::Error && !(request.set_aside && finding.unit.is_some())
    };
    if findings.iter().any(blocks) {
        return (None, findings);
    }
    let mut stage = Stage { plant, pace, configured, explosions };
    let outcome = stage.needs().and_then(|needs| {
        let run = shops::run(plant, &stage.pace, &mut stage.explosions, &needs.asked)?;
        Ok((needs, run))
    });
    match outcome {
        Err(large) => (None, too_large(plant, large, findings)),
        Ok((needs, run)) => {
            report_missing_jobs(plant, &run, &mut findings);
            let too_much = range::findings(&stage, &run);
            if !too_much.is_empty() {
                findings.extend(too_much);
                return (None, findings);
            }
            match stage.finish(needs, run, request) {
                Ok(mut plan) => {
                    plan.set_aside = errors_of_units(&findings);
                    (Some(plan), findings)
                }
                Err(finding) => {
                    findings.add(*finding);
                    (None, findings)
                }
            }
        }
    }
}

/// What is wrong with single units, in order of place.
fn errors_of_units(findings: &Findings) -> Vec<Finding> {
    let of_unit = |f: &&Finding| f.kind.level == crate::base::Level::Error && f.unit.is_some();
    let mut found: Vec<Finding> = findings.iter().filter(of_unit).cloned().collect();
    found.sort_by(|a, b| (&a.place, &a.message).cmp(&(&b.place, &b.message)));
    found.dedup();
    found
}

fn short_calendar(plant: &Plant, message: String) -> Finding {
    Finding::new(&kinds::SHORT_CALENDAR, plant.place(Table::Calendar, 0, ""), "", message)
}

fn too_large(plant: &Plant, large: TooLarge, mut findings: Findings) -> Findings {
    findings.add(range::too_large(plant, large));
    findings
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
