//! The tables of a plan of which something is compared as typed rows, wherever they come from.

use super::cells::{Cells, Columns, Wrong};
use super::code::{Code, Codes};
use crate::base::{Date, Moment, Quantity};
use crate::plan::Plan;
use crate::report::table::{Chunk, TABLES, Table};
use serde::Serialize;

/// The rows of a plan's tables, in their order.
#[derive(Debug, Default)]
pub struct PlanRows {
    /// Each unit.
    pub units: Vec<UnitRow>,
    /// What each unit needs.
    pub demands: Vec<DemandRow>,
    /// What covers it.
    pub pegs: Vec<PegRow>,
    /// The shops' jobs.
    pub jobs: Vec<JobRow>,
    /// What leaves the stores.
    pub pulls: Vec<PullRow>,
    /// Planned orders, from the balances of bought parts.
    pub orders: Vec<OrderRow>,
    /// What is expected past the sequence.
    pub outlook: Vec<ExpectedRow>,
}

/// A unit.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[expect(missing_docs, reason = "the columns of the table")]
pub struct UnitRow {
    pub unit: Code,
    pub line: Code,
    pub seq: Quantity,
    pub floorplan: Code,
    pub options: Vec<Code>,
    pub enters: Option<Moment>,
    pub leaves: Option<Moment>,
    pub status: Code,
    pub first_part: Code,
    pub clear_at: Option<Moment>,
}

/// A demand.
#[derive(Clone, Debug)]
#[expect(missing_docs, reason = "the columns of the table")]
pub struct DemandRow {
    pub unit: Code,
    pub part: Code,
    pub to: Code,
    pub need: Moment,
    pub qty: Quantity,
    pub uom: Code,
}

/// A piece of a demand and what covers it.
#[derive(Clone, Debug)]
#[expect(missing_docs, reason = "the columns of the table")]
pub struct PegRow {
    pub unit: Code,
    pub part: Code,
    pub to: Code,
    pub need: Moment,
    pub qty: Quantity,
    pub cover: Code,
    pub source: Code,
    pub available: Option<Moment>,
    pub late_minutes: i64,
}

/// A job of a shop.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[expect(missing_docs, reason = "the columns of the table")]
pub struct JobRow {
    pub job: Code,
    pub shop: Code,
    pub crew: i64,
    pub unit: Code,
    pub part: Code,
    pub to: Code,
    pub qty: Quantity,
    pub due: Moment,
    pub start: Moment,
    pub finish: Moment,
    pub late_minutes: i64,
    pub material: Code,
}

/// Material that leaves the stores.
#[derive(Clone, Debug)]
#[expect(missing_docs, reason = "the columns of the table")]
pub struct PullRow {
    pub wave: Moment,
    pub pick_start: Moment,
    pub location: Code,
    pub part: Code,
    pub description: Code,
    pub qty: Quantity,
    pub uom: Code,
    pub to: Code,
    pub unit: Code,
    pub issue: Code,
    pub need: Moment,
    pub status: Code,
}

impl PullRow {
    /// Whether it is brought in bulk.
    pub fn bulk(&self) -> bool {
        self.issue.text() == "bulk"
    }
}

/// A planned order.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[expect(missing_docs, reason = "the columns of the table")]
pub struct OrderRow {
    pub part: Code,
    pub date: Date,
    pub qty: Quantity,
    pub release: Option<Date>,
}

/// What is expected of a part in a period past the sequence.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[expect(missing_docs, reason = "the columns of the table")]
pub struct ExpectedRow {
    pub part: Code,
    pub from: Date,
    pub to: Date,
    pub nearly_all: Quantity,
    pub to_order: Quantity,
    pub order_by: Option<Date>,
}

/// The tables of which something is compared.
const READ: [&str; 7] = ["units", "demands", "pegs", "jobs", "pulls", "balances", "outlook"];

/// Whether a plan may be without a table: earlier versions wrote none of it.
pub fn may_be_missing(table: &Table) -> bool {
    table.name == "outlook"
}

/// Their definitions.
pub fn tables_read() -> impl Iterator<Item = &'static Table> {
    TABLES.iter().filter(|table| READ.contains(&table.name))
}

impl PlanRows {
    /// The rows of a plan in memory: those its tables would hold.
    ///
    /// # Errors
    /// Never, as long as the tables are what this file takes them for.
    pub fn of_plan(plan: &Plan<'_>, codes: &mut Codes) -> Result<Self, Wrong> {
        let mut rows = Self::default();
        let mut outcome = Ok(());
        for table in tables_read() {
            let columns = Columns::of_plan(table, plan, codes);
            table.each_chunk(plan, &mut |chunk| {
                let mut numbers = 0..chunk.rows;
                if outcome.is_ok() {
                    outcome = numbers.try_for_each(|row| rows.add(&columns, chunk, row));
                }
            });
        }
        outcome.map(|()| rows)
    }

