//! The keys of a whole class for whoever marks: one line for each candidate.

use std::borrow::Borrow;

use crate::bank::Blueprint;
use crate::export::marks::{BYTE_ORDER_MARK, row};
use crate::export::office::{OfficeBlock, OfficeColumn, OfficeSheet};
use crate::export::{Front, PartKey};
use crate::paper::Paper;
use crate::problem::{Part, Problem, Response, letter};

/// How many questions stand beside each other on a page; a paper with more has several tables.
const BESIDE: usize = 6;

/// For how many candidates the next table begins a page of its own.
const MANY: usize = 20;

/// Letters of a key that has room in a line of a column.
const SHORT: usize = 14;

/// The line of a candidate: number, code, and the keys of each question as printed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KeyRow {
    candidate: String,
    code: String,
    /// The keys of each question, each with the letter of its part; empty where there is one part.
    questions: Vec<Vec<(String, String)>>,
}

/// The keys of a paper, whose problems are given in the order in which they are printed.
pub fn key_row(paper: &Paper, problems: &[impl Borrow<Problem>]) -> KeyRow {
    let keys = |problem: &Problem| {
        let several = problem.parts.len() > 1;
        let key = |(index, part): (usize, &Part)| {
            let name = if several { letter(index, 'a') } else { String::new() };
            let written = matches!(part.response, Response::Written(_));
            let answer = if written { "by hand".to_owned() } else { PartKey::of(part).answer };
            (name, answer)
        };
        problem.parts.iter().enumerate().map(key).collect()
    };
    KeyRow {
        candidate: paper.candidate.number.clone(),
        code: paper.code.to_string(),
        questions: problems.iter().map(|problem| keys(problem.borrow())).collect(),
    }
}

/// The table on pages: a few questions beside each other, every candidate in one line.
pub fn key_table(blueprint: &Blueprint, rows: &[KeyRow]) -> OfficeSheet {
    let questions = rows.iter().map(|row| row.questions.len()).max().unwrap_or_default();
    let mut blocks = Vec::new();
    for begin in (0..questions).step_by(BESIDE) {
        if begin > 0 && rows.len() > MANY {
            blocks.push(OfficeBlock::NewPage);
        }
        let end = (begin + BESIDE).min(questions);
        let (first, last) = (begin + 1, end);
        blocks.push(OfficeBlock::Heading(if first == last {
            format!("Question {first}")
        } else {
            format!("Questions {first} to {last}, as numbered on each paper")
        }));
        let mut columns = vec![OfficeColumn::short("Candidate"), OfficeColumn::short("Paper")];
        columns.extend((first..=last).map(|number| OfficeColumn::long(&number.to_string())));
        let line = |row: &KeyRow| {
            let keys = (begin..end)
                .map(|index| row.questions.get(index).map_or_else(String::new, |keys| told(keys)));
            [row.candidate.clone(), row.code.clone()].into_iter().chain(keys).collect()
        };
        blocks.push(OfficeBlock::Table { columns, rows: rows.iter().map(line).collect() });
    }
    OfficeSheet {
        front: Front::of(blueprint),
        title: format!("{}: keys of all candidates", blueprint.title),
        foot: vec!["for markers only".to_owned()],
        details: Vec::new(),
        square: None,
        blocks,
    }
}

/// The keys of a question in a cell; a short one is not broken over two lines.
fn told(keys: &[(String, String)]) -> String {
    let told = keys.iter().map(|(name, key)| {
        let key = if name.is_empty() { key.clone() } else { format!("{name} {key}") };
        if key.chars().count() > SHORT { key } else { key.replace(' ', "\u{a0}") }
    });
    told.collect::<Vec<_>>().join("; ")
}

/// The table for a spreadsheet.
pub fn key_table_rows(rows: &[KeyRow]) -> String {
    let parts = |row: &KeyRow| row.questions.iter().map(Vec::len).sum::<usize>();
    let parts = rows.iter().map(parts).max().unwrap_or_default();
    let mut headings = vec!["candidate".to_owned(), "paper".to_owned()];
    headings.extend((1..=parts).map(|number| format!("key {number}")));
    let mut text = BYTE_ORDER_MARK.to_owned() + &row(&headings);
    for line in rows {
        let mut cells = vec![line.candidate.clone(), line.code.clone()];
        for (number, keys) in (1_usize..).zip(&line.questions) {
            let named = |(name, key): &(String, String)| format!("{number}{name}: {key}");
            cells.extend(keys.iter().map(named));
        }
        cells.resize(headings.len(), String::new());
        text.push_str(&row(&cells));
    }
    text
}
