//! `castmark check`: marks answers.

use std::ffi::{OsStr, OsString};
use std::path::{Path, PathBuf};

use castmark::bank::{Bank, SourceText};
use castmark::export::{
    AccountFormat, CAUTION, Contents, Exporter, Options, Sheet, Text, account_text,
};
use castmark::marking::{Account, Entry, Item, Settings, Standing, mark_problem};
use castmark::problem::{Part, Problem, letter};
use clap::{Args, ValueEnum};

use super::banks::WhichBank;
use super::files::read_text;
use super::outcome::{Failure, Outcome};
use super::problem::read_code;
use super::terminal::{Terminal, Tone};

/// Mark answers to a problem and say what is wrong with them.
///
/// Give the code of the problem, as the sheet prints it, and the answers in the order of the parts. A
/// single part is answered by its letter or name: b=13.9g. A step of the working can be given by its
/// name as well; it earns no marks, but a wrong one that is carried on rightly keeps those for method.
/// Put quotation marks about an answer with a blank in it.
///
/// The program ends with 0 when all answers given are right, with 1 when one is wrong and with 2 when
/// one cannot be read.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
    castmark check base-one-drug.k7m2-9qfxt \"3.2 g\" \"1.45 g\" \"22.9 g\"\n  \
    castmark check base-one-drug.k7m2-9qfxt c=22.9g --solution\n  \
    castmark check base-one-drug.k7m2-9qfxt total=24.5g c=22.9g --format html > marked.html")]
pub(super) struct Arguments {
    /// The code of the problem, as printed on the sheet
    code: String,
    /// The answers, in the order of the parts, or part=answer, or step=number
    #[arg(value_name = "ANSWER")]
    answers: Vec<String>,
    /// Print the worked solution as well
    #[arg(long)]
    solution: bool,
    /// How to print the verdicts
    #[arg(long, value_name = "FORMAT", value_enum, default_value_t = Format::Text)]
    format: Format,
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

/// How verdicts are printed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum Format {
    /// Plain text
    Text,
    /// A web page
    Html,
    /// Every field under a stable name, for programs
    Json,
}

/// Marks and explains.
pub(super) fn run(arguments: &Arguments, terminal: &mut Terminal) -> Result<Outcome, Failure> {
    if arguments.solution && arguments.format != Format::Text {
        return Err(Failure::unusable(
            "the worked solution is printed as text only; leave --solution or --format out",
        ));
    }
    let settings = match &arguments.rules {
        Some(path) => read_rules(path, terminal)?,
        None => Settings::default(),
    };
    let bank = arguments.bank.load(terminal)?;
    let problem = read_code(&bank, &arguments.code)?;
    let answers = assign(&problem, &arguments.answers)?;
    let marked = mark_problem(&problem, &answers, &settings);
    let account = Account::of(&problem, &bank, &marked, &settings);
    match arguments.format {
        Format::Text => {
            let text = account_text(&account, terminal.width(), &|standing, word| {
                terminal.toned(tone(standing), word)
            });
            terminal.print(text)?;
            terminal.end_line()?;
            terminal.paragraph(0, CAUTION)?;
        }
        Format::Html => terminal.print_bytes(&AccountFormat::Html.export(&account, 0))?,
        Format::Json => terminal.print_bytes(&AccountFormat::Json.export(&account, 0))?,
    }
    if arguments.solution {
        print_solution(&problem, &bank, terminal)?;
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
    let source = SourceText { path: path.display().to_string(), text: read_text(path)? };
    Settings::read(source).map_err(|report| {
        let drawn = if terminal.colour() { report.styled() } else { report.plain() };
        Failure::unusable(format!("the rules cannot be used\n\n{}", drawn.trim_end()))
    })
}

/// Which answer belongs to which part or step.
fn assign<'a>(problem: &Problem, answers: &'a [String]) -> Result<Vec<Entry<'a>>, Failure> {
    if answers.is_empty() {
        return Err(Failure::unusable(format!(
            "expected an answer, found none; the problem asks for:\n{}",
            asked(problem)
        )));
    }
    let mut assigned: Vec<Entry<'_>> = Vec::with_capacity(answers.len());
    let mut next = 0;
    for answer in answers.iter().map(|answer| answer.trim()) {
        let (item, answer) = match answer.split_once('=') {
            // `1=c` is a pair of a matching, not the name of a part; and in words an equals sign says
            // nothing of parts.
            Some((name, answer))
                if !name.trim().is_empty()
                    && !is_number(name)
                    && !is_words(problem, next, name) =>
            {
                (find(problem, name.trim())?, answer)
            }
            _ => (Item::Part(next), answer),
        };
        if let Item::Part(place) = item {
            if place >= problem.parts.len() {
                let parts = problem.parts.len();
                return Err(Failure::unusable(format!(
                    "expected {}, found more; the problem asks for:\n{}",
                    counted(parts, "answer"),
                    asked(problem)
                )));
            }
            next = place + 1;
        }
        if assigned.iter().any(|entry| entry.item == item) {
            return Err(Failure::unusable(format!(
                "{} is answered twice; keep one of the two",
                label(problem, item)
            )));
        }
        assigned.push(Entry { item, answer });
    }
    Ok(assigned)
}