    /// Adds a row of a table.
    ///
    /// # Errors
    /// Where a value that is needed is missing.
    pub fn add(&mut self, columns: &Columns, chunk: &Chunk, row: usize) -> Result<(), Wrong> {
        let mut cells = Cells::of(columns, chunk, row);
        match columns.table {
            "units" => self.units.push(unit(&mut cells)?),
            "demands" => self.demands.push(demand(&mut cells)?),
            "pegs" => self.pegs.push(peg(&mut cells)?),
            "jobs" => self.jobs.push(job(&mut cells)?),
            "pulls" => self.pulls.push(pull(&mut cells)?),
            "balances" => self.orders.extend(order(&mut cells)?),
            "outlook" => self.outlook.push(expected(&mut cells)?),
            _ => {}
        }
        Ok(())
    }
}

fn unit(cells: &mut Cells<'_>) -> Result<UnitRow, Wrong> {
    Ok(UnitRow {
        unit: cells.code("unit")?,
        line: cells.code("line")?,
        seq: cells.quantity("seq")?,
        floorplan: cells.code("floorplan")?,
        options: cells.words("options")?,
        enters: cells.time("enters")?,
        leaves: cells.time("leaves")?,
        status: cells.code("status")?,
        first_part: cells.code("first_part")?,
        clear_at: cells.time("clear_at")?,
    })
}

fn demand(cells: &mut Cells<'_>) -> Result<DemandRow, Wrong> {
    Ok(DemandRow {
        unit: cells.code("unit")?,
        part: cells.code("part")?,
        to: cells.code("to")?,
        need: cells.moment("need")?,
        qty: cells.quantity("qty")?,
        uom: cells.code("uom")?,
    })
}

fn peg(cells: &mut Cells<'_>) -> Result<PegRow, Wrong> {
    Ok(PegRow {
        unit: cells.code("unit")?,
        part: cells.code("part")?,
        to: cells.code("to")?,
        need: cells.moment("need")?,
        qty: cells.quantity("qty")?,
        cover: cells.code("cover")?,
        source: cells.code("source")?,
        available: cells.time("available")?,
        late_minutes: cells.whole("late_minutes")?,
    })
}

fn job(cells: &mut Cells<'_>) -> Result<JobRow, Wrong> {
    Ok(JobRow {
        job: cells.code("job")?,
        shop: cells.code("shop")?,
        crew: cells.whole("crew")?,
        unit: cells.code("unit")?,
        part: cells.code("part")?,
        to: cells.code("to")?,
        qty: cells.quantity("qty")?,
        due: cells.moment("due")?,
        start: cells.moment("start")?,
        finish: cells.moment("finish")?,
        late_minutes: cells.whole("late_minutes")?,
        material: cells.code("material")?,
    })
}

fn pull(cells: &mut Cells<'_>) -> Result<PullRow, Wrong> {
    Ok(PullRow {
        wave: cells.moment("wave")?,
        pick_start: cells.moment("pick_start")?,
        location: cells.code("location")?,
        part: cells.code("part")?,
        description: cells.code("description")?,
        qty: cells.quantity("qty")?,
        uom: cells.code("uom")?,
        to: cells.code("to")?,
        unit: cells.code("unit")?,
        issue: cells.code("issue")?,
        need: cells.moment("need")?,
        status: cells.code("status")?,
    })
}

/// A day on which something is ordered; other days say nothing that the demands and pegs don't.
fn order(cells: &mut Cells<'_>) -> Result<Option<OrderRow>, Wrong> {
    let row = OrderRow {
        part: cells.code("part")?,
        date: cells.date("date")?,
        qty: cells.quantity("planned_receipt")?,
        release: cells.day("planned_release")?,
    };
    Ok(Some(row).filter(|row| row.qty.is_positive()))
}

fn expected(cells: &mut Cells<'_>) -> Result<ExpectedRow, Wrong> {
    Ok(ExpectedRow {
        part: cells.code("part")?,
        from: cells.date("from")?,
        to: cells.date("to")?,
        nearly_all: cells.quantity("nearly_all")?,
        to_order: cells.quantity("to_order")?,
        order_by: cells.day("order_by")?,
    })
}
