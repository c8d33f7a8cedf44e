//! Which answer on the command line belongs to which part or step.

use castmark::marking::{Entry, Item};
use castmark::problem::{Part, Problem, letter};
use castmark::words::{counted, printable};

use super::outcome::Failure;
use super::unquoted::joined;

/// The answers as typed, those without quotation marks put together.
///
/// # Errors
/// When there are none, or words belong together in more than one way.
pub(super) fn whole(problem: &Problem, typed: &[String]) -> Result<Vec<String>, Failure> {
    if typed.is_empty() {
        return Err(Failure::unusable(format!(
            "expected an answer, found none; the problem asks for:\n{}",
            asked(problem)
        )));
    }
    let name_of = |next: usize, typed: &str| {
        let (name, answer) = named(problem, next, typed)?;
        let begin = typed.len() - answer.len();
        let part = match find(problem, name).ok()? {
            Item::Part(part) => Some(part),
            Item::Step(_) => None,
        };
        Some((part, begin))
    };
    joined(problem, typed, &name_of).map_err(|ambiguous| {
        Failure::unusable(format!(
            "`{}` can be one answer or more; put quotation marks around every answer with a space in \
             it. The problem asks for:\n{}",
            printable(&ambiguous.typed),
            asked(problem)
        ))
    })
}

/// Which answer belongs to which part or step.
///
/// # Errors
/// When there are too many, or one belongs to nothing or to what is answered already.
pub(super) fn assign<'a>(
    problem: &Problem,
    answers: &'a [String],
) -> Result<Vec<Entry<'a>>, Failure> {
    let mut assigned: Vec<Entry<'_>> = Vec::with_capacity(answers.len());
    let mut next = 0;
    for answer in answers.iter().map(|answer| answer.trim()) {
        let (item, answer) = match named(problem, next, answer) {
            Some((name, answer)) => (find(problem, name)?, answer),
            None => (Item::Part(next), answer),
        };
        if let Item::Part(index) = item {
            if index >= problem.parts.len() {
                let parts = problem.parts.len();
                return Err(Failure::unusable(format!(
                    "expected {}, found more; put quotation marks around every answer with a space in \
                     it. The problem asks for:\n{}",
                    counted(parts, "answer"),
                    asked(problem)
                )));
            }
            next = index + 1;
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

/// The name before an equals sign and the answer behind it; nothing for an answer without a name.
fn named<'a>(problem: &Problem, next: usize, typed: &'a str) -> Option<(&'a str, &'a str)> {
    let (name, answer) = typed.split_once('=')?;
    let name = name.trim();
    // `1=c` is a pair of a matching, not the name of a part; and in words an equals sign says nothing of
    // parts.
    let is_name = !name.is_empty() && !is_number(name) && !is_words(problem, next, name);
    is_name.then_some((name, answer))
}

/// Whether the next part is answered in words and what stands before the equals sign is no part.
fn is_words(problem: &Problem, next: usize, name: &str) -> bool {
    let response = problem.parts.get(next).map(|part| &part.response);
    response.is_some_and(|response| response.key().is_words()) && find(problem, name).is_err()
}

fn is_number(name: &str) -> bool {
    name.chars().all(|letter| letter.is_ascii_digit())
}

/// The part of that name or letter, or the step of that name or label.
fn find(problem: &Problem, name: &str) -> Result<Item, Failure> {
    let by_name = problem.parts.iter().position(|part| part.id == name);
    let by_letter = || (0..problem.parts.len()).find(|index| part_letter(*index) == name);
    let part = by_name.or_else(by_letter).map(Item::Part);
    part.or_else(|| Item::of_step(&problem.template, name)).ok_or_else(|| {
        Failure::unusable(format!(
            "the problem has no part or step `{}`; it asks for:\n{}",
            printable(name),
            asked(problem)
        ))
    })
}

/// Every part with its letter, its name and its question.
fn asked(problem: &Problem) -> String {
    let line = |(index, part): (usize, &Part)| {
        format!("  {} or {}: {}", part_letter(index), part.id, part.ask)
    };
    let lines: Vec<String> = problem.parts.iter().enumerate().map(line).collect();
    let example = problem.parts.first().map(|part| part.response.key().example());
    let example = example.unwrap_or_default();
    let code = problem.code.as_ref().map(ToString::to_string).unwrap_or_default();
    format!("{}\nas in: castmark check {code} \"a={example}\"", lines.join("\n"))
}

/// The letter of a part: `a`.
pub(super) fn part_letter(index: usize) -> String {
    letter(index, 'a')
}

/// `part (b) base`, `step total`.
fn label(problem: &Problem, item: Item) -> String {
    match item {
        Item::Part(index) => {
            let name = problem.parts.get(index).map_or("", |part| part.id.as_str());
            format!("part ({}) {}", part_letter(index), name.replace('_', " "))
        }
        Item::Step(index) => {
            let template = &problem.template;
            let slot = template.working.get(index).map(|step| step.slot);
            let name = slot.and_then(|slot| template.names.get(slot));
            format!("step {}", name.map_or("", |name| name.label.as_str()))
        }
    }
}
