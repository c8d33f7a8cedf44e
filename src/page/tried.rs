//! A try at a question in words.

use serde::Serialize;

use crate::bank::Bank;
use crate::export::readable;
use crate::marking::{Finding, Pieces, Understood};
use crate::practice::{Judged, Outcome, Shown, VerdictShown};
use crate::problem::{Part, Problem, Response, letter};
use crate::words::out_of;

/// A try at a question.
#[derive(Debug, Serialize)]
pub(super) struct Try {
    number: usize,
    heading: &'static str,
    standing: Outcome,
    said: String,
    marks: u32,
    of: u32,
    score: String,
    sentences: Vec<String>,
    lines: Vec<TriedLine>,
    after: Vec<String>,
}

/// What a try says of one option or line.
#[derive(Debug, Serialize)]
pub(super) struct TriedLine {
    pub(super) index: usize,
    pub(super) words: String,
    pub(super) correct: bool,
}

/// A question with the marks that it has, and one of the tries at it.
#[derive(Clone, Copy)]
pub(super) struct Trying<'a> {
    pub(super) bank: &'a Bank,
    pub(super) problem: &'a Problem,
    pub(super) index: usize,
    /// Whether other questions follow.
    pub(super) last: bool,
}

impl Trying<'_> {
    /// The try of this number, from 1.
    pub(super) fn told(self, number: usize, answer: &str, judged: &Judged) -> Try {
        let marked = &judged.marked;
        let part = self.problem.parts.get(self.index);
        let is_number = part.is_some_and(|part| part.response.number().is_some());
        let verdict = VerdictShown {
            part: self.index,
            answer: answer.to_owned(),
            outcome: marked.outcome,
            number: u32::try_from(number).unwrap_or(u32::MAX),
            marks: marked.marks,
            of: marked.of,
            sentences: Vec::new(),
            again: judged.again,
            carries: is_number && !self.last,
        };
        let heading = verdict.heading();
        let after = Shown::Verdict(verdict).sentences();
        let sentences = marked.sentences(self.problem, self.bank);
        let read = |texts: Vec<String>| texts.iter().map(|text| readable(text)).collect();
        Try {
            number,
            heading,
            standing: marked.outcome,
            said: part.map_or(String::new(), |part| said(number, judged, part, answer)),
            marks: marked.marks,
            of: marked.of,
            score: out_of(marked.marks, marked.of),
            sentences: read(sentences),
            lines: part.map_or(Vec::new(), |part| lines(judged, part)),
            after: read(after),
        }
    }
}

/// The answer as it was understood: `First try: 23.94 g`.
fn said(number: usize, judged: &Judged, part: &Part, answer: &str) -> String {
    let which = match number {
        1 if judged.again => "First try",
        2 => "Second try",
        _ => "Your answer",
    };
    let understood = judged.marked.verdict().map(|verdict| &verdict.understood);
    let text = match (understood, &part.response) {
        (Some(number @ Understood::Number { .. }), _) => {
            number.words().unwrap_or_default().replace('-', "\u{2212}")
        }
        (Some(Understood::Options(indices)), _) => options(part, indices),
        (Some(Understood::Judgement(truth, reasons)), _) => {
            let truth = if *truth { "true" } else { "false" };
            match options(part, reasons) {
                reasons if reasons.is_empty() => truth.to_owned(),
                reasons => format!("{truth}, for reason {reasons}"),
            }
        }
        // The lines say it.
        (Some(Understood::Pairs(_)), _) => return String::new(),
        (Some(Understood::Order(indices)), _) => {
            let letters: Vec<String> = indices.iter().map(|index| letter(*index, 'A')).collect();
            letters.join(", ")
        }
        (Some(Understood::Ends(low, Some(high))), Response::Range(key)) => {
            format!("{low} to {high} {}", key.unit.symbol()).replace('-', "\u{2212}")
        }
        _ => answer.to_owned(),
    };
    readable(&format!("{which}: {text}"))
}

/// The options of these indices with their letters.
fn options(part: &Part, indices: &[usize]) -> String {
    let texts = texts(part);
    let told = |index: &usize| {
        let text = texts.get(*index).map_or("", |text| text.trim_end_matches('.'));
        format!("{}: {text}", letter(*index, 'A'))
    };
    let told: Vec<String> = indices.iter().map(told).collect();
    told.join("; ")
}

/// The options or reasons of a part, or the right sides of its lines.
pub(super) fn texts(part: &Part) -> Vec<&str> {
    match &part.response {
        Response::Choice(key) => key.options.iter().map(|option| option.text.as_str()).collect(),
        Response::Verdict(key) => key.options.iter().map(String::as_str).collect(),
        Response::Judgement(key) => key.reasons.iter().map(|reason| reason.text.as_str()).collect(),
        Response::Matching(key) => key.right.iter().map(String::as_str).collect(),
        Response::Ordering(key) => key.items.iter().map(String::as_str).collect(),
        _ => Vec::new(),
    }
}

/// What a try says of each option chosen or line answered.
pub(super) fn lines(judged: &Judged, part: &Part) -> Vec<TriedLine> {
    let Some(verdict) = judged.marked.verdict() else { return Vec::new() };
    let Finding::Pieces(pieces) = &verdict.finding else { return Vec::new() };
    match (pieces, &verdict.understood) {
        (Pieces::Options { wrong, .. }, Understood::Options(chosen)) => {
            let line = |index: &usize| {
                let correct = !wrong.contains(index);
                let option = options(part, &[*index]);
                let words =
                    format!("{option}. {}", if correct { "Correct." } else { "Not correct." });
                TriedLine { index: *index, words: readable(&words), correct }
            };
            chosen.iter().map(line).collect()
        }
        (Pieces::Lines { wrong, .. }, Understood::Pairs(pairs)) => {
            let line = |(index, chosen): (usize, &Option<usize>)| {
                let correct = chosen.is_some() && !wrong.contains(&(index + 1));
                let chosen =
                    chosen.map_or("no choice".to_owned(), |chosen| options(part, &[chosen]));
                let words =
                    format!("{chosen}. {}", if correct { "Correct." } else { "Not correct." });
                TriedLine { index, words: readable(&words), correct }
            };
            pairs.iter().enumerate().map(line).collect()
        }
        _ => Vec::new(),
    }
}

/// What of a try stays for the second one.
#[derive(Debug, Serialize)]
#[serde(untagged)]
pub(super) enum Kept {
    /// Lines that were correct, each with the index of what it goes with.
    Pairs(Vec<Option<usize>>),
    /// The correct choice of true or false.
    Truth {
        /// Whether the statement was called true.
        truth: bool,
    },
    /// The order that was given.
    Order(Vec<usize>),
}

impl Kept {
    /// What of a try stays.
    pub(super) fn of(judged: &Judged) -> Option<Self> {
        let verdict = judged.marked.verdict()?;
        match (&verdict.understood, &verdict.finding) {
            (Understood::Pairs(pairs), Finding::Pieces(Pieces::Lines { wrong, .. })) => {
                let kept = |(index, chosen): (usize, &Option<usize>)| {
                    chosen.filter(|_| !wrong.contains(&(index + 1)))
                };
                Some(Self::Pairs(pairs.iter().enumerate().map(kept).collect()))
            }
            (
                Understood::Judgement(said, _),
                Finding::Pieces(Pieces::Judged { truth: true, .. }),
            ) => Some(Self::Truth { truth: *said }),
            (Understood::Order(indices), _) => Some(Self::Order(indices.clone())),
            _ => None,
        }
    }
}
