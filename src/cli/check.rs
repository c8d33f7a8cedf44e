//! `castmark check`: marks answers.

use castmark::bank::Bank;
use castmark::export::{Contents, Exporter, Options, Sheet, Text};
use castmark::marking::{Standing, Verdict, explain, mark_together};
use castmark::problem::{Part, Problem, Response};
use clap::Args;

use super::banks::WhichBank;
use super::outcome::{Failure, Outcome};
use super::problem::read_code;
use super::terminal::{Terminal, Tone};

/// How far the words about an answer are moved in.
const INDENT: usize = 4;

/// Mark answers to a problem and say what is wrong with them.
///
/// Give the code of the problem, as the sheet prints it, and the answers in the order of the parts. A
/// single part is answered by its letter or name: b=13.9g. Put quotation marks about an answer with a
/// blank in it.
///
/// The program ends with 0 when all answers given are right, with 1 when one is wrong and with 2 when
/// one cannot be read.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
    castmark check base-one-drug.k7m2-9qfxt \"3.2 g\" \"1.45 g\" \"22.9 g\"\n  \
    castmark check base-one-drug.k7m2-9qfxt c=22.9g --solution")]
pub(super) struct Arguments {
    /// The code of the problem, as printed on the sheet
    code: String,
    /// The answers, in the order of the parts, or part=answer
    #[arg(value_name = "ANSWER", allow_negative_numbers = true)]
    answers: Vec<String>,
    /// Print the worked solution as well
    #[arg(long)]
    solution: bool,
    #[command(flatten)]
    bank: WhichBank,
}

/// Marks and explains.
pub(super) fn run(arguments: &Arguments, terminal: &mut Terminal) -> Result<Outcome, Failure> {
    let bank = arguments.bank.load(terminal)?;
    let problem = read_code(&bank, &arguments.code)?;
    let answers = assign(&problem, &arguments.answers)?;
    let code = problem.code.as_ref().map(ToString::to_string).unwrap_or_default();
    let heading = format!("{code}: {}", problem.template.title);
    let heading = terminal.toned(Tone::Heading, &heading);
    terminal.print(format_args!("{heading}\n\n"))?;
    let mut verdicts = Vec::with_capacity(answers.len());
    for ((place, verdict), (_, answer)) in
        mark_together(&problem, &answers).into_iter().zip(&answers)
    {
        print_verdict(&problem, &bank, place, answer, &verdict, terminal)?;
        verdicts.push(verdict);
    }
    let marks: u32 = verdicts.iter().map(|verdict| verdict.marks).sum();
    let of: u32 = verdicts.iter().map(|verdict| verdict.of).sum();
    if verdicts.len() > 1 {
        terminal.print(format_args!("Together {}.\n", out_of(marks, of)))?;
    }
    if arguments.solution {
        print_solution(&problem, &bank, terminal)?;
    }
    if verdicts.iter().any(|verdict| verdict.standing == Standing::Unread) {
        return Ok(Outcome::Unread);
    }
    let marked = verdicts.iter().filter(|verdict| verdict.standing != Standing::ByHand);
    Ok(if marked.into_iter().all(Verdict::is_right) { Outcome::Done } else { Outcome::Found })
}

/// Which answer belongs to which part.
fn assign<'a>(problem: &Problem, answers: &'a [String]) -> Result<Vec<(usize, &'a str)>, Failure> {
    if answers.is_empty() {
        return Err(Failure::unusable(format!(
            "expected an answer, found none; the problem asks for:\n{}",
            asked(problem)
        )));
    }
    let mut assigned: Vec<(usize, &str)> = Vec::with_capacity(answers.len());
    let mut next = 0;
    for answer in answers {
        let (place, answer) = match answer.split_once('=') {
            // `1=c` is a pair of a matching, not the name of a part.
            Some((name, answer)) if !name.trim().is_empty() && !is_number(name) => {
                (find(problem, name.trim())?, answer)
            }
            _ => (next, answer.as_str()),
        };
        if place >= problem.parts.len() {
            let parts = problem.parts.len();
            return Err(Failure::unusable(format!(
                "expected {}, found more; the problem asks for:\n{}",
                counted(parts, "answer"),
                asked(problem)
            )));
        }
        if assigned.iter().any(|(taken, _)| *taken == place) {
            return Err(Failure::unusable(format!(
                "part {} is answered twice; keep one of the two",
                label(problem, place)
            )));
        }
        assigned.push((place, answer));
        next = place + 1;
    }
    assigned.sort_by_key(|(place, _)| *place);
    Ok(assigned)
}

