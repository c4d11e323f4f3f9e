//! The tables of a plan: their columns, and a walk over their rows that holds none of them.

pub use super::columns::{Cells, Chunk, Kind};
pub use super::lists::List;
pub use crate::report::value::Value;

use super::columns::{Lot, Of, Row, RowSource, Take, Walked, code, date, moment, pieces, quantity, text, whole, word};
use crate::base::{Calendar, Date, DestId, Moment, MustBe, OwnerId, PartId, Quantity};
use crate::check::Unit;
use crate::forecast::foreseen;
use crate::netting::{Cover, Demand, Peg};
use crate::plan::{Consequence, Expected, Material, Plan, There, UnitPlan, UnitState};
use crate::pulls::Pull;
use crate::report::names::{
    COVER_WORDS, ISSUE_WORDS, MATERIAL_WORDS, OUTCOME_WORDS, PULL_WORDS, UNIT_WORDS, cover_place, issue_place,
    material_place, outcome_place, pull_place, unit_place,
};
use crate::shops::Job;
use crate::supply::{Balance, Supply};
use std::borrow::Cow;
use std::ops::Range;

/// A table of the plan.
pub struct Table {
    /// Its name, and that of its file.
    pub name: &'static str,
    rows: &'static dyn Walked,
}

/// What a row is handed to.
pub type Visit<'v> = dyn FnMut(&[Value<'_>]) + 'v;

impl Table {
    /// Its columns, in order: name and what they hold.
    pub fn columns(&self) -> impl Iterator<Item = (&'static str, Kind)> {
        (0..).map_while(|at| self.rows.column(at))
    }

    /// Hands all rows over in order, some at a time, still where the plan has them.
    pub(super) fn each_lot(&self, plan: &Plan<'_>, take: &mut Take<'_>) {
        self.rows.all_rows(plan, take);
    }

    /// Hands all rows over in order, some at a time.
    pub fn each_chunk(&self, plan: &Plan<'_>, take: &mut dyn FnMut(&Chunk)) {
        let mut chunk = Chunk::default();
        self.each_lot(plan, &mut |lot| {
            for piece in pieces(lot.count()) {
                chunk.fill(lot, piece);
                take(&chunk);
            }
        });
    }

    /// Hands each row over, in order.
    pub fn each_row(&self, plan: &Plan<'_>, visit: &mut Visit<'_>) {
        let lists: Vec<Listed<'_>> = self.columns().map(|(_, kind)| Listed::new(kind, plan)).collect();
        self.each_chunk(plan, &mut |chunk| {
            for row in 0..chunk.rows {
                let cells = chunk.columns.iter().zip(&lists);
                let values: Vec<Value<'_>> = cells.map(|(cells, list)| list.value(cells, row)).collect();
                visit(&values);
            }
        });
    }

    /// Whether its rows follow from each part's supply alone.
    pub fn by_part(&self) -> bool {
        self.rows.by_part()
    }

    /// The rows of one part; `None` where the table is not walked part by part.
    pub(super) fn of_part<'s>(&'s self, plan: &'s Plan<'_>, supply: &'s Supply) -> Option<Box<dyn Lot + 's>> {
        self.rows.of_part(plan, supply)
    }
}

/// A column of a list as texts, for rows of values.
struct Listed<'p> {
    kind: Kind,
    texts: Vec<Cow<'p, str>>,
}

impl<'p> Listed<'p> {
    fn new(kind: Kind, plan: &'p Plan<'_>) -> Self {
        let texts = match kind {
            Kind::Text(list) | Kind::Code(list) => list.texts(plan),
            _ => Vec::new(),
        };
        Self { kind, texts }
    }

    fn value(&self, cells: &Cells, row: usize) -> Value<'_> {
        let number = cells.values[row];
        if !cells.there[row] {
            return Value::Blank;
        }
        match self.kind {
            Kind::Text(_) | Kind::Code(_) => {
                let place = usize::try_from(number).ok().filter(|place| *place < self.texts.len());
                Value::from(&*self.texts[place.must("a text is in no list of the plan")])
            }
            Kind::Quantity => Quantity::from_millionths(number).into(),
            Kind::Moment => Moment::from_seconds(number).into(),
            Kind::Date => Date::from_days(i32::try_from(number).must("a date is out of reach")).into(),
            Kind::Whole => number.into(),
        }
    }
}

