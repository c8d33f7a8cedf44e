//! Feedback as pages to print.

use crate::paper::{PaperMarks, PartStanding};

use super::super::pages::{Column, Pages};
use super::super::{ExportError, PaperSize, TypeSize};
use super::feedback::{Feedback, PartFeedback};

/// The pages for the candidate of a paper as PDF, in large print for who needs it; `solutions` is where
/// the worked solutions lie, if anywhere.
///
/// # Errors
/// When the pages cannot be set, which no text of a candidate brings about.
pub fn feedback_pdf(
    title: &str,
    paper: &PaperMarks,
    solutions: Option<&str>,
    size: PaperSize,
) -> Result<Vec<u8>, ExportError> {
    let feedback = Feedback::of(title, paper);
    let type_size = if feedback.large { TypeSize::Large } else { TypeSize::Normal };
    let code = paper.code.to_string();
    let foot = [title, &paper.candidate.number, &code];
    let mut pages = Pages::new(&feedback.heading, &foot, size, type_size);
    pages.paragraph(&feedback.whose);
    for text in &feedback.summary {
        pages.paragraph(text);
    }
    table(&mut pages, &feedback);
    for question in &feedback.questions {
        pages.heading(2, &question.heading);
        for part in &question.parts {
            part_of(&mut pages, part);
        }
    }
    if let Some(place) = solutions {
        pages.markup("#block(above: 2em, link(");
        pages.quoted(place);
        pages.markup(")[");
        pages.text(&format!("Worked solutions of this paper: {place}"));
        pages.markup("])\n");
    }
    pages.set()
}

/// The marks of each question, in as many tables as a line is too short for.
fn table(pages: &mut Pages, feedback: &Feedback) {
    let in_a_line = if feedback.large { 8 } else { 14 };
    let questions: Vec<(String, String)> = (1..)
        .zip(&feedback.marks)
        .map(|(n, marks): (u32, _)| (n.to_string(), marks.to_string()))
        .collect();
    for line in questions.chunks(in_a_line) {
        let mut columns = vec![Column::Words];
        columns.resize(line.len() + 1, Column::Numbers);
        let mut head = vec!["question"];
        head.extend(line.iter().map(|(number, _)| number.as_str()));
        let mut row = vec!["marks".to_owned()];
        row.extend(line.iter().map(|(_, marks)| marks.clone()));
        pages.table(&columns, &head, &[row]);
    }
}

fn part_of(pages: &mut Pages, part: &PartFeedback) {
    let edge = match part.standing {
        PartStanding::Right => "right",
        PartStanding::Wrong | PartStanding::Unread => "wrong",
        PartStanding::Partly | PartStanding::ByHand | PartStanding::Blank => "other",
    };
    pages.markup(&format!("#part(\"{edge}\")[\n"));
    pages.heading(3, &part.ask);
    match &part.answer {
        None => pages.paragraph("Nothing was written."),
        Some(answer) => {
            pages.markup("#par[Written: ");
            pages.written(answer);
            pages.markup("]\n");
        }
    }
    for reason in &part.reasons {
        pages.paragraph(reason);
    }
    if let Some(rule) = &part.rule {
        pages.called("aside", rule);
    }
    pages.markup("]\n");
}
