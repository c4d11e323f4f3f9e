//! The command: reads its words, runs, and gives the exit status.

use std::process::ExitCode;

/// Where all memory comes from.
#[global_allocator]
static MEMORY: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() -> ExitCode {
    lineward::cli::run_words(std::env::args_os())
}