/// Rows that stand in a list.
macro_rules! listed {
    ($($row:ty),*) => {$(
        impl Row for $row {
            type Some = [Self];

            fn count(some: &[Self]) -> usize {
                some.len()
            }

            fn each(some: &[Self], at: Range<usize>) -> impl Iterator<Item = Self> {
                some[at].iter().copied()
            }
        }
    )*};
}

listed!(usize, u32, Pull, Consequence, Expected);

impl Row for Demand {
    type Some = Supply;

    fn count(supply: &Supply) -> usize {
        supply.demands.len()
    }

    fn each(supply: &Supply, at: Range<usize>) -> impl Iterator<Item = Self> {
        supply.demands[at].iter().copied()
    }
}

impl Row for (Demand, Peg) {
    type Some = Supply;

    fn count(supply: &Supply) -> usize {
        supply.pegs.len()
    }

    fn each(supply: &Supply, at: Range<usize>) -> impl Iterator<Item = Self> {
        supply.pegs[at].iter().map(|peg| (supply.demands[peg.demand as usize], *peg))
    }
}

impl Row for Balance {
    type Some = Supply;

    fn count(supply: &Supply) -> usize {
        supply.balances.len()
    }

    fn each(supply: &Supply, at: Range<usize>) -> impl Iterator<Item = Self> {
        supply.balances[at].iter().copied()
    }
}

/// All tables of a plan.
pub static TABLES: [Table; 8] = [
    Table { name: "units", rows: &UNITS },
    Table { name: "demands", rows: &DEMANDS },
    Table { name: "pegs", rows: &PEGS },
    Table { name: "jobs", rows: &JOBS },
    Table { name: "pulls", rows: &PULLS },
    Table { name: "balances", rows: &BALANCES },
    Table { name: "consequences", rows: &CONSEQUENCES },
    Table { name: "outlook", rows: &OUTLOOK },
];

/// Units on the plan, by their number there.
static UNITS: Of<usize> = Of {
    columns: &[
        &code("unit", List::Units, |plan, i: &usize| Some(plan.pace.owners.len() + i)),
        &code("line", List::Lines, |plan, i: &usize| Some(ordered(plan, *i).line.at())),
        &quantity("seq", |plan, i: &usize| ordered(plan, *i).seq),
        &code("floorplan", List::Floorplans, |plan, i: &usize| {
            Some(plan.plant.floorplans.len() + plan.units[*i].unit.at())
        }),
        &text("options", List::Options, |_, i: &usize| Some(*i)),
        &moment("enters", |plan, i: &usize| plan.units[*i].times.map(|times| times.0)),
        &moment("leaves", |plan, i: &usize| plan.units[*i].times.map(|times| times.1)),
        &word("status", &UNIT_WORDS, |plan, i: &usize| unit_place(plan.units[*i].state)),
        &code("first_part", List::Parts, |plan, i: &usize| first_part(&plan.units[*i]).map(PartId::at)),
        &moment("clear_at", |plan, i: &usize| match plan.units[*i].state {
            UnitState::Late(_, at) => Some(at),
            _ => None,
        }),
    ],
    walk: RowSource::Whole(|plan, take| take(&(0..plan.units.len()).collect::<Vec<_>>()[..])),
};

fn ordered<'p>(plan: &Plan<'p>, i: usize) -> &'p Unit {
    &plan.plant.units[plan.units[i].unit.at()]
}

fn first_part(unit: &UnitPlan) -> Option<PartId> {
    match unit.state {
        UnitState::Late(part, _) | UnitState::Short(part) => Some(part),
        _ => None,
    }
}

