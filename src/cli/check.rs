//! `castmark check`: marks answers.

use std::ffi::{OsStr, OsString};
use std::path::{Path, PathBuf};

use castmark::bank::Bank;
use castmark::export::{
    Contents, DocumentKind, Exporter, Options, Sheet, Text, account_text, marked_sheet,
};
use castmark::marking::{Account, Settings, Standing, mark_problem};
use castmark::problem::Problem;
use clap::Args;

use super::answers;
use super::banks::WhichBank;
use super::disk::{Readers, Target, read_source};
use super::formats::{format_parser, told_by};
use super::outcome::{Failure, Outcome};
use super::problem::read_code;
use super::terminal::{Terminal, Tone};

/// Mark answers to a problem and say what is wrong with them.
///
/// Give the code of the problem, as the sheet prints it, and the answers in the order of the parts. A
/// single part is answered by its letter or name: b=13.9g. A step of the working can be given by its
/// name as well; it earns no marks, but a wrong one that is carried on rightly keeps those for method.
/// A unit may be typed apart from its number. Put quotation marks around other answers with a space in
/// them.
///
/// The program ends with 0 when all answers given are right, with 1 when one is wrong and with 2 when
/// one cannot be read.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
    castmark check base-one-drug.k7m2-9qfxt \"3.2 g\" \"1.45 g\" \"22.9 g\"\n  \
    castmark check base-one-drug.k7m2-9qfxt c=22.9g --solution\n  \
    castmark check base-one-drug.k7m2-9qfxt 3.2 g 1.45 g 22.9 g\n  \
    castmark check base-one-drug.k7m2-9qfxt c=22.9g --solution --output marked.html")]
pub(super) struct Arguments {
    /// The code of the problem, as printed on the sheet
    code: String,
    /// The answers, in the order of the parts, or part=answer, or step=number
    #[arg(value_name = "ANSWER")]
    answers: Vec<String>,
    /// Print the worked solution as well
    #[arg(long)]
    solution: bool,
    /// What to make of it; without this, the ending of the file's name decides, and otherwise it is plain text
    #[arg(long, value_name = "FORMAT", value_parser = format_parser(DocumentKind::Account))]
    format: Option<&'static dyn Exporter>,
    /// File to write; by default, the verdicts are printed
    #[arg(long, short, value_name = "FILE")]
    output: Option<PathBuf>,
    /// A file with rules of marking of your own
    #[arg(long, value_name = "FILE")]
    rules: Option<PathBuf>,
    #[command(flatten)]
    bank: WhichBank,
}

/// The arguments of the program, with a blank before each answer that begins with a minus sign and a
/// digit, which would be taken for an option otherwise.
pub(super) fn with_negative_answers(
    arguments: impl Iterator<Item = OsString>,
) -> impl Iterator<Item = OsString> {
    let mut is_check = false;
    arguments.enumerate().map(move |(place, argument)| {
        is_check |= place == 1 && argument == "check";
        let negative = is_check && argument.to_str().is_some_and(is_negative);
        if negative { [OsStr::new(" "), &argument].into_iter().collect() } else { argument }
    })
}

/// Whether a text begins like a number below zero: `-3.6 g`, `-.5`.
fn is_negative(text: &str) -> bool {
    let number = text.strip_prefix('-').unwrap_or_default();
    let number = number.strip_prefix(['.', ',']).unwrap_or(number);
    number.starts_with(|letter: char| letter.is_ascii_digit())
}

/// Marks and explains.
pub(super) fn run(arguments: &Arguments, terminal: &mut Terminal) -> Result<Outcome, Failure> {
    let output = arguments.output.as_deref();
    let exporter = told_by(DocumentKind::Account, arguments.format, output)?;
    if arguments.solution && exporter.name() == "json" {
        return Err(Failure::unusable(
            "JSON has no worked solution; leave out --solution, or choose --format text, markdown or html",
        ));
    }
    let settings = match &arguments.rules {
        Some(path) => read_rules(path, terminal)?,
        None => Settings::default(),
    };
    let target = output.map(|path| Target::prepare(path, Readers::Usual)).transpose()?;
    let bank = arguments.bank.load(terminal)?;
    let problem = read_code(&bank, &arguments.code)?;
    let answers = answers::whole(&problem, &arguments.answers)?;
    let answers = answers::assign(&problem, &answers)?;
    let marked = mark_problem(&problem, &answers, &settings);
    let account = Account::of(&problem, &bank, &marked, &settings);
    let bytes = match (exporter.name(), arguments.solution) {
        ("text", solution) => {
            let screen = target.is_none().then_some(&*terminal);
            let mut text = verdicts(&account, screen).into_bytes();
            if solution {
                text.push(b'\n');
                text.extend(worked(&problem, &bank, screen)?);
            }
            text
        }
        (_, true) => {
            let sheet = marked_sheet(&bank, &problem, &account).map_err(Failure::unusable)?;
            exporter.export(&sheet, &Options::default()).map_err(Failure::unusable)?
        }
        (_, false) => {
            exporter.export_account(&account, &Options::default()).map_err(Failure::unusable)?
        }
    };
    match target {
        Some(target) => target.write(&bytes)?,
        None => terminal.print_bytes(&bytes)?,
    }
    let standings = || account.lines.iter().map(|line| line.standing);
    if standings().any(|standing| standing == Standing::NotRead) {
        return Ok(Outcome::Unread);
    }
    let right = |standing| matches!(standing, Standing::Correct | Standing::ByHand);
    Ok(if standings().all(right) { Outcome::Done } else { Outcome::Found })
}

/// The tone of a standing, or of a heading without one.
pub(super) fn tone(standing: Option<Standing>) -> Tone {
    match standing {
        None => Tone::Heading,
        Some(Standing::Correct) => Tone::Good,
        Some(Standing::PartlyCorrect | Standing::ByHand | Standing::Blank) => Tone::Middling,
        Some(Standing::NotCorrect | Standing::NotRead) => Tone::Bad,
    }
}

/// The rules of a file.
///
/// # Errors
/// Everything that is wrong with the file.
pub(super) fn read_rules(path: &Path, terminal: &Terminal) -> Result<Settings, Failure> {
    Settings::read(read_source(path)?).map_err(|report| {
        let drawn = if terminal.colour() { report.styled() } else { report.plain() };
        Failure::unusable(format!("the rules cannot be used\n\n{}", drawn.trim_end()))
    })
}

/// The verdicts as text, for a screen or, without one, a file.
fn verdicts(account: &Account, screen: Option<&Terminal>) -> String {
    let tone = |standing, word: &str| match screen {
        Some(terminal) => terminal.toned(tone(standing), word),
        None => word.to_owned(),
    };
    account_text(account, width(screen), &tone)
}

/// The worked solution as text.
fn worked(problem: &Problem, bank: &Bank, screen: Option<&Terminal>) -> Result<Vec<u8>, Failure> {
    let problems = std::slice::from_ref(problem);
    let sheet = Sheet::of(bank, problems.to_vec(), "Worked solution", Contents::SOLUTIONS);
    let options = Options { width: width(screen), ..Options::default() };
    Text.export(&sheet.map_err(Failure::unusable)?, &options).map_err(Failure::unusable)
}

/// How wide text is set.
fn width(screen: Option<&Terminal>) -> usize {
    screen.map_or(Options::default().width, Terminal::width)
}
