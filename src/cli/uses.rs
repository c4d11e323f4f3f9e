//! `lineward uses`: where a part is used, by whom, and how far it lasts.

use super::planned::{self, Planning};
use super::{Failure, as_json, find, tell};
use crate::base::PartId;
use crate::{report, uses};
use std::path::PathBuf;

/// Tell where a part is used: every bill line, floorplan, station and unit ahead, and how far what is on hand lasts.
#[derive(Debug, clap::Args)]
pub struct Args {
    /// The book: a workbook, or a folder with a file for each table
    book: PathBuf,
    /// The part
    #[arg(long)]
    part: String,
    #[command(flatten)]
    planning: Planning,
    /// Print the facts as JSON, for programs
    #[arg(long)]
    json: bool,
}

/// Runs the command.
pub fn run(args: &Args) -> Result<(), Failure> {
    let (book, plant, mut findings) = planned::read(&args.book, args.planning.as_of.as_ref())?;
    let part = PartId::of(find(plant.parts.iter().map(|part| part.code.as_str()), &args.part, "part")?);
    let request = args.planning.request();
    let plan = planned::plan(&plant, &request, &mut findings)?;
    let facts = uses::uses(&plan, &book, part);
    let text = if args.json { as_json(&facts)? } else { report::uses::text(&facts) };
    tell(&text)?;
    Ok(())
}