static DEMANDS: Of<Demand> = Of {
    columns: &[
        &code("unit", List::Units, |_, demand: &Demand| Some(demand.owner.at())),
        &code("part", List::Parts, |_, demand: &Demand| Some(demand.part.at())),
        &code("to", List::Places, |_, demand: &Demand| Some(demand.to.at())),
        &moment("need", |_, demand: &Demand| Some(demand.need)),
        &quantity("qty", |_, demand: &Demand| demand.qty),
        &code("uom", List::Uoms, |_, demand: &Demand| Some(demand.part.at())),
    ],
    walk: RowSource::ByPart(|supply| supply),
};

/// Pegs with their demands.
static PEGS: Of<(Demand, Peg)> = Of {
    columns: &[
        &code("unit", List::Units, |_, (demand, _): &(Demand, Peg)| Some(demand.owner.at())),
        &code("part", List::Parts, |_, (demand, _): &(Demand, Peg)| Some(demand.part.at())),
        &code("to", List::Places, |_, (demand, _): &(Demand, Peg)| Some(demand.to.at())),
        &moment("need", |_, (demand, _): &(Demand, Peg)| Some(demand.need)),
        &quantity("qty", |_, (_, peg): &(Demand, Peg)| peg.qty),
        &word("cover", &COVER_WORDS, |_, (_, peg): &(Demand, Peg)| cover_place(peg.cover)),
        &text("source", List::Sources, |plan, (_, peg): &(Demand, Peg)| match peg.cover {
            Cover::Receipt(i) => Some(i as usize),
            Cover::Job(i) => Some(plan.plant.receipts.len() + i as usize),
            _ => None,
        }),
        &moment("available", |_, (_, peg): &(Demand, Peg)| peg.available),
        &whole("late_minutes", |_, (demand, peg): &(Demand, Peg)| Some(peg.late_minutes(demand.need))),
    ],
    walk: RowSource::ByPart(|supply| supply),
};

/// Jobs, by their number in the plan.
static JOBS: Of<u32> = Of {
    columns: &[
        &text("job", List::Jobs, |_, i: &u32| Some(*i as usize)),
        &code("shop", List::Places, |plan, i: &u32| Some(plan.plant.shop(job(plan, *i).shop).dest.at())),
        &whole("crew", |plan, i: &u32| Some(i64::from(job(plan, *i).slot.crew) + 1)),
        &code("unit", List::Units, |plan, i: &u32| Some(job(plan, *i).owner.at())),
        &code("part", List::Parts, |plan, i: &u32| Some(job(plan, *i).part.at())),
        &code("to", List::Places, |plan, i: &u32| Some(job(plan, *i).to.at())),
        &quantity("qty", |plan, i: &u32| job(plan, *i).qty),
        &moment("release", |plan, i: &u32| Some(hours(plan, *i).starts(job(plan, *i).times.release))),
        &moment("due", |plan, i: &u32| Some(hours(plan, *i).starts(job(plan, *i).times.due))),
        &moment("earliest", |plan, i: &u32| Some(hours(plan, *i).starts(job(plan, *i).slot.earliest))),
        &moment("start", |plan, i: &u32| Some(hours(plan, *i).starts(job(plan, *i).slot.start))),
        &moment("finish", |plan, i: &u32| Some(hours(plan, *i).ends(job(plan, *i).slot.finish))),
        &whole("late_minutes", |plan, i: &u32| Some(job(plan, *i).need.minutes_until(job(plan, *i).available))),
        &word("material", &MATERIAL_WORDS, |plan, i: &u32| material_place(plan.materials[*i as usize])),
        &moment("material_at", |plan, i: &u32| match plan.materials[*i as usize] {
            Material::Late(at) => Some(at),
            _ => None,
        }),
        &moment("there_at", |plan, i: &u32| match plan.job_there(*i as usize) {
            There::At(at) => Some(at),
            There::Unknown => None,
        }),
    ],
    walk: RowSource::Whole(|plan, take| take(&plan.job_order[..])),
};

fn job<'p>(plan: &'p Plan<'_>, i: u32) -> &'p Job {
    &plan.jobs[i as usize]
}

