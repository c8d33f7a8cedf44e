//! Parts of theory as they stand on a sheet.

use crate::bank::{Choice, Point};
use crate::marking::Sharing;
use crate::problem::{
    AnswerSpace, ChoiceKey, JudgementKey, MatchingKey, Response, VerdictKey, letter,
};

use crate::export::sheet::{MarkKind, MarkLine, PartKey};

/// How wrong letters cost marks, in a sentence for the candidate; empty where they cost none.
pub fn rule(space: &AnswerSpace) -> &'static str {
    match space {
        AnswerSpace::Options { multiple: true, .. } => Sharing::Options.words(),
        AnswerSpace::Order { .. } => Sharing::Order.words(),
        _ => "",
    }
}

/// The key to a part of theory.
pub(in crate::export) fn theory_key(response: &Response, marks: u32) -> PartKey {
    let answer = match response {
        Response::Written(key) => points_wanted(key.points.len(), marks),
        response => response.answer(),
    };
    PartKey { answer, accepted: None, scheme: scheme(response, marks), notes: notes(response) }
}

/// What a written answer has its marks for: `the points`, or `any 3 of the points`.
pub(in crate::export) fn points_wanted(points: usize, marks: u32) -> String {
    if points as u64 > u64::from(marks) {
        format!("any {marks} of the points")
    } else {
        "the points".to_owned()
    }
}

fn scheme(response: &Response, marks: u32) -> Vec<MarkLine> {
    let accuracy =
        |marks, what: &str| MarkLine { kind: MarkKind::Accuracy, marks, what: what.to_owned() };
    match response {
        Response::Written(key) => {
            let line = |point: &Point| MarkLine {
                kind: MarkKind::Point,
                marks: 1,
                what: format!("{} ({})", point.text, point.by),
            };
            key.points.iter().map(line).collect()
        }
        Response::Choice(key) if !key.several => vec![accuracy(marks, "the letter")],
        Response::Judgement(JudgementKey { right: None, .. }) => {
            vec![accuracy(marks, "true or false")]
        }
        Response::Judgement(_) => vec![
            accuracy(1, "true or false"),
            accuracy(marks.saturating_sub(1), "the reason, with a right verdict"),
        ],
        Response::Choice(_)
        | Response::Matching(_)
        | Response::Ordering(_)
        | Response::Range(_) => {
            vec![accuracy(marks, Sharing::of(response).words())]
        }
        Response::Verdict(_) => {
            vec![accuracy(marks, "the verdict that follows from the numbers found")]
        }
        Response::Text(key) => {
            let also: Vec<&str> = key.answers.iter().skip(1).map(String::as_str).collect();
            let what = if also.is_empty() {
                "the term, also with a slip of spelling".to_owned()
            } else {
                format!("the term, also as {}, or with a slip of spelling", also.join(" or "))
            };
            vec![MarkLine { kind: MarkKind::Accuracy, marks, what }]
        }
        Response::Number(_) => Vec::new(),
    }
}

/// Why each option is right or wrong, with its letter.
fn lettered(options: &[Choice]) -> Vec<String> {
    options
        .iter()
        .enumerate()
        .filter(|(_, option)| !option.because.is_empty())
        .map(|(index, option)| format!("{}: {}", letter(index, 'A'), option.because))
        .collect()
}

/// Why what is right is right and the rest is not.
fn notes(response: &Response) -> Vec<String> {
    match response {
        Response::Choice(ChoiceKey { options, .. }) => lettered(options),
        Response::Judgement(JudgementKey { because, reasons, .. }) => {
            std::iter::once(because.clone()).chain(lettered(reasons)).collect()
        }
        Response::Verdict(VerdictKey { options, right, because, .. }) => {
            let verdict = options.get(*right).map_or("", String::as_str);
            let because = if because.is_empty() { String::new() } else { format!(": {because}") };
            vec![format!("{}: {verdict}{because}", letter(*right, 'A'))]
        }
        Response::Matching(MatchingKey { left, right, answers, .. }) => left
            .iter()
            .zip(answers)
            .map(|(thing, index)| {
                format!("{thing}: {}", right.get(*index).map_or("", String::as_str))
            })
            .collect(),
        _ => Vec::new(),
    }
}
