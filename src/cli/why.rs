//! `lineward why`: why a unit needs a part, or does not.

use super::planned::{self, Planning};
use super::{Failure, as_json, find, output, tell};
use crate::base::{FloorplanId, LineId, PartId, Quantity, Shown, UnitId, fold};
use crate::book::{Book, Table};
use crate::check::Unit;
use crate::plan::Plan;
use crate::trial::{self, Act, Edit, WhichRows};
use crate::weigh::{BillWeight, Bills};
use crate::{report, why};
use serde::Serialize;
use std::path::{Path, PathBuf};

/// Tell why a unit needs a part, or why not: every path with its quantities and conditions, when, and what covers it.
///
/// Without --part it tells the unit as it is built: its options and where each comes from, its parts by station, its jobs; with --out
/// it writes that as a sheet, with weights, for the folder that goes with the unit.
#[derive(Debug, clap::Args)]
pub struct Args {
    /// The book: a workbook, or a folder with a file for each table
    book: PathBuf,
    /// The unit, as in the sequence
    #[arg(long, required_unless_present = "order", conflicts_with = "order")]
    unit: Option<String>,
    /// An order that nobody has placed: a floorplan, a colon, and what stands in the column options, such as 'PLOVER 21: AC -AWN'
    #[arg(long)]
    order: Option<String>,
    /// The part
    #[arg(long)]
    part: Option<String>,
    #[command(flatten)]
    planning: Planning,
    /// Write the unit as it is built to this new workbook (.xlsx): options, parts by position, what they weigh by the book
    #[arg(long, value_name = "FILE", conflicts_with = "part")]
    out: Option<PathBuf>,
    /// Print the facts as JSON, for programs
    #[arg(long)]
    json: bool,
}

/// The book, and the unit that is asked about; an order that nobody has placed stands behind all others of its line.
fn asked(args: &Args) -> Result<(Book, String), Failure> {
    let book = planned::open(&args.book)?;
    let Some(order) = &args.order else { return Ok((book, args.unit.clone().unwrap_or_default())) };
    let (floorplan, options) = order.split_once(':').unwrap_or((order, ""));
    let (plant, _) = planned::checked(&book, args.planning.as_of.as_ref())?;
    let floorplan = find(plant.floorplans.iter().map(|plan| plan.code.as_str()), floorplan.trim(), "floorplan")?;
    let alike = |unit: &&Unit| unit.floorplan == Ok(FloorplanId::of(floorplan));
    let like = plant.units.iter().rev().find(alike).map_or(LineId(0), |unit| unit.line);
    let last = plant.units.iter().filter(|unit| unit.line == like).map(|unit| unit.seq).max().unwrap_or_default();
    let taken = |code: &str| plant.units.iter().any(|unit| fold(&unit.code) == code);
    let code =
        ["this order", "this order again"].into_iter().find(|code| !taken(code)).unwrap_or("this one order").to_owned();
    let columns = Table::Sequence.spec().columns().enumerate();
    let cells = columns.filter_map(|(i, column)| {
        let value = match column {
            "line" => plant.lines[like.at()].code.clone(),
            "seq" => (last + Quantity::whole(1)).to_string(),
            "unit" => code.clone(),
            "floorplan" => plant.floorplans[floorplan].code.clone(),
            "options" => options.trim().to_owned(),
            _ => return None,
        };
        Some((i, value))
    });
    let edit = Edit {
        act: Act::Add,
        table: Table::Sequence.spec(),
        rows: WhichRows::One(Vec::new()),
        cells: cells.filter(|(_, value)| !value.is_empty()).collect(),
        text: order.clone(),
    };
    let (book, _) = trial::apply(&book, &[edit]).map_err(Failure::Words)?;
    Ok((book, code))
}

/// What is said before all else of an order that nobody has placed.
fn nobodys(args: &Args, line: &str) -> String {
    let Some(order) = &args.order else { return String::new() };
    format!(
        "Nobody has placed this order: {}. It is planned behind all others of line {line}; its row of the sequence is in no \
         file, and what it lacks may be bought until then.\n\n",
        order.trim()
    )
}

