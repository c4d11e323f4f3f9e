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
mod exploded;
mod foreseen;
mod built;
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
mod settled;
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
pub use consequences::{Consequence, Outcome, There, fitted_later, latest, left_behind};
pub use deliveries::{Deliveries, Delivery};
pub use doubts::Doubt;
pub use effects::{Effects, FIRST_ROWS};
pub use foreseen::{Expected, Foreseen, Sampled};
pub use goods::{ChangedRows, Goods};
pub use late::Late;
pub use loss::{Loss, Lost, StopAt};
pub use margins::{Margin, step};
pub use near::Near;
pub use of_day::{DayStop, OfDay};
pub use outlook::{Beside, Outlook};
pub use past::enters_last;
pub use settled::Settled;
pub use standing::Lacks;
pub use stops::{Stop, Totals, Wait, WaitedFor, stops};
pub use troubles::{Trouble, waiting};

use crate::base::{Date, Finding, Findings, Moment, NameId, PartId, UnitId};
use crate::book::Table;
use crate::check::{Plant, kinds, too_many};
use crate::configure;
use crate::pulls::Pull;
use built::Built;
use cover::{Demanded, Supplied};
use exploded::Exploded;
use std::ops::Deref;

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
    /// Everything that is demanded, with what covers it.
    settled: Settled<'a>,
    /// The pulls that are overdue or leave up to the end of the plan's day, in the order of their table: see
    /// [`Settled::each_pull`]. None where it was only asked how units and jobs stand.
    pub pulls: Vec<Pull>,
    /// What the pieces that are not there do.
    pub effects: Effects,
    /// What is wrong with the orders of units set aside, by place.
    pub set_aside: Vec<Finding>,
    /// What of each part is late or short.
    troubles: Vec<Trouble>,
}

/// What is settled before anything is judged is asked of a plan as its own.
impl<'a> Deref for Plan<'a> {
    type Target = Settled<'a>;

    fn deref(&self) -> &Settled<'a> {
        &self.settled
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
    /// Which pulls are asked for.
    pub pulls: AskedPulls,
}

/// Which pulls a plan is asked for: a year's are twenty million, and most plans show those of a day.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum AskedPulls {
    /// All of them.
    #[default]
    All,
    /// Those that are overdue or leave up to the end of the plan's day.
    UpToDay,
    /// None: it is only asked how units and jobs stand.
    None,
}

/// What planning finds beyond reading. Of a plant with errors only the orders of its units can be judged, if they fit in memory.
pub fn more_findings(plant: &Plant, read: &Findings) -> Findings {
    if !too_many::fits(plant) {
        return Findings::default();
    }
    if read.any_error() { configure::configure(plant).1 } else { plan(plant, &Request::default()).1 }
}

/// Why there is no plan, where the findings do not say so already.
type Refused = Vec<Finding>;

/// Plans a checked plant. There is no plan where the findings hold an error that can't be set aside.
pub fn plan<'a>(plant: &'a Plant, request: &Request) -> (Option<Plan<'a>>, Findings) {
    let mut findings = Findings::default();
    let plan = stages(plant, request, &mut findings);
    let plan = plan.map_err(|refused| findings.extend(refused)).ok();
    (plan, findings)
}

/// The stages one after the other. Each value is made once, from those before it, and its type says what is true of it.
fn stages<'a>(plant: &'a Plant, request: &Request, findings: &mut Findings) -> Result<Plan<'a>, Refused> {
    // What does each unit have, and when does it stand where?
    let (configured, wrong) = configure::configure(plant);
    findings.extend(wrong);
    let pace = exploded::placed(plant, findings)?;
    // What do its bills ask for at which station, and what do the shops build of it, when?
    let exploded = Exploded::of(plant, configured, pace, request, findings)?;
    let built = Built::of(exploded, findings)?;
    // Who needs what, with which run; what covers it; and when is what waits for late material really done?
    let demanded = Demanded::of(built, request)?;
    let supplied = Supplied::of(demanded, request);
    let (settled, sums) = Settled::of(supplied);
    // What is pulled, what do missing pieces do, and which of it is told?
    let pulls = settled.pulls_up_to_day();
    let (effects, troubles) = sums.finish(&settled);
    Ok(Plan { settled, pulls, effects, troubles, set_aside: errors_of_units(findings) })
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