/// The working hours of a job's shop.
fn hours<'p>(plan: &Plan<'p>, i: u32) -> &'p Calendar {
    plan.plant.calendar(plan.plant.shop(job(plan, i).shop).calendar)
}

static PULLS: Of<Pull> = Of {
    columns: &[
        &moment("wave", |_, pull: &Pull| Some(pull.run.leaves)),
        &moment("pick_start", |_, pull: &Pull| Some(pull.run.picked)),
        &code("location", List::Locations, |_, pull: &Pull| Some(pull.part.at())),
        &code("part", List::Parts, |_, pull: &Pull| Some(pull.part.at())),
        &code("description", List::Descriptions, |_, pull: &Pull| Some(pull.part.at())),
        &quantity("qty", |_, pull: &Pull| pull.qty),
        &code("uom", List::Uoms, |_, pull: &Pull| Some(pull.part.at())),
        &code("to", List::Places, |_, pull: &Pull| Some(pull.to.at())),
        &code("unit", List::Units, |_, pull: &Pull| pull.owner.map(OwnerId::at)),
        &word("issue", &ISSUE_WORDS, |plan, pull: &Pull| issue_place(plan.plant.part(pull.part).issue)),
        &moment("need", |_, pull: &Pull| Some(pull.need)),
        &word("status", &PULL_WORDS, |_, pull: &Pull| pull_place(pull.status)),
    ],
    walk: RowSource::Whole(|plan, take| plan.some_pulls(take)),
};

static BALANCES: Of<Balance> = Of {
    columns: &[
        &code("part", List::Parts, |_, day: &Balance| Some(day.part.at())),
        &date("date", |_, day: &Balance| Some(day.date)),
        &quantity("gross", |_, day: &Balance| day.gross),
        &quantity("receipts", |_, day: &Balance| day.receipts),
        &quantity("available", |_, day: &Balance| day.available),
        &quantity("planned_receipt", |_, day: &Balance| day.planned),
        &date("planned_release", |_, day: &Balance| day.release),
    ],
    walk: RowSource::ByPart(|supply| supply),
};

static CONSEQUENCES: Of<Consequence> = Of {
    columns: &[
        &code("unit", List::Units, |_, row: &Consequence| Some(row.owner.at())),
        &code("part", List::Parts, |_, row: &Consequence| Some(row.part.at())),
        &code("to", List::Places, |_, row: &Consequence| Some(row.to.at())),
        &quantity("qty", |_, row: &Consequence| row.qty),
        &moment("arrives", |_, row: &Consequence| Some(row.arrives)),
        &moment("there_at", |_, row: &Consequence| match row.there {
            There::At(at) => Some(at),
            There::Unknown => None,
        }),
        &word("word", &OUTCOME_WORDS, |_, row: &Consequence| outcome_place(row.outcome)),
        &whole("stop_minutes", |_, row: &Consequence| row.stop_minutes),
        &whole("adds_seconds", |plan, row: &Consequence| plan.adds_seconds(row)),
        &moment("saves_until", |_, row: &Consequence| row.saves_until),
        &code("hand_over_at", List::Places, |_, row: &Consequence| row.hand_over_at.map(DestId::at)),
    ],
    walk: RowSource::Whole(|plan, take| plan.some_consequences(|some| take(some))),
};

static OUTLOOK: Of<Expected> = Of {
    columns: &[
        &code("part", List::Parts, |_, row: &Expected| Some(row.part.at())),
        &date("from", |_, row: &Expected| Some(row.from)),
        &date("to", |_, row: &Expected| Some(row.to)),
        &quantity("mean", |_, row: &Expected| row.mean),
        &quantity("half", |_, row: &Expected| row.half),
        &quantity("nearly_all", |_, row: &Expected| row.nearly_all),
        &quantity("left", |_, row: &Expected| row.left),
        &quantity("to_order", |_, row: &Expected| row.to_order),
        &date("order_by", |_, row: &Expected| row.order_by),
    ],
    walk: RowSource::Whole(|plan, take| take(&foreseen(plan).rows[..])),
};