/// Whether the next part is answered in words and what stands before the equals sign is no part.
fn is_words(problem: &Problem, next: usize, name: &str) -> bool {
    let response = problem.parts.get(next).map(|part| &part.response);
    response.is_some_and(|response| response.key().is_words())
        && find(problem, name.trim()).is_err()
}

fn is_number(name: &str) -> bool {
    name.trim().chars().all(|letter| letter.is_ascii_digit())
}

/// The part of that name or letter, or the step of that name or label.
fn find(problem: &Problem, name: &str) -> Result<Item, Failure> {
    let by_name = problem.parts.iter().position(|part| part.id == name);
    let by_letter = || (0..problem.parts.len()).find(|place| part_letter(*place) == name);
    let part = by_name.or_else(by_letter).map(Item::Part);
    part.or_else(|| Item::of_step(&problem.template, name)).ok_or_else(|| {
        Failure::unusable(format!(
            "the problem has no part or step `{}`; it asks for:\n{}",
            shown(name),
            asked(problem)
        ))
    })
}

/// Every part with its letter, its name and its question.
fn asked(problem: &Problem) -> String {
    let line = |(place, part): (usize, &Part)| {
        format!("  {} or {}: {}", part_letter(place), part.id, part.ask)
    };
    let lines: Vec<String> = problem.parts.iter().enumerate().map(line).collect();
    let example = problem.parts.first().map(|part| part.response.key().example());
    let example = example.unwrap_or_default();
    let code = problem.code.as_ref().map(ToString::to_string).unwrap_or_default();
    format!("{}\nas in: castmark check {code} \"a={}\"", lines.join("\n"), example)
}

/// The letter of a part: `a`.
pub(super) fn part_letter(place: usize) -> String {
    letter(place, 'a')
}

/// `part (b) base`, `step total`.
fn label(problem: &Problem, item: Item) -> String {
    match item {
        Item::Part(place) => {
            let name = problem.parts.get(place).map_or("", |part| part.id.as_str());
            format!("part ({}) {}", part_letter(place), name.replace('_', " "))
        }
        Item::Step(place) => {
            let template = &problem.template;
            let slot = template.working.get(place).map(|step| step.slot);
            let name = slot.and_then(|slot| template.names.get(slot));
            format!("step {}", name.map_or("", |name| name.label.as_str()))
        }
    }
}

fn print_solution(problem: &Problem, bank: &Bank, terminal: &mut Terminal) -> Result<(), Failure> {
    let problems = std::slice::from_ref(problem);
    let sheet = Sheet::of(bank, problems, "Worked solution", Contents::SOLUTIONS);
    let options = Options { width: terminal.width(), ..Options::default() };
    let bytes = Text.export(&sheet.map_err(Failure::unusable)?, &options);
    terminal.end_line()?;
    terminal.print_bytes(&bytes.map_err(Failure::unusable)?)?;
    Ok(())
}

fn counted(count: usize, noun: &str) -> String {
    format!("{count} {noun}{}", if count == 1 { "" } else { "s" })
}

/// What was typed, without characters that could move the cursor.
fn shown(text: &str) -> String {
    text.chars().filter(|letter| !letter.is_control()).collect()
}
