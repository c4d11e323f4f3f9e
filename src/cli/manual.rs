//! `lineward manual`: the manual pages, one for the command and one for each of its subcommands.

use super::output::{Output, Over, Wanted};
use super::{Args as Words, Failure, tell};
use crate::base::Shown;
use clap::CommandFactory;
use std::path::{Path, PathBuf};

/// Write the manual pages to a folder.
///
/// One page for lineward (lineward.1) and one for each of its commands (lineward-plan.1 and so on). Read one with 'man -l'.
#[derive(Debug, clap::Args)]
pub struct Args {
    /// The folder to write to
    folder: PathBuf,
}

/// Runs the command.
pub fn run(args: &Args) -> Result<(), Failure> {
    let mut command = Words::command().disable_help_subcommand(true);
    // Gives the commands their whole names, such as lineward-plan.
    command.build();
    let source = concat!("lineward ", env!("CARGO_PKG_VERSION"));
    let page = |page: &clap::Command| clap_mangen::Man::new(page.clone()).source(source).manual("Lineward");
    let pages: Vec<clap_mangen::Man> = std::iter::once(&command).chain(command.get_subcommands()).map(page).collect();
    let names = pages.iter().map(|page| page.get_filename().into()).collect();
    let mut output =
        Output::to(Wanted { folder: &args.folder, names, gone: Vec::new(), over: Over::Pages, read: &[] })?;
    for page in &pages {
        output.add(Path::new(&page.get_filename()), |file| page.render(&mut *file))?;
    }
    output.finish()?;
    tell(&format!("written to {}\n", args.folder.shown()))?;
    Ok(())
}
