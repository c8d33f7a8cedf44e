//! What marking finds of an answer of theory, in words.

use crate::problem::{Problem, Response, VerdictKey, letter};

use super::{Explanation, Item, Pieces, ReasonFound};

/// What is said of the pieces of an answer, the most telling first.
pub(super) fn pieces_explained(problem: &Problem, item: Item, pieces: &Pieces) -> Vec<Explanation> {
    match pieces {
        Pieces::Options { right, wrong, rights, .. } => {
            options(problem, item, right, wrong, rights.saturating_sub(right.len()))
        }
        Pieces::Judged { truth, reason } => judged(*truth, *reason),
        Pieces::Lines { of, wrong, empty } => vec![said("lines", lines(*of, wrong, empty))],
        Pieces::Order { right, of } if right == of => {
            vec![said("order", "The order is correct.".to_owned())]
        }
        Pieces::Order { right, of } => vec![said(
            "order",
            format!(
                "{right} of {of} lines come straight after the one they follow. Ask of each line what has to be done before it."
            ),
        )],
        Pieces::Ends { lower, upper } => {
            let text = match (lower, upper) {
                (true, true) => "Both ends are correct.",
                (false, false) => "Neither end is correct.",
                (true, false) => "The lower end is correct, the upper is not.",
                (false, true) => "The upper end is correct, the lower is not.",
            };
            vec![said("ends", text.to_owned())]
        }
        Pieces::Points { made, wanted } => {
            vec![said("points", format!("{made} of {wanted} points were made."))]
        }
    }
}

fn judged(truth: bool, reason: ReasonFound) -> Vec<Explanation> {
    let judged = match (truth, reason) {
        (true, _) => "The choice of true or false is correct.",
        (false, ReasonFound::NotAsked) => "The choice of true or false is not correct.",
        (false, _) => "The choice of true or false is not correct, so the reason is not marked.",
    };
    let reason = match reason {
        _ if !truth => None,
        ReasonFound::Right => Some("The reason is correct."),
        ReasonFound::Wrong => Some("The reason does not belong to this statement."),
        ReasonFound::Missing => Some("The letter of the reason is missing."),
        ReasonFound::NotAsked => None,
    };
    let reason = reason.map(|text| said("reason", text.to_owned()));
    std::iter::once(said("judged", judged.to_owned())).chain(reason).collect()
}

fn options(
    problem: &Problem,
    item: Item,
    right: &[usize],
    wrong: &[usize],
    missed: usize,
) -> Vec<Explanation> {
    let part = match item {
        Item::Part(part) => problem.parts.get(part),
        Item::Step(_) => None,
    };
    let key = match part.map(|part| &part.response) {
        Some(Response::Choice(key)) => key,
        Some(Response::Verdict(key)) => return vec![verdict(key, right, wrong)],
        _ => return Vec::new(),
    };
    let because = |place: &usize| key.options.get(*place).map_or("", |it| it.because.as_str());
    let wrong_option = |place: &usize| {
        // The line of a procedure that is not wrong has no reason of its own.
        let text = format!("{} is not correct. {}", letter(*place, 'A'), because(place));
        said("wrong-option", text.trim_end().to_owned())
    };
    let mut explained: Vec<Explanation> = wrong.iter().map(wrong_option).collect();
    if !right.is_empty() {
        let letters: Vec<String> = right.iter().map(|place| letter(*place, 'A')).collect();
        let are = if letters.len() == 1 { "is" } else { "are" };
        let mut text = format!("{} {are} correct.", listed(&letters));
        if wrong.is_empty() && missed == 0 {
            for reason in right.iter().map(because).filter(|reason| !reason.is_empty()) {
                text = format!("{text} {reason}");
            }
        }
        explained.push(said("right-options", text));
    }
    if missed > 0 && key.several {
        let text = match missed {
            1 => "One more option is correct.".to_owned(),
            missed => format!("{missed} more options are correct."),
        };
        explained.push(said("missed", text));
    }
    explained
}

/// What is said of a verdict that follows from the numbers.
fn verdict(key: &VerdictKey, right: &[usize], wrong: &[usize]) -> Explanation {
    match (right, wrong) {
        ([place, ..], _) => {
            let text = format!("{} is correct. {}", letter(*place, 'A'), key.because);
            said("right-options", text.trim_end().to_owned())
        }
        (_, [place, ..]) => {
            said("wrong-option", format!("{} is not correct.", letter(*place, 'A')))
        }
        _ => said("missed", "Nothing was chosen.".to_owned()),
    }
}

fn said(kind: &'static str, text: String) -> Explanation {
    Explanation { kind, text, adds: true }
}

/// Words of a sentence: `1, 2 and 3`.
fn listed<T: std::fmt::Display>(items: &[T]) -> String {
    let items: Vec<String> = items.iter().map(ToString::to_string).collect();
    match items.as_slice() {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

fn lines(of: usize, wrong: &[usize], empty: &[usize]) -> String {
    let right = of.saturating_sub(wrong.len() + empty.len());
    let mut text = format!("{right} of {of} lines are correct.");
    for (lines, what) in [(wrong, "not correct"), (empty, "empty")] {
        if !lines.is_empty() {
            let (noun, are) = if lines.len() == 1 { ("Line", "is") } else { ("Lines", "are") };
            text = format!("{text} {noun} {} {are} {what}.", listed(lines));
        }
    }
    text
}
