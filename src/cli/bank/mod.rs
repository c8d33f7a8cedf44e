//! `castmark bank`: the templates that problems are drawn from.

mod list;
mod show;
mod check;
mod clues;
mod giveaways;
mod proof;
mod ranges;
mod shares;

use clap::{Args, Subcommand};

use super::outcome::{Failure, Outcome};
use super::terminal::Terminal;

/// List, show and check the templates that problems are drawn from.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
    castmark bank list --objective calibration\n  \
    castmark bank show base-one-drug\n  \
    castmark bank check --bank my-templates")]
pub(super) struct Arguments {
    /// What to do with the bank; without one, its templates are listed
    #[command(subcommand)]
    command: Option<Command>,
}

/// What can be done with a bank.
#[derive(Debug, Subcommand)]
enum Command {
    List(list::Arguments),
    Show(show::Arguments),
    Check(check::Arguments),
}

/// Carries out one of the commands.
pub(super) fn run(arguments: &Arguments, terminal: &mut Terminal) -> Result<Outcome, Failure> {
    match &arguments.command {
        None => list::run(&list::Arguments::default(), terminal),
        Some(Command::List(arguments)) => list::run(arguments, terminal),
        Some(Command::Show(arguments)) => show::run(arguments, terminal),
        Some(Command::Check(arguments)) => check::run(arguments, terminal),
    }
}
