//! The list of results by number, without names, to post.

use crate::bank::Grading;
use crate::export::Front;
use crate::export::office::{OfficeBlock, OfficeColumn, OfficeSheet};
use crate::marks::MarksHead;

use super::cells::row;
use super::outcome::Outcome;
use super::table::BYTE_ORDER_MARK;

/// The list as a table for a spreadsheet.
pub fn results_table(outcomes: &[Outcome], grading: &Grading) -> String {
    let mut text = BYTE_ORDER_MARK.to_owned();
    let names = columns(grading).into_iter().map(|column| column.name.to_owned());
    text.push_str(&row(&names.collect::<Vec<_>>()));
    text.extend(rows(outcomes, grading).iter().map(|cells| row(cells)));
    text
}

/// The list as a page to post.
pub fn results_sheet(head: &MarksHead, outcomes: &[Outcome]) -> OfficeSheet {
    let waiting = outcomes.iter().filter(|outcome| !outcome.is_final()).count();
    let columns = columns(&head.grading).into_iter();
    let mut blocks = vec![OfficeBlock::Table {
        columns: columns.map(|column| OfficeColumn::short(column.heading)).collect(),
        rows: rows(outcomes, &head.grading),
    }];
    if waiting > 0 {
        blocks.push(OfficeBlock::Words(format!(
            "Not final: {waiting} of {} papers wait to be marked or settled.",
            outcomes.len()
        )));
    }
    OfficeSheet {
        front: Front::of_marks(head),
        title: format!("{}: results", head.title()),
        foot: Vec::new(),
        details: Vec::new(),
        square: None,
        blocks,
    }
}

/// A column of the list.
struct Column {
    /// Its name in the table.
    name: &'static str,
    /// Its heading on the page.
    heading: &'static str,
    cell: fn(&Outcome) -> &str,
}

fn columns(grading: &Grading) -> Vec<Column> {
    let mut columns = vec![
        Column { name: "candidate", heading: "Candidate", cell: |it| &it.candidate },
        Column { name: "status", heading: "Status", cell: |it| it.status },
        Column { name: "marks", heading: "Marks", cell: |it| &it.marks },
        Column { name: "of", heading: "Of", cell: |it| &it.of },
        Column { name: "per_cent", heading: "Per cent", cell: |it| &it.per_cent },
    ];
    if grading.pass.is_some() {
        columns.push(Column { name: "result", heading: "Result", cell: |it| it.result });
    }
    if !grading.grades.is_empty() {
        columns.push(Column { name: "grade", heading: "Grade", cell: |it| &it.grade });
    }
    columns
}

/// A row for each candidate, by number.
fn rows(outcomes: &[Outcome], grading: &Grading) -> Vec<Vec<String>> {
    let mut sorted: Vec<&Outcome> = outcomes.iter().collect();
    sorted.sort_by(|a, b| a.candidate.cmp(&b.candidate));
    let columns = columns(grading);
    let cells =
        |outcome: &Outcome| columns.iter().map(|it| (it.cell)(outcome).to_owned()).collect();
    sorted.into_iter().map(cells).collect()
}
