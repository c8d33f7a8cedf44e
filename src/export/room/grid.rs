//! An answer grid: one line for each part of a candidate's paper, with the code for a camera.

use std::borrow::Borrow;

use crate::bank::Blueprint;
use crate::export::office::{OfficeBlock, OfficeColumn, OfficeSheet};
use crate::export::{Detail, Front, Square};
use crate::paper::Paper;
use crate::problem::{AnswerSpace, Problem, letter};

/// The grid of a paper, whose problems are given in the order in which they are printed.
pub fn answer_grid(
    blueprint: &Blueprint,
    paper: &Paper,
    problems: &[impl Borrow<Problem>],
) -> OfficeSheet {
    let mut rows = Vec::new();
    for (number, problem) in (1..).zip(problems.iter().map(Borrow::<Problem>::borrow)) {
        for (index, part) in problem.parts.iter().enumerate() {
            let name = if problem.parts.len() == 1 {
                format!("{number}")
            } else {
                format!("{number}{}", letter(index, 'a'))
            };
            let (wanted, unit) = wanted(&part.response.key().space());
            rows.push(vec![name, String::new(), unit, wanted]);
        }
    }
    let candidate = &paper.candidate;
    let facts = [
        ("Candidate", Some(candidate.number.clone())),
        ("Name", candidate.name.clone()),
        ("Paper", Some(paper.code.to_string())),
        ("Seat", candidate.seat.clone()),
    ];
    let fact = |(label, value): (&str, Option<String>)| {
        Some(Detail { label: label.to_owned(), value: value? })
    };
    OfficeSheet {
        front: Front::of(blueprint),
        title: format!("{}: answer grid", blueprint.title),
        foot: vec![candidate.number.clone(), paper.code.to_string()],
        details: facts.into_iter().filter_map(fact).collect(),
        square: Square::of(&paper.code.to_string()),
        blocks: vec![
            OfficeBlock::Words(
                "Write every answer on the line of its question. Only what is written here is marked, \
                 except for answers on the paper."
                    .to_owned(),
            ),
            OfficeBlock::Table {
                columns: vec![
                    OfficeColumn::short("Question"),
                    OfficeColumn::blank("Answer"),
                    OfficeColumn::short("Unit"),
                    OfficeColumn::short("What is wanted"),
                ],
                rows,
            },
        ],
    }
}

/// What is to be written, and the unit.
fn wanted(space: &AnswerSpace) -> (String, String) {
    let plain = |words: &str| (words.to_owned(), String::new());
    match space {
        AnswerSpace::Number { unit, rounding } => (rounding.clone(), unit.clone()),
        AnswerSpace::Options { multiple: false, .. } => plain("one letter"),
        AnswerSpace::Options { multiple: true, .. } => plain("all letters that apply"),
        AnswerSpace::Match { left, .. } => (format!("{} letters", left.len()), String::new()),
        AnswerSpace::Judgement { with_reason: true, .. } => plain("true or false, and a letter"),
        AnswerSpace::Judgement { with_reason: false, .. } => plain("true or false"),
        AnswerSpace::Range { unit } => ("from … to …".to_owned(), unit.clone()),
        AnswerSpace::Order { items } => {
            (format!("{} letters in order", items.len()), String::new())
        }
        AnswerSpace::Lines { .. } => plain("on the paper"),
        AnswerSpace::Text => plain("a word or two"),
    }
}
