//! Marking the answers to a problem together, and those to a paper.

use crate::problem::{Problem, Response};

use super::counting::Counting;
use super::entry::{Entry, Item, Marked, MarkedEntry};
use super::follow::follow;
use super::number::{Fault, mark_number_by, marks_of, standing};
use super::pairs::find_pairs;
use super::{Reason, Settings, Standing, Verdict, mark_alone};

/// Marks the answers to one problem together by the default rules, each with the place of its part.
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
/// A part that is wrong by itself is worked again from the candidate's own numbers, and mistakes that
/// cost marks once in a question do so once. A step earns no marks of its own.
pub fn mark_problem(problem: &Problem, entries: &[Entry<'_>], settings: &Settings) -> Marked {
    let mut marked = mark_uncounted(problem, entries, settings);
    Counting::default().count(problem, &mut marked, settings);
    marked
}

/// Marks the answers to the problems of a paper, in the order of the problems. Mistakes that cost
/// marks once in a paper do so the first time.
pub fn mark_paper(answers: &[(&Problem, &[Entry<'_>])], settings: &Settings) -> Vec<Marked> {
    let mut counting = Counting::default();
    let mark = |(problem, entries): &(&Problem, &[Entry<'_>])| {
        let mut marked = mark_uncounted(problem, entries, settings);
        counting.count(problem, &mut marked, settings);
        marked
    };
    answers.iter().map(mark).collect()
}

fn mark_uncounted(problem: &Problem, entries: &[Entry<'_>], settings: &Settings) -> Marked {
    let mut order: Vec<(usize, Item, &str)> =
        entries.iter().map(|entry| (home(problem, entry.item), entry.item, entry.answer)).collect();
    // A step comes before the part it leads to; so `Item` is ordered too.
    order.sort_by_key(|(home, item, _)| (*home, *item));
    let mark = |(_, item, answer): &(usize, Item, &str)| MarkedEntry {
        item: *item,
        answer: (*answer).to_owned(),
        verdict: match item {
            Item::Part(part) => mark_alone(problem, *part, answer, settings),
            Item::Step(step) => mark_step(problem, *step, answer, settings),
        },
    };
    let mut marked: Vec<MarkedEntry> = order.iter().map(mark).collect();
    let homes: Vec<usize> = order.iter().map(|(home, ..)| *home).collect();
    follow(problem, &mut marked, &homes, settings);
    for entry in &mut marked {
        if let Item::Part(part) = entry.item {
            find_pairs(problem, part, &mut entry.verdict);
        }
    }
    if !settings.right_answer_shows_method {
        look_at_working(problem, &mut marked, &homes, settings);
    }
    Marked { entries: marked }
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

fn mark_step(problem: &Problem, step: usize, answer: &str, settings: &Settings) -> Verdict {
    match problem.step_key(step) {
        Some(key) => mark_number_by(&key, 0, answer, settings),
        None => Verdict::unread(0, Reason::NoSuchPart),
    }
}

/// Takes the marks for method from parts whose own working is wrong, and those for accuracy with them
/// where they need method.
fn look_at_working(
    problem: &Problem,
    marked: &mut [MarkedEntry],
    homes: &[usize],
    settings: &Settings,
) {
    for index in 0..marked.len() {
        let Item::Part(part) = marked[index].item else { continue };
        let earlier = marked.iter().zip(homes).take(index);
        let wrong = earlier.filter(|(_, home)| **home == part).find_map(|(entry, _)| {
            let is_wrong = entry.verdict.standing == Standing::Wrong;
            match entry.item {
                Item::Step(step) if is_wrong => Some(step),
                _ => None,
            }
        });
        let Some(step) = wrong else { continue };
        let Some(Response::Number(key)) = problem.parts.get(part).map(|part| &part.response) else {
            continue;
        };
        let verdict = &mut marked[index].verdict;
        // What is counted once may be given back later, so it is not looked at here.
        let best = marks_of(&verdict.reasons, verdict.of, key.method_marks, settings, &Fault::ALL);
        if best == 0 || verdict.reasons.contains(&Reason::FollowsWorking) {
            continue;
        }
        let left = verdict.marks.saturating_sub(key.method_marks);
        verdict.marks = if settings.accuracy_needs_method { 0 } else { left };
        verdict.standing = standing(false, verdict.marks, verdict.of);
        verdict.reasons.push(Reason::WorkingWrong { step });
    }
}
