//! `castmark manual`: the manual pages.

use clap::Args;

use super::arguments::command;
use super::outcome::{Failure, Outcome};
use super::terminal::Terminal;

/// Print the manual page of castmark or of one command.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
    castmark manual > castmark.1\n  \
    castmark manual problem > castmark-problem.1\n  \
    man ./castmark.1")]
pub(super) struct Arguments {
    /// The command whose page is wanted; without one, the page of castmark
    command: Option<String>,
}

/// Prints a manual page in the form the program `man` reads.
pub(super) fn run(arguments: &Arguments, terminal: &mut Terminal) -> Result<Outcome, Failure> {
    let mut whole = command();
    whole.build();
    let page = match &arguments.command {
        None => Some(whole.clone()),
        Some(name) => whole.find_subcommand(name).cloned(),
    };
    let Some(page) = page else {
        let known: Vec<&str> = whole.get_subcommands().map(clap::Command::get_name).collect();
        return Err(Failure::unusable(format!(
            "there is no command `{}`; the commands are {}",
            arguments.command.as_deref().unwrap_or_default(),
            known.join(", ")
        )));
    };
    let mut text = Vec::new();
    clap_mangen::Man::new(page).render(&mut text)?;
    terminal.print_bytes(&text)?;
    Ok(Outcome::Done)
}
