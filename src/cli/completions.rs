//! `castmark completions`: what a shell needs to complete commands.

use castmark::bank::{Bank, Objective};
use clap::builder::PossibleValuesParser;
use clap::{Args, Command};
use clap_complete::Shell;

use super::arguments::command;
use super::outcome::{Failure, Outcome};
use super::terminal::Terminal;

/// Print what a shell needs to complete the commands of castmark.
///
/// Templates, topics and objectives are completed as well as options; the templates are those that
/// castmark brings along.
#[derive(Debug, Args)]
#[command(after_help = "Example, for bash:\n  \
    castmark completions bash > ~/.local/share/bash-completion/completions/castmark")]
pub(super) struct Arguments {
    /// The shell you use
    shell: Shell,
}

/// Prints the completions of a shell.
pub(super) fn run(arguments: &Arguments, terminal: &mut Terminal) -> Result<Outcome, Failure> {
    let mut whole = with_names(command(), &names()?);
    let mut script = Vec::new();
    clap_complete::generate(arguments.shell, &mut whole, "castmark", &mut script);
    terminal.print_bytes(&script)?;
    Ok(Outcome::Done)
}

/// The names that an option of each of these names may have.
fn names() -> Result<[(&'static str, Vec<String>); 3], Failure> {
    let bank = Bank::bundled().map_err(|report| Failure::unusable(report.plain()))?;
    let templates = bank.headings().map(|heading| heading.id.clone()).collect();
    let topics = bank.topics().iter().map(|topic| topic.id.clone()).collect();
    let objectives = Objective::ALL.iter().map(|it| it.name().to_owned()).collect();
    Ok([("template", templates), ("topic", topics), ("objective", objectives)])
}

/// The command and all below it, the options of these names with what they may be.
fn with_names(command: Command, names: &[(&'static str, Vec<String>)]) -> Command {
    let command = names.iter().fold(command, |command, (option, values)| {
        // Whoever changes a place among the arguments moves it to their end.
        let has = command.get_opts().any(|argument| argument.get_id() == option);
        if !has {
            return command;
        }
        let values = PossibleValuesParser::new(values.iter().cloned());
        command.mut_arg(option, |argument| argument.value_parser(values))
    });
    command.mut_subcommands(|command| with_names(command, names))
}