fn is_number(name: &str) -> bool {
    name.trim().chars().all(|letter| letter.is_ascii_digit())
}

/// The part of that name or letter.
fn find(problem: &Problem, name: &str) -> Result<usize, Failure> {
    let by_name = problem.parts.iter().position(|part| part.id == name);
    let by_letter = || (0..problem.parts.len()).find(|place| part_letter(*place) == name);
    by_name.or_else(by_letter).ok_or_else(|| {
        Failure::unusable(format!(
            "the problem has no part `{}`; it asks for:\n{}",
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
    let example = match problem.parts.first().map(|part| &part.response) {
        Some(Response::Number(key)) => format!("1.23 {}", key.unit.symbol()),
        Some(Response::Choice(key)) if key.several => "A C".to_owned(),
        Some(Response::Choice(_)) => "B".to_owned(),
        Some(Response::Judgement(_)) => "true B".to_owned(),
        Some(Response::Matching(_)) => "1b 2a 3c".to_owned(),
        Some(Response::Ordering(_)) => "B A C".to_owned(),
        Some(Response::Range(key)) => format!("20 to 25 {}", key.unit.symbol()),
        Some(Response::Text(_) | Response::Written(_)) => "some words".to_owned(),
        None => String::new(),
    };
    let code = problem.code.as_ref().map(ToString::to_string).unwrap_or_default();
    format!("{}\nas in: castmark check {code} \"a={}\"", lines.join("\n"), example.trim_end())
}

/// The letter of a part: `a`.
pub(super) fn part_letter(place: usize) -> String {
    let letters = u8::try_from(place).unwrap_or(u8::MAX);
    char::from(b'a'.saturating_add(letters)).to_string()
}

/// `(b) base`.
fn label(problem: &Problem, place: usize) -> String {
    let name = problem.parts.get(place).map_or("", |part| part.id.as_str());
    format!("({}) {}", part_letter(place), name.replace('_', " "))
}

/// Prints how an answer to a part stands and why.
///
/// # Errors
/// When nothing can be printed.
pub(super) fn print_verdict(
    problem: &Problem,
    bank: &Bank,
    place: usize,
    answer: &str,
    verdict: &Verdict,
    terminal: &mut Terminal,
) -> Result<(), Failure> {
    let tone = match verdict.standing {
        Standing::Right => Tone::Good,
        Standing::Partly | Standing::ByHand => Tone::Middling,
        Standing::Wrong | Standing::Unread => Tone::Bad,
    };
    let standing = terminal.toned(tone, verdict.standing.name());
    let label = label(problem, place);
    if verdict.standing == Standing::ByHand {
        terminal.print(format_args!("{label} is {standing}, worth {}\n", worth(verdict.of)))?;
    } else {
        terminal.print(format_args!(
            "{label}: {} is {standing}, {}\n",
            shown(answer.trim()),
            out_of(verdict.marks, verdict.of)
        ))?;
    }
    for explanation in explain(verdict, problem, bank) {
        terminal.paragraph(INDENT, &explanation.text)?;
    }
    if let Some(Response::Written(key)) = problem.parts.get(place).map(|part| &part.response) {
        terminal.paragraph(INDENT, "One mark for each of these points:")?;
        for point in &key.points {
            terminal.paragraph(INDENT, &format!("- {}", point.text))?;
        }
    }
    Ok(terminal.end_line()?)
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

fn out_of(marks: u32, of: u32) -> String {
    format!("{marks} of {}", worth(of))
}

fn worth(marks: u32) -> String {
    counted(usize::try_from(marks).unwrap_or_default(), "mark")
}

fn counted(count: usize, noun: &str) -> String {
    format!("{count} {noun}{}", if count == 1 { "" } else { "s" })
}

/// What was typed, without characters that could move the cursor.
fn shown(text: &str) -> String {
    text.chars().filter(|letter| !letter.is_control()).collect()
}
