//! The command: reads its words, runs, and gives the exit status.

use std::process::ExitCode;

fn main() -> ExitCode {
    lineward::cli::run_words(std::env::args_os())
}
