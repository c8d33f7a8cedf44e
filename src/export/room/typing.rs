//! The table into which answers are typed, with a row for everybody and a column for every part.

use crate::bank::Blueprint;
use crate::export::marks::{BYTE_ORDER_MARK, row};
use crate::paper::PaperSet;
use crate::problem::letter;

/// The table without answers: `castmark mark` reads it when it is filled in.
///
/// A column is one part as numbered on each candidate's own paper. Where papers differ in the order of
/// their questions, some have no part for a column; its cell stays empty.
pub fn empty_answers(set: &PaperSet, blueprint: &Blueprint) -> String {
    let parts = |planned: usize| {
        blueprint.questions.get(planned).map_or(0, |question| question.template.parts.len())
    };
    let questions = set.templates.len();
    let mut headings = vec!["candidate".to_owned(), "paper".to_owned(), "status".to_owned()];
    for index in 0..questions {
        let planned = set.papers.iter().filter_map(|paper| paper.questions.get(index));
        let counts: Vec<usize> = planned.map(|question| parts(question.planned)).collect();
        let most = counts.iter().copied().max().unwrap_or_default();
        headings.extend((0..most).map(|part| {
            let name = if most > 1 { letter(part, 'a') } else { String::new() };
            format!("{}{name}", index + 1)
        }));
    }
    let mut text = BYTE_ORDER_MARK.to_owned() + &row(&headings);
    for paper in &set.papers {
        let mut cells = vec![paper.candidate.number.clone(), paper.code.to_string()];
        cells.resize(headings.len(), String::new());
        text.push_str(&row(&cells));
    }
    text
}
