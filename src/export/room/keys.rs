//! The keys of a whole class for whoever marks: one line for each candidate.

use crate::bank::Blueprint;
use crate::export::PartKey;
use crate::export::marks::{BYTE_ORDER_MARK, row};
use crate::export::office::{OfficeBlock, OfficeColumn, OfficeSheet};
use crate::paper::Paper;
use crate::problem::{Problem, Response, letter};

/// How many parts stand beside each other on a page; a class with more has several tables.
const BESIDE: usize = 6;

/// The line of a candidate: number, code, and for each part as printed its name and its key.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KeyRow {
    candidate: String,
    code: String,
    keys: Vec<(String, String)>,
}

/// The keys of a paper, whose problems are given in the order in which they are printed.
pub fn key_row(paper: &Paper, problems: &[Problem]) -> KeyRow {
    let mut keys = Vec::new();
    for (number, problem) in (1..).zip(problems) {
        for (place, part) in problem.parts.iter().enumerate() {
            let several = problem.parts.len() > 1;
            let name = if several { letter(place, 'a') } else { String::new() };
            let key = PartKey::of(part);
            let written = matches!(part.response, Response::Written(_));
            let answer = if written { "by hand".to_owned() } else { key.answer };
            keys.push((format!("{number}{name}"), answer));
        }
    }
    KeyRow { candidate: paper.candidate.number.clone(), code: paper.code.to_string(), keys }
}

/// The table on pages: a few parts beside each other, every candidate in one line.
pub fn key_table(blueprint: &Blueprint, rows: &[KeyRow]) -> OfficeSheet {
    let parts = rows.iter().map(|row| row.keys.len()).max().unwrap_or_default();
    let alike = |place: usize| {
        let mut names = rows.iter().map(|row| row.keys.get(place).map(|(name, _)| name));
        let first = names.next().flatten();
        names.all(|name| name == first)
    };
    let mut blocks = Vec::new();
    for begin in (0..parts).step_by(BESIDE) {
        if begin > 0 {
            blocks.push(OfficeBlock::NewPage);
        }
        let places: Vec<usize> = (begin..(begin + BESIDE).min(parts)).collect();
        let name = |place: usize| rows.first().and_then(|row| row.keys.get(place));
        let name = |place: usize| name(place).map_or("", |(name, _)| name.as_str());
        let (first, last) = (name(places[0]), name(places[places.len() - 1]));
        // Where papers differ in the order of their questions, the place is all that they share.
        let heading = if places.iter().all(|place| alike(*place)) {
            format!("Keys {first} to {last}")
        } else {
            format!(
                "Keys {} to {} of each paper, with their questions",
                begin + 1,
                begin + places.len()
            )
        };
        blocks.push(OfficeBlock::Heading(heading));
        let mut columns = vec![OfficeColumn::short("Candidate"), OfficeColumn::short("Paper")];
        columns.extend(
            places
                .iter()
                .map(|place| OfficeColumn::long(if alike(*place) { name(*place) } else { "" })),
        );
        let line = |row: &KeyRow| {
            let keys = places.iter().map(|place| match row.keys.get(*place) {
                Some((_, key)) if alike(*place) => key.clone(),
                Some((name, key)) => format!("{name}: {key}"),
                None => String::new(),
            });
            [row.candidate.clone(), row.code.clone()].into_iter().chain(keys).collect()
        };
        blocks.push(OfficeBlock::Table { columns, rows: rows.iter().map(line).collect() });
    }
    OfficeSheet {
        title: format!("{}: keys of all candidates", blueprint.title),
        foot: vec!["for markers only".to_owned()],
        details: Vec::new(),
        square: None,
        blocks,
    }
}

/// The table for a spreadsheet.
pub fn key_table_rows(rows: &[KeyRow]) -> String {
    let parts = rows.iter().map(|row| row.keys.len()).max().unwrap_or_default();
    let mut headings = vec!["candidate".to_owned(), "paper".to_owned()];
    headings.extend((1..=parts).map(|place| format!("key {place}")));
    let mut text = BYTE_ORDER_MARK.to_owned() + &row(&headings);
    for line in rows {
        let mut cells = vec![line.candidate.clone(), line.code.clone()];
        cells.extend(line.keys.iter().map(|(name, key)| format!("{name}: {key}")));
        cells.resize(headings.len(), String::new());
        text.push_str(&row(&cells));
    }
    text
}
