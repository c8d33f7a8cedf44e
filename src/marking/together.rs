//! Marking the answers to a problem together, and those to a paper.

use crate::problem::{Problem, Response};

use super::counting::decide;
use super::entry::{Entry, Item, Marked, MarkedEntry};
use super::follow::follow;
use super::likeliest::keep_likeliest_slips;
use super::number::{NumberFound, find_number};
use super::open::Open;
use super::pairs::find_pairs;
use super::single::keep_method_of_one_slip;
use super::theory::find_theory;
use super::{Finding, Note, Settings, Understood, Verdict, Why};

/// Marks the answers to one problem together by the default rules, each with the index of its part.
///
/// The verdicts come in the order of the parts, whatever the order of the answers. [`mark_problem`]
/// takes steps of the working and other rules as well.
pub fn mark_together<'a>(problem: &Problem, answers: &[(usize, &'a str)]) -> Vec<(usize, Verdict)> {
    let entry = |(part, answer): &(usize, &'a str)| Entry { item: Item::Part(*part), answer };
    let entries: Vec<Entry<'_>> = answers.iter().map(entry).collect();
    let marked = mark_problem(problem, &entries, &Settings::default());
    let verdict = |entry: MarkedEntry| match entry.item {
        Item::Part(part) => Some((part, entry.verdict)),
        Item::Step(_) => None,
    };
    marked.entries.into_iter().filter_map(verdict).collect()
}

/// Marks the answers to one problem together, steps of the working among them.
///
/// Each answer is judged from the true values and from the candidate's own earlier answers, and gets
/// the better of the two; faults that cost marks once in a question do so once. A step earns no marks
/// of its own.
pub fn mark_problem(problem: &Problem, entries: &[Entry<'_>], settings: &Settings) -> Marked {
    let decided = decide(vec![find(problem, entries, settings)], settings);
    decided.into_iter().next().unwrap_or_default()
}

/// Marks the answers to the problems of a paper, in the order of the problems. Faults that cost marks
/// once in a paper do so once.
pub fn mark_paper(answers: &[(&Problem, &[Entry<'_>])], settings: &Settings) -> Vec<Marked> {
    let find = |(problem, entries): &(&Problem, &[Entry<'_>])| find(problem, entries, settings);
    decide(answers.iter().map(find).collect(), settings)
}

/// What is found of all answers, before anything is decided.
fn find(problem: &Problem, entries: &[Entry<'_>], settings: &Settings) -> Vec<Open> {
    let mut order: Vec<(usize, Item, &str)> =
        entries.iter().map(|entry| (home(problem, entry.item), entry.item, entry.answer)).collect();
    // A step comes before the part it leads to; so `Item` is ordered too.
    order.sort_by_key(|(home, item, _)| (*home, *item));
    let open = |(_, item, answer): &(usize, Item, &str)| match item {
        Item::Part(part) => find_part(problem, *part, answer),
        Item::Step(step) => find_step(problem, *step, answer),
    };
    let mut open: Vec<Open> = order.iter().map(open).collect();
    let homes: Vec<usize> = order.iter().map(|(home, ..)| *home).collect();
    if !settings.right_answer_shows_method {
        look_at_working(&mut open, &homes);
    }
    follow(problem, &mut open, settings);
    for entry in &mut open {
        find_pairs(problem, entry);
    }
    keep_method_of_one_slip(problem, &mut open, settings);
    keep_likeliest_slips(problem, &mut open);
    open
}

/// The part to which an item belongs: the first that a step leads to; beyond the last where it leads
/// to none.
pub(crate) fn home(problem: &Problem, item: Item) -> usize {
    let step = match item {
        Item::Part(part) => return part,
        Item::Step(step) => step,
    };
    let parts = &problem.template.parts;
    let leads = |slot: usize| problem.steps_towards(slot).contains(&step);
    parts
        .iter()
        .position(|part| part.wanted.number().is_some_and(|plan| leads(plan.slot)))
        .unwrap_or(parts.len())
}

/// What is found of an answer to a part by itself.
fn find_part(problem: &Problem, index: usize, answer: &str) -> Open {
    let item = Item::Part(index);
    let Some(part) = problem.parts.get(index) else { return no_such_part(item, answer) };
    if let Response::Number(key) = &part.response {
        let found = find_number(key, answer);
        return open(item, answer, found, part.marks, key.method_marks);
    }
    let (understood, finding) = find_theory(&part.response, answer);
    let found = NumberFound { understood, finding, notes: Vec::new() };
    open(item, answer, found, part.marks, 0)
}

fn find_step(problem: &Problem, step: usize, answer: &str) -> Open {
    let item = Item::Step(step);
    match problem.step_key(step) {
        Some(key) => open(item, answer, find_number(&key, answer), 0, 0),
        None => no_such_part(item, answer),
    }
}

fn no_such_part(item: Item, answer: &str) -> Open {
    let (understood, finding) = (Understood::Nothing, Finding::Unread(Why::NoSuchPart));
    open(item, answer, NumberFound { understood, finding, notes: Vec::new() }, 0, 0)
}

fn open(item: Item, answer: &str, found: NumberFound, of: u32, method: u32) -> Open {
    let NumberFound { understood, finding, notes } = found;
    Open { item, answer: answer.to_owned(), understood, findings: vec![finding], notes, of, method }
}

/// Notes at each part the first step of its own working that is wrong and was written down.
fn look_at_working(entries: &mut [Open], homes: &[usize]) {
    for index in 0..entries.len() {
        let Item::Part(part) = entries[index].item else { continue };
        let earlier = entries.iter().zip(homes).take(index);
        let wrong = earlier.filter(|(_, home)| **home == part).find_map(|(entry, _)| {
            let is_wrong = entry.understood.typed().is_some() && !entry.is_accepted();
            match entry.item {
                Item::Step(step) if is_wrong => Some(step),
                _ => None,
            }
        });
        entries[index].notes.extend(wrong.map(|step| Note::WorkingWrong { step }));
    }
}
