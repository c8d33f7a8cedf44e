//! The arguments of the program as a whole.

use castmark::export::CAUTION;
use clap::{CommandFactory, Parser, Subcommand};

#[cfg(feature = "pdf")]
use super::apart;
#[cfg(feature = "record")]
use super::practise;
use super::{
    analyse, bank, batch, begin, check, completions, manual, mark, page, paper, problem, sources,
    work,
};

/// Draws problems on moulded dosage forms, works them and marks answers.
///
/// For teaching and self-assessment only, not for preparing or supplying medicines.
#[derive(Debug, Parser)]
#[command(name = "castmark", version, arg_required_else_help = false)]
#[command(disable_help_subcommand = false, subcommand_value_name = "COMMAND")]
pub(super) struct Arguments {
    /// What to do; without one, a few words on where to begin.
    #[command(subcommand)]
    pub command: Option<Command>,
}

/// What can be done. The words about a command stand with its arguments.
#[derive(Debug, Subcommand)]
pub(super) enum Command {
    Problem(problem::Arguments),
    Work(work::Arguments),
    Batch(Box<batch::Arguments>),
    Check(check::Arguments),
    #[cfg(feature = "record")]
    Practise(practise::Arguments),
    Page(page::Arguments),
    Paper(paper::Arguments),
    Mark(mark::Arguments),
    Analyse(analyse::Arguments),
    Begin(begin::Arguments),
    Bank(bank::Arguments),
    Sources(sources::Arguments),
    Completions(completions::Arguments),
    Manual(manual::Arguments),
    #[cfg(feature = "pdf")]
    #[command(hide = true)]
    SetMarkup(apart::Arguments),
}

/// The declaration of all arguments, for completions and manual pages.
pub(super) fn command() -> clap::Command {
    let cautioned = |command: clap::Command| {
        let examples = command.get_after_help().map(ToString::to_string).unwrap_or_default();
        command.after_help(format!("{examples}\n\n{CAUTION}"))
    };
    let with_values = ["problem", "work", "batch", "check", "practise", "page", "paper", "sources"];
    Arguments::command().mut_subcommands(|command| {
        if with_values.contains(&command.get_name()) { cautioned(command) } else { command }
    })
}
