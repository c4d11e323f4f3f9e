//! `lineward weigh`: bills against the scale.

use super::planned::{self, Planning};
use super::{Failure, as_json, output, tell};
use crate::base::Shown;
use crate::report;
use crate::weigh::Weights;
use std::path::PathBuf;

/// Compare what finished units weigh with their bills: which are odd and what could explain it, and what the scale should show for
/// the next units.
///
/// The weights stand in the table Scale. A sum of part weights is a check of a bill: the scale and the certification label govern.
#[derive(Debug, clap::Args)]
pub struct Args {
    /// The book: a workbook, or a folder with a file for each table
    book: PathBuf,
    #[command(flatten)]
    planning: Planning,
    /// Write all of it to this new workbook (.xlsx), with bill weights by position and unit
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
    /// Print all of it as JSON, for programs
    #[arg(long)]
    json: bool,
}

/// Runs the command.
pub fn run(args: &Args) -> Result<(), Failure> {
    args.out.as_deref().map_or(Ok(()), output::may_write)?;
    let (_, plant, mut findings) = planned::read(&args.book, args.planning.as_of.as_ref())?;
    let plan = planned::plan(&plant, &args.planning.request(), &mut findings)?;
    let weights = Weights::of(&plan);
    let mut text = match args.json {
        true => as_json(&report::weight_facts::facts(&plan, &weights))?,
        false => report::weights::text(&plan, &weights),
    };
    if let Some(out) = &args.out {
        output::write_new(out, &report::weighed::workbook(&plan, &weights))?;
        if !args.json {
            text += &format!("written to {}\n", out.shown());
        }
    }
    tell(&text)
}
