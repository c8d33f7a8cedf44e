//! `castmark practise`: practice at the prompt.

mod record_path;
mod words;
mod prompt;
mod telling;
mod face;
mod keeping;
mod report;
mod listing;

use std::path::PathBuf;

use castmark::bank::{Bank, Objective};
use castmark::formula::nearest;
use castmark::practice::{Record, RecordError, Session, Settings, Wish, read_settings};
use clap::Args;

use self::face::Face;
use self::keeping::Keeping;
use self::prompt::Prompt;
use self::telling::Teller;
use super::banks::{self, WhichBank};
use super::check::read_rules;
use super::disk::read_text;
use super::outcome::{Failure, Outcome};
use super::parsers;
use super::problem::own_seed;
use super::terminal::Terminal;

/// The most problems that can be asked for at once.
const MOST: u64 = 10_000;

/// Practise at the prompt, with hints and feedback.
///
/// What comes next follows from your answers so far: reviews that are due, then topics you have
/// begun, and every few problems a new topic. A new kind of calculation begins with a worked example,
/// of which less is shown each time until the whole problem is yours. Every answer is kept on this
/// machine only, and is saved before you see the verdict, so you can stop at any time.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
    castmark practise\n  \
    castmark practise --exam 2026-12-14\n  \
    castmark practise --topic one-drug --count 5\n  \
    castmark practise --report --html progress.html\n  \
    castmark practise --export csv > answers.csv")]
pub(super) struct Arguments {
    /// Practise this objective only
    #[arg(long, value_name = "NAME", value_parser = parsers::objective())]
    objective: Option<Objective>,
    /// Practise this topic only; `castmark bank list --topics` shows them all
    #[arg(long, value_name = "ID")]
    topic: Option<String>,
    /// Practise this template only; `castmark bank list` shows them all
    #[arg(long, value_name = "ID")]
    template: Option<String>,
    /// Plan for an exam on this day, such as 2026-12-14
    #[arg(long, value_name = "DATE", value_parser = parsers::day)]
    exam: Option<i64>,
    /// Stop after so many problems
    #[arg(long, short = 'n', value_name = "N", value_parser = parsers::number_up_to(MOST))]
    count: Option<u64>,
    /// A number of your choice; the same number and record give the same problems
    #[arg(long, value_name = "N", value_parser = parsers::seed())]
    seed: Option<u64>,
    /// Ask whole problems from the start, without worked examples
    #[arg(long)]
    no_examples: bool,
    /// File with settings of practice, such as the days between reviews
    #[arg(long, value_name = "FILE")]
    settings: Option<PathBuf>,
    /// A file with rules of marking of your own
    #[arg(long, value_name = "FILE")]
    rules: Option<PathBuf>,
    #[command(flatten)]
    keeping: Keeping,
    #[command(flatten)]
    bank: WhichBank,
}

/// Practises, reports, or deletes the record.
pub(super) fn run(arguments: &Arguments, terminal: &mut Terminal) -> Result<Outcome, Failure> {
    let settings = arguments.settings()?;
    let rules = arguments.rules.as_ref().map(|path| read_rules(path, terminal)).transpose()?;
    let rules = rules.unwrap_or_default();
    let path = record_path::find(arguments.keeping.record())?;
    let about = |error: &RecordError| record_path::about(&path, error);
    if let Some(outcome) = arguments.keeping.without_bank(&path, terminal)? {
        return Ok(outcome);
    }
    let bank = arguments.bank.load(terminal)?;
    if let Some(outcome) =
        arguments.keeping.with_bank(&bank, &settings, &path, arguments.exam, terminal)?
    {
        return Ok(outcome);
    }
    // What is wished for is checked before a record is made.
    arguments.check_wish(&bank)?;
    let wish = Wish {
        objective: arguments.objective.map(|objective| objective.name().to_owned()),
        topic: arguments.topic.clone(),
        template: arguments.template.clone(),
        whole: arguments.no_examples,
        exam: arguments.exam,
        seed: arguments.seed.map_or_else(own_seed, Ok)?,
    };
    let mut record = record_path::open(&path)?;
    if record.count().map_err(|error| about(&error))? == 0 {
        terminal.note(format_args!("your answers are kept in `{}`", path.display()));
    }
    let face = Face {
        bank: &bank,
        settings: &settings,
        rules: &rules,
        record: &mut record,
        session: Session::new(wish),
        teller: Teller::new()?,
        prompt: Prompt::of_this_process(terminal),
        terminal,
        count: arguments.count,
        points: 0,
        printed: 0,
        about: &about,
    };
    face.run()
}

impl Arguments {
    /// Checks that the bank has what is wished for.
    fn check_wish(&self, bank: &Bank) -> Result<(), Failure> {
        if let Some(id) = &self.template {
            banks::template(bank, id)?;
        }
        if let Some(id) = self.topic.as_ref().filter(|id| bank.topic(id).is_none()) {
            let known = bank.topics().iter().map(|topic| topic.id.as_str());
            let what_to_do = match nearest(id, known) {
                Some(near) => format!("did you mean `{near}`?"),
                None => "`castmark bank list --topics` shows all of them".to_owned(),
            };
            return Err(Failure::unusable(format!("there is no topic `{id}`; {what_to_do}")));
        }
        Ok(())
    }

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
