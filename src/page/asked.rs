//! A question as it is asked: what kind of answer it wants, with its labels, options and lines.

use serde::Serialize;

use crate::export::readable;
use crate::practice::Question;
use crate::problem::{AnswerSpace, Part, Response, letter};
use crate::quantity::{Dimension, Rounding};
use crate::words::{number, worth};

use super::answer::unit_text;

/// A question as it is asked.
#[derive(Debug, Serialize)]
pub(super) struct AskedPart {
    letter: String,
    heading: String,
    ask: String,
    marks: u32,
    worth: String,
    kind: &'static str,
    label: String,
    unit: String,
    rounding: String,
    /// Whether the answer may be below zero.
    negative: bool,
    /// The labels of the two fields of a range.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    fields: Vec<String>,
    rule: &'static str,
    again: bool,
    with_reason: bool,
    pub(super) options: Vec<AskedOption>,
    pub(super) lines: Vec<AskedLine>,
}

/// An option, a reason, a right side or a line to be put in order.
#[derive(Debug, Serialize)]
pub(super) struct AskedOption {
    letter: String,
    text: String,
    pub(super) words: String,
    pub(super) ruled_out: bool,
    pub(super) chosen: bool,
}

/// A line to be matched or sorted.
#[derive(Debug, Serialize)]
pub(super) struct AskedLine {
    number: usize,
    text: String,
    pub(super) words: String,
}

impl AskedPart {
    /// The question on a part of a problem of so many parts.
    pub(super) fn of(part: &Part, question: Question, parts: usize, blank: Option<usize>) -> Self {
        let letter = if parts > 1 { letter(question.part, 'a') } else { String::new() };
        let heading = match (blank, letter.as_str()) {
            (Some(step), _) => format!("Step {}", step + 1),
            (None, "") => "Question".to_owned(),
            (None, letter) => format!("Part ({letter})"),
        };
        let space = part.response.key().space();
        let (unit, rounding) = match &part.response {
            Response::Number(key) => (unit_text(key.unit), Some(key.rounding)),
            Response::Range(key) => (unit_text(key.unit), None),
            _ => (String::new(), None),
        };
        let rounding = rounding.map(rounding_text).unwrap_or_default();
        let kind = kind(part, blank.is_some());
        Self {
            letter,
            heading,
            ask: readable(&part.ask),
            marks: part.marks,
            worth: worth(part.marks),
            kind,
            label: label(part, kind, blank, &unit, &rounding),
            negative: may_be_negative(part),
            fields: fields(kind, &unit),
            rule: rule(&space),
            again: matches!(space, AnswerSpace::Match { again: true, .. }),
            with_reason: matches!(space, AnswerSpace::Judgement { with_reason: true, .. }),
            options: options(part),
            lines: lines(part),
            unit,
            rounding,
        }
    }
}

fn kind(part: &Part, step: bool) -> &'static str {
    match &part.response {
        Response::Number(_) if step => "step",
        Response::Number(_) => "number",
        Response::Choice(key) if key.is_procedure => "error",
        Response::Choice(key) if key.several => "several",
        Response::Verdict(_) | Response::Choice(_) => "one",
        Response::Judgement(_) => "truth",
        Response::Matching(key) if key.shared => "grouping",
        Response::Matching(_) => "matching",
        Response::Ordering(_) => "ordering",
        Response::Text(_) => "text",
        Response::Range(_) => "range",
        Response::Written(_) => "written",
    }
}

/// What a field or a group of choices is called.
fn label(part: &Part, kind: &str, blank: Option<usize>, unit: &str, rounding: &str) -> String {
    let in_unit = if unit.is_empty() { String::new() } else { format!(" in {unit}") };
    let to = if rounding.is_empty() { String::new() } else { format!(", to {rounding}") };
    match (kind, blank) {
        ("step", Some(step)) => readable(&format!("Result of step {}{in_unit}{to}", step + 1)),
        ("number", _) => readable(&format!("Answer{in_unit}{to}")),
        ("one", _) => "Choose one".to_owned(),
        ("error", _) => "Choose the line with the error".to_owned(),
        ("several", _) => "Choose all that apply".to_owned(),
        ("truth", _) => "True or false".to_owned(),
        ("matching", _) => "Choose one for each line".to_owned(),
        ("grouping", _) => "Choose a group for each line".to_owned(),
        ("ordering", _) => "Number the lines in their order".to_owned(),
        ("text", _) => "Answer in a word or two".to_owned(),
        ("range", _) => readable(&format!("Both ends of the range{in_unit}")),
        ("written", _) => match part.marks {
            1 => "Your answer, for one mark".to_owned(),
            marks => format!("Your answer, for {} marks", number(marks as usize).to_lowercase()),
        },
        _ => "Answer".to_owned(),
    }
}

fn fields(kind: &str, unit: &str) -> Vec<String> {
    let in_unit = if unit.is_empty() { String::new() } else { format!(", in {unit}") };
    match kind {
        "range" => vec![readable(&format!("From{in_unit}")), readable(&format!("To{in_unit}"))],
        "truth" => vec!["True or false".to_owned(), "Reason".to_owned()],
        _ => Vec::new(),
    }
}

/// `two decimal places`.
fn rounding_text(rounding: Rounding) -> String {
    let text = rounding.to_string();
    match text.split_once(' ') {
        Some((count, rest)) if count.parse::<usize>().is_ok_and(|count| count < 10) => {
            let count = number(count.parse().unwrap_or(0)).to_lowercase();
            format!("{count} {rest}")
        }
        _ => text,
    }
}

/// Whether an answer may be below zero. What is worked out is not, so only a temperature is.
fn may_be_negative(part: &Part) -> bool {
    let unit = match &part.response {
        Response::Number(key) => key.unit,
        Response::Range(key) => key.unit,
        _ => return false,
    };
    unit.dimension() == Dimension::TEMPERATURE
}

fn rule(space: &AnswerSpace) -> &'static str {
    crate::export::rule(space)
}

fn options(part: &Part) -> Vec<AskedOption> {
    let option = |(index, text): (usize, &&str)| AskedOption {
        letter: letter(index, 'A'),
        text: readable(text),
        words: String::new(),
        ruled_out: false,
        chosen: false,
    };
    super::tried::texts(part).iter().enumerate().map(option).collect()
}

fn lines(part: &Part) -> Vec<AskedLine> {
    let Response::Matching(key) = &part.response else { return Vec::new() };
    let line = |(index, text): (usize, &String)| AskedLine {
        number: index + 1,
        text: readable(text),
        words: String::new(),
    };
    key.left.iter().enumerate().map(line).collect()
}
