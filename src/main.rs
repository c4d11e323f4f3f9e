//! The command: reads its words, runs, and gives the exit status.

use clap::Parser;
use std::process::ExitCode;

fn main() -> ExitCode {
    lineward::cli::run(lineward::cli::Args::parse())
}
