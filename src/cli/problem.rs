//! `castmark problem`: drawn problems as a sheet.

use castmark::bank::{Bank, Objective};
use castmark::draw::Code;
use castmark::export::{Contents, Sheet};
use castmark::problem::{Problem, practice_title};
use clap::{Args, ValueEnum};
use rand::TryRng;
use rand::rngs::SysRng;

use super::banks::WhichBank;
use super::choice::{self, Wish};
use super::disk::Readers;
use super::outcome::{Failure, Outcome};
use super::parsers;
use super::printing::Printing;
use super::terminal::Terminal;

/// The most problems on one sheet.
const MOST: u64 = 500;

/// A seed that nobody asked for is short enough to be copied by hand.
const LARGEST_OWN_SEED: u64 = 1_000_000_000;

/// Draw problems and print them as a sheet of questions; key and worked solutions on request.
///
/// Without options, one problem of each objective is drawn. Every problem has a code, from which the
/// same problem can be printed again and an answer to it can be marked.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
    castmark problem\n  \
    castmark problem --objective base-quantity --count 5 --output practice.html\n  \
    castmark problem --objective base-quantity --seed 2026 --show key,solutions\n  \
    castmark problem --template capacity-from-total --seed 7\n  \
    castmark problem --template base-one-drug --count 20 --output pool.qti3.zip\n  \
    castmark problem --code capacity-from-total.aaaa-aaaaa --show solutions")]
pub(super) struct Arguments {
    /// Draw from this template only; `castmark bank list` shows them all
    #[arg(long, value_name = "ID", conflicts_with_all = ["objective", "level"])]
    template: Option<String>,
    /// Draw from the templates of this objective only
    #[arg(long, value_name = "NAME", value_parser = parsers::objective())]
    objective: Option<Objective>,
    /// Draw from the templates of this level only: 1 for one idea, 3 for several
    #[arg(long, value_name = "N", value_parser = parsers::level())]
    level: Option<u8>,
    /// How many problems
    #[arg(long, short = 'n', value_name = "N", value_parser = parsers::number_up_to(MOST))]
    count: Option<u64>,
    /// A number of your choice; the same number gives the same sheet again
    #[arg(long, value_name = "N", value_parser = parsers::seed())]
    seed: Option<u64>,
    /// Print the problems of these codes again
    #[arg(long, value_name = "CODE", num_args = 1..)]
    #[arg(conflicts_with_all = ["template", "objective", "level", "count", "seed"])]
    code: Vec<String>,
    /// What to print, with commas between; by default the questions, and in a package everything
    #[arg(long, value_name = "WHAT", value_delimiter = ',', value_enum)]
    show: Vec<Show>,
    #[command(flatten)]
    printing: Printing,
    #[command(flatten)]
    bank: WhichBank,
}

/// One thing that can be printed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum Show {
    /// The questions, with room to answer
    Questions,
    /// The answers and what is accepted
    Key,
    /// The working step by step, and common slips
    Solutions,
}

/// Draws and prints.
pub(super) fn run(arguments: &Arguments, terminal: &mut Terminal) -> Result<Outcome, Failure> {
    let usual = arguments.printing.usual_contents()?;
    let contents = if arguments.show.is_empty() { usual } else { contents(&arguments.show) };
    let answers = contents.key || contents.solutions;
    let readers = if answers { Readers::OwnerOnly } else { Readers::Usual };
    let press = arguments.printing.press(readers, terminal)?;
    let bank = arguments.bank.load(terminal)?;
    let (problems, seed) = if arguments.code.is_empty() {
        let seed = arguments.seed.map_or_else(own_seed, Ok)?;
        let problems = choice::draw(&bank, &arguments.wish(), seed)?;
        (problems, arguments.seed.is_none().then_some(seed))
    } else {
        (rebuild(&bank, &arguments.code)?, None)
    };
    let sheet = Sheet::of(&bank, problems.iter().cloned(), practice_title(&problems), contents);
    press.print(&sheet.map_err(Failure::unusable)?, terminal)?;
    if let Some(seed) = seed {
        terminal.finish()?;
        terminal.note(format_args!("drawn with --seed {seed}, which gives the same sheet again"));
    }
    Ok(Outcome::Done)
}

impl Arguments {
    fn wish(&self) -> Wish {
        Wish {
            template: self.template.clone(),
            objective: self.objective,
            level: self.level,
            count: self.count.and_then(|count| usize::try_from(count).ok()),
        }
    }
}

/// The problems of codes; every code that cannot be used is named.
fn rebuild(bank: &Bank, codes: &[String]) -> Result<Vec<Problem>, Failure> {
    let mut problems = Vec::with_capacity(codes.len());
    let mut refused = Vec::new();
    for code in codes {
        match read_code(bank, code) {
            Ok(problem) => problems.push(problem),
            Err(Failure::Unusable(why)) => refused.push(why),
            Err(other) => return Err(other),
        }
    }
    if refused.is_empty() { Ok(problems) } else { Err(Failure::unusable(refused.join("\n"))) }
}

/// The problem of one code.
///
/// # Errors
/// When it is no code, or the bank has no such template.
pub(super) fn read_code(bank: &Bank, text: &str) -> Result<Problem, Failure> {
    let code = Code::parse(text)
        .map_err(|problem| Failure::unusable(format!("the code `{text}`: {problem}")))?;
    super::banks::template(bank, &code.template)?;
    Problem::from_code(bank, &code).map_err(Failure::unusable)
}

/// What is shown.
fn contents(show: &[Show]) -> Contents {
    Contents {
        questions: show.contains(&Show::Questions),
        key: show.contains(&Show::Key),
        solutions: show.contains(&Show::Solutions),
    }
}

/// A seed from the random numbers of the operating system.
///
/// # Errors
/// When it gives none.
pub(super) fn own_seed() -> Result<u64, Failure> {
    let word = SysRng.try_next_u64().map_err(|error| {
        Failure::unusable(format!(
            "the operating system gave no random number: {error}; choose a number with --seed"
        ))
    })?;
    Ok(word % LARGEST_OWN_SEED)
}
