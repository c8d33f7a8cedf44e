//! The commands.
//!
//! One file per command, each with its arguments and what it does. This is the only part of
//! castmark that prints, reads files, the clock or the environment; everything that is worked out
//! is worked out in the library.
//!
//! In reading order: the [`Arguments`], what a command is given ([`Terminal`], files and banks),
//! what it can end in ([`Outcome`], [`Failure`]), then the commands themselves.

mod arguments;
mod clock;
mod parsers;
mod outcome;
mod terminal;
mod table;
mod disk;
mod workers;
mod formats;
mod layouts;
#[cfg(feature = "pdf")]
mod fonts;
#[cfg(feature = "pdf")]
mod apart;
mod banks;
mod choice;
mod watch;
mod printing;
mod problem;
mod work;
mod batch;
mod unquoted;
mod answers;
mod check;
#[cfg(feature = "record")]
mod practise;
mod page;
mod paper;
mod mark;
mod analyse;
mod begin;
mod bank;
mod sources;
mod completions;
mod manual;

use std::ffi::OsString;
use std::process::ExitCode;

use clap::FromArgMatches;

use arguments::{Arguments, Command, command};
use outcome::{Failure, Outcome};
use terminal::Terminal;

/// What `castmark` alone prints: where to begin.
const ORIENTATION: &str = "\
Castmark draws problems on moulded dosage forms, works them and marks answers.

Begin with one of these:
  castmark problem                      a small mixed sheet of questions
  castmark check CODE ANSWER            mark an answer to a problem of a sheet
  castmark practise                     practise, with hints and feedback
  castmark bank list                    what can be drawn
  castmark help problem                 what a command does, with examples

Every command explains itself: castmark help COMMAND.
";

/// Runs the program with the given arguments, the first of which is its own name.
///
/// Gives 0 when all went well, 1 when an answer was wrong or a check failed, 2 when what was asked
/// for could not be understood or read.
pub(crate) fn run(arguments: impl Iterator<Item = OsString>) -> ExitCode {
    let mut terminal = Terminal::of_this_process();
    let read = command()
        .term_width(terminal.width())
        .try_get_matches_from(check::with_negative_answers(arguments))
        .and_then(|matches| Arguments::from_arg_matches(&matches));
    let result = match read {
        Ok(arguments) => carry_out(arguments.command, &mut terminal),
        Err(error) => answer_clap(&error, &mut terminal),
    };
    let result = result.and_then(|outcome| {
        terminal.finish()?;
        Ok(outcome)
    });
    match result {
        Ok(outcome) => outcome.exit_code(),
        Err(failure) => {
            terminal.complain(&failure);
            failure.exit_code()
        }
    }
}

fn carry_out(command: Option<Command>, terminal: &mut Terminal) -> Result<Outcome, Failure> {
    match command {
        None => {
            terminal.print(ORIENTATION)?;
            Ok(Outcome::Done)
        }
        Some(Command::Problem(arguments)) => problem::run(&arguments, terminal),
        Some(Command::Work(arguments)) => work::run(&arguments, terminal),
        Some(Command::Batch(arguments)) => batch::run(&arguments, terminal),
        Some(Command::Check(arguments)) => check::run(&arguments, terminal),
        #[cfg(feature = "record")]
        Some(Command::Practise(arguments)) => practise::run(&arguments, terminal),
        Some(Command::Page(arguments)) => page::run(&arguments, terminal),
        Some(Command::Paper(arguments)) => paper::run(&arguments, terminal),
        Some(Command::Mark(arguments)) => mark::run(&arguments, terminal),
        Some(Command::Analyse(arguments)) => analyse::run(&arguments, terminal),
        Some(Command::Begin(arguments)) => begin::run(&arguments, terminal),
        Some(Command::Bank(arguments)) => bank::run(&arguments, terminal),
        Some(Command::Sources(arguments)) => sources::run(&arguments, terminal),
        Some(Command::Completions(arguments)) => completions::run(&arguments, terminal),
        Some(Command::Manual(arguments)) => manual::run(&arguments, terminal),
        #[cfg(feature = "pdf")]
        Some(Command::SetMarkup(arguments)) => apart::run(&arguments, terminal),
    }
}

/// Help and version go to standard output; a mistake in the arguments is a failure like any other.
fn answer_clap(error: &clap::Error, terminal: &mut Terminal) -> Result<Outcome, Failure> {
    let text = error.render();
    if error.use_stderr() {
        let text = text.to_string();
        let text = text.strip_prefix("error: ").unwrap_or(&text).trim_end();
        return Err(Failure::unusable(text));
    }
    let text = if terminal.colour() { text.ansi().to_string() } else { text.to_string() };
    terminal.print(&text)?;
    Ok(Outcome::Done)
}

#[cfg(test)]
mod tests {
    use super::command;

    #[test]
    fn the_arguments_are_declared_without_contradiction() {
        command().debug_assert();
    }

    #[test]
    fn every_command_says_what_it_is_for_and_shows_an_example() {
        for command in command().get_subcommands().filter(|command| !command.is_hide_set()) {
            let name = command.get_name();
            assert!(command.get_about().is_some(), "{name} does not say what it is for");
            let after = command.get_after_help().map(ToString::to_string).unwrap_or_default();
            assert!(after.contains("Example"), "{name} shows no example");
        }
    }
}
