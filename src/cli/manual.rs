//! `lineward manual`: the manual pages, one for the command and one for each of its subcommands.

use super::output::Output;
use super::{Args as Words, Failure, tell};
use clap::CommandFactory;
use std::path::PathBuf;

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
    let mut output = Output::to(&args.folder)?;
    let mut command = Words::command().disable_help_subcommand(true);
    // Gives the commands their whole names, such as lineward-plan.
    command.build();
    for page in std::iter::once(&command).chain(command.get_subcommands()) {
        let source = concat!("lineward ", env!("CARGO_PKG_VERSION"));
        let manual = clap_mangen::Man::new(page.clone()).source(source).manual("Lineward");
        output.add(&manual.get_filename(), |file| manual.render(&mut *file))?;
    }
    output.finish()?;
    tell(&mut std::io::stdout(), &format!("written to {}\n", args.folder.display()));
    Ok(())
}
