//! `castmark drill`: practice in the terminal.

mod place;
mod prompt;
mod next;
mod verdict;
mod telling;
mod sitting;
mod points;
mod aids;
mod keeping;
mod report;
mod listing;

use std::path::PathBuf;

use castmark::bank::Objective;
use castmark::practice::{RecordError, Settings, read_settings, subject_name};
use clap::Args;

use self::keeping::Keeping;
use self::next::Chooser;
use self::prompt::Prompt;
use self::sitting::Sitting;
use self::telling::Teller;
use super::banks::WhichBank;
use super::disk::read_text;
use super::outcome::{Failure, Outcome};
use super::parsers;
use super::problem::own_seed;
use super::terminal::Terminal;

/// The most problems that can be asked for at once.
const MOST: u64 = 10_000;

/// Practise at the prompt, with hints and feedback.
///
/// Without options, what comes next follows from your answers so far: what is due for review, then
/// what is begun, then what is new. A new subject begins with a worked example, of which less is
/// shown each time until the whole problem is yours. Every answer is kept on this machine and nowhere
/// else, and is safe before you are told how it stands: you can stop at any moment.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
    castmark drill\n  \
    castmark drill --objective displacement --count 5\n  \
    castmark drill --template base-one-drug --no-examples\n  \
    castmark drill --report --html progress.html\n  \
    castmark drill --export csv > answers.csv")]
pub(super) struct Arguments {
    /// Practise this objective only
    #[arg(long, value_name = "NAME", value_parser = parsers::objective())]
    objective: Option<Objective>,
    /// Practise this template only; `castmark bank list` shows them all
    #[arg(long, value_name = "ID", conflicts_with = "objective")]
    template: Option<String>,
    /// Stop after so many problems
    #[arg(long, short = 'n', value_name = "N", value_parser = parsers::number_up_to(MOST))]
    count: Option<u64>,
    /// A number of your choice; the same number and record give the same problems
    #[arg(long, value_name = "N", value_parser = parsers::seed())]
    seed: Option<u64>,
    /// Ask whole problems from the start, without worked examples
    #[arg(long)]
    no_examples: bool,
    /// A file with settings of practice: what counts as known, the days between reviews
    #[arg(long, value_name = "FILE")]
    settings: Option<PathBuf>,
    #[command(flatten)]
    keeping: Keeping,
    #[command(flatten)]
    bank: WhichBank,
}

/// Practises, reports, or does away with the record.
pub(super) fn run(arguments: &Arguments, terminal: &mut Terminal) -> Result<Outcome, Failure> {
    let settings = arguments.settings()?;
    let path = place::find(arguments.keeping.record())?;
    let about = |error: &RecordError| place::about(&path, error);
    if let Some(outcome) = arguments.keeping.without_bank(&path, terminal)? {
        return Ok(outcome);
    }
    let bank = arguments.bank.load(terminal)?;
    if let Some(outcome) = arguments.keeping.with_bank(&bank, &settings, &path, terminal)? {
        return Ok(outcome);
    }
    let seed = arguments.seed.map_or_else(own_seed, Ok)?;
    let record = place::open(&path)?;
    let last = record.last().map_err(|error| about(&error))?;
    if last.is_none() {
        terminal.note(format_args!("your answers are kept in `{}`", path.display()));
    }
    // With a seed of one's own the second day is not to bring the problems of the first.
    let answered = record.count().map_err(|error| about(&error))?;
    let last = last.map(|attempt| subject_name(&attempt.objective, &attempt.topic));
    let template = arguments.template.as_deref();
    let sitting = Sitting {
        chooser: Chooser::new(&bank, arguments.objective, template, (seed, answered), last)?,
        teller: Teller::new(terminal)?,
        prompt: Prompt::of_this_process(),
        bank: &bank,
        settings: &settings,
        record,
        terminal,
        examples: !arguments.no_examples,
        count: arguments.count,
        latest: None,
        about: &about,
    };
    sitting.run()
}

impl Arguments {
    /// The settings of the file, or the usual ones.
    fn settings(&self) -> Result<Settings, Failure> {
        let Some(path) = &self.settings else { return Ok(Settings::default()) };
        read_settings(&read_text(path)?).map_err(|problems| {
            let shown = path.display();
            let lines: Vec<String> =
                problems.iter().map(|problem| format!("`{shown}`: {problem}")).collect();
            Failure::unusable(lines.join("\n"))
        })
    }
}
