//! `lineward completions`: what a shell needs to complete the command's words.

use super::{Args as Words, Failure, tell};
use clap::CommandFactory;
use clap_complete::Shell;

/// Print what a shell needs to complete this command's words.
///
/// For bash: lineward completions bash > ~/.local/share/bash-completion/completions/lineward
#[derive(Debug, clap::Args)]
pub struct Args {
    /// The shell
    #[arg(value_enum)]
    shell: Shell,
}

/// Runs the command.
pub fn run(args: &Args) -> Result<(), Failure> {
    let mut script = Vec::new();
    clap_complete::generate(args.shell, &mut Words::command(), "lineward", &mut script);
    tell(&String::from_utf8_lossy(&script))?;
    Ok(())
}
