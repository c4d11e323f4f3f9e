//! `lineward why`: why a unit needs a part, or does not.

use super::planned::{self, Planning};
use super::{Failure, as_json, find, tell};
use crate::base::{PartId, UnitId};
use crate::{report, why};
use std::path::PathBuf;

/// Tell why a unit needs a part, or why not: every path with its quantities and conditions, when, and what covers it.
///
/// Without --part it tells the unit as it is built: its options and where each comes from, its parts by station, its jobs.
#[derive(Debug, clap::Args)]
pub struct Args {
    /// The book: a workbook, or a folder with a file for each table
    book: PathBuf,
    /// The unit, as in the sequence
    #[arg(long)]
    unit: String,
    /// The part
    #[arg(long)]
    part: Option<String>,
    #[command(flatten)]
    planning: Planning,
    /// Print the facts as JSON, for programs
    #[arg(long)]
    json: bool,
}

/// Runs the command.
pub fn run(args: &Args) -> Result<(), Failure> {
    let (book, plant, mut findings) = planned::read(&args.book, args.planning.as_of.as_ref())?;
    let unit = UnitId::of(find(plant.units.iter().map(|unit| unit.code.as_str()), &args.unit, "unit")?);
    let parts = || plant.parts.iter().map(|part| part.code.as_str());
    let part = args.part.as_ref().map(|part| find(parts(), part, "part")).transpose()?.map(PartId::of);
    let request = args.planning.request();
    let plan = planned::plan(&plant, &request, &mut findings)?;
    let text = match part {
        Some(part) => {
            let facts = why::why(&plan, &book, unit, part);
            if args.json { as_json(&facts)? } else { report::why::text(&facts) }
        }
        None => {
            let facts = why::unit(&plan, &book, unit);
            if args.json { as_json(&facts)? } else { report::why::unit_text(&facts) }
        }
    };
    tell(&text)?;
    Ok(())
}