/// An order that nobody has placed, as facts.
#[derive(Serialize)]
struct OfOrder<'a, T> {
    /// The order as it was given.
    order: &'a str,
    /// What its bought parts weigh in kilograms by the book; none where the order is wrong.
    kilograms: Option<String>,
    /// How many of them have no weight.
    weights_not_known: Option<usize>,
    /// What is told of any unit.
    #[serde(flatten)]
    facts: T,
}

/// Facts as JSON; those of an order that nobody has placed with what it weighs.
fn facts_as_json(args: &Args, plan: &Plan<'_>, unit: UnitId, facts: impl Serialize) -> Result<String, Failure> {
    let Some(order) = &args.order else { return as_json(&facts) };
    let weight = bill_weight(plan, unit);
    let (kilograms, weights_not_known) =
        weight.map(|weight| (weight.kilograms.to_string(), weight.unknown.len())).unzip();
    as_json(&OfOrder { order: order.trim(), kilograms, weights_not_known, facts })
}

fn bill_weight(plan: &Plan<'_>, unit: UnitId) -> Option<BillWeight> {
    Bills::of(plan.plant, &plan.pace).weight(unit)
}

/// What the bought parts of an order weigh that nobody has placed.
fn weight(args: &Args, plan: &Plan<'_>, unit: UnitId) -> String {
    let Some(weight) = args.order.as_ref().and_then(|_| bill_weight(plan, unit)) else {
        return String::new();
    };
    let unknown = match weight.unknown.len() {
        0 => String::new(),
        1 => "; one part has no weight".to_owned(),
        n => format!("; {n} parts have no weight"),
    };
    let governs = "The scale and the certification label govern.";
    format!("\nIts bought parts weigh {} kg by the book{unknown}. {governs}\n", weight.kilograms)
}

/// Runs the command.
pub fn run(args: &Args) -> Result<(), Failure> {
    args.out.as_deref().map_or(Ok(()), output::may_write)?;
    let (book, code) = asked(args)?;
    let (plant, mut findings) = planned::checked(&book, args.planning.as_of.as_ref())?;
    let unit = UnitId::of(find(plant.units.iter().map(|unit| unit.code.as_str()), &code, "unit")?);
    let parts = || plant.parts.iter().map(|part| part.code.as_str());
    let part = args.part.as_ref().map(|part| find(parts(), part, "part")).transpose()?.map(PartId::of);
    let request = args.planning.request();
    let plan = planned::plan(&plant, &request, &mut findings)?;
    let line = &plant.lines[plant.units[unit.at()].line.at()].code;
    let text = match part {
        Some(part) => {
            let facts = why::why(&plan, &book, unit, part);
            if args.json {
                facts_as_json(args, &plan, unit, facts)?
            } else {
                nobodys(args, line) + &report::why::text(&facts)
            }
        }
        None => {
            let facts = why::unit(&plan, &book, unit);
            if args.json {
                facts_as_json(args, &plan, unit, facts)?
            } else {
                nobodys(args, line) + &report::why::unit_text(&facts) + &weight(args, &plan, unit)
            }
        }
    };
    let written = match &args.out {
        Some(out) => as_built(&plan, unit, out)?,
        None => String::new(),
    };
    // What programs read stays as it is.
    tell(&if args.json { text } else { text + &written })
}

/// Writes the sheet for the folder that goes with a unit.
fn as_built(plan: &Plan<'_>, unit: UnitId, out: &Path) -> Result<String, Failure> {
    match report::as_built::workbook(plan, unit) {
        Some(workbook) => {
            output::write_new(out, &workbook)?;
            Ok(format!("\nwritten to {}\n", out.shown()))
        }
        None => Err(Failure::Words("the order of this unit is wrong: how it is built is not known".to_owned())),
    }
}
