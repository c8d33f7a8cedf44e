//! The hints at a question, and what they and the last answer leave beside its options and lines.

use serde::Serialize;

use crate::export::readable;
use crate::practice::{Hint, Outcome, Question};
use crate::problem::{Problem, Response};

use super::asked::AskedPart;
use super::replay::Tried;
use super::tried::lines;

#[derive(Serialize)]
pub(super) struct HintRow {
    name: &'static str,
    text: String,
    helps: bool,
    before: usize,
}

/// The hints given so far at a question.
pub(super) fn hints(problem: &Problem, question: Question, tried: &Tried) -> Vec<HintRow> {
    let row = |(index, (hint, before)): (usize, &(Hint, usize))| HintRow {
        name: hint_name(problem, question, hint, index),
        text: readable(&hint.text),
        helps: hint.helps,
        before: *before,
    };
    tried.hints.iter().enumerate().map(row).collect()
}

/// What a hint is called, after so many others at the question.
pub(super) fn hint_name(
    problem: &Problem,
    question: Question,
    hint: &Hint,
    given: usize,
) -> &'static str {
    let response = problem.parts.get(question.part).map(|part| &part.response);
    match response {
        _ if question.step.is_some() && hint.helps => "Hint with numbers",
        _ if !hint.helps => "Hint in words",
        Some(Response::Choice(key)) if key.several && given == 0 => "Hint: how many",
        Some(Response::Choice(_) | Response::Verdict(_) | Response::Judgement(_)) => {
            "Hint: rule out one"
        }
        Some(Response::Matching(_)) => "Hint: place one",
        Some(Response::Ordering(_)) => "Hint: one neighbour",
        Some(Response::Text(_)) if given == 0 => "Hint: first letter",
        Some(Response::Text(_)) => "Hint: more letters",
        Some(Response::Range(_)) => "Hint: one end",
        Some(Response::Written(_)) => "Hint: one point",
        Some(Response::Number(_)) | None => "Hint",
    }
}

/// Notes beside the options and lines what is known of them.
pub(super) fn note(
    asked: &mut AskedPart,
    tried: &Tried,
    problem: &Problem,
    question: Question,
    open: bool,
) {
    for (hint, _) in &tried.hints {
        let option = hint.rules_out.and_then(|index| asked.options.get_mut(index));
        if let Some(option) = option {
            option.ruled_out = true;
            option.words = readable(&ruled_out(&hint.text));
        }
    }
    let Some((_, judged)) = tried.answers.last() else { return };
    if judged.marked.outcome == Outcome::NotRead {
        return;
    }
    let Some(part) = problem.parts.get(question.part) else { return };
    let matched = matches!(part.response, Response::Matching(_));
    for line in lines(judged, part) {
        if matched {
            if let Some(row) = asked.lines.get_mut(line.index) {
                row.words = line.words;
            }
            continue;
        }
        if let Some(option) = asked.options.get_mut(line.index) {
            option.chosen = true;
            let words = if line.correct { "Chosen: correct." } else { "Chosen: not correct." };
            words.clone_into(&mut option.words);
            option.ruled_out |= open && !line.correct;
        }
    }
}

/// `Rule out B: it is soft.` as it stands beside the option.
fn ruled_out(hint: &str) -> String {
    let why = hint.split_once(": ").map_or("", |(_, why)| why);
    format!("Ruled out: {why}")
}
