//! `castmark completions`: what a shell needs to complete commands.

use clap::Args;
use clap_complete::Shell;

use super::arguments::command;
use super::outcome::{Failure, Outcome};
use super::terminal::Terminal;

/// Print what a shell needs to complete the commands of castmark.
#[derive(Debug, Args)]
#[command(after_help = "Example, for bash:\n  \
    castmark completions bash > ~/.local/share/bash-completion/completions/castmark")]
pub(super) struct Arguments {
    /// The shell you use
    shell: Shell,
}

/// Prints the completions of a shell.
pub(super) fn run(arguments: &Arguments, terminal: &mut Terminal) -> Result<Outcome, Failure> {
    let mut script = Vec::new();
    clap_complete::generate(arguments.shell, &mut command(), "castmark", &mut script);
    terminal.print_bytes(&script)?;
    Ok(Outcome::Done)
}
