//! Feedback as pages to print.

use crate::bank::Grading;
use crate::marking::Standing;
use crate::paper::PaperMarks;
use crate::problem::Block;

use super::super::pages::{Column, Pages};
use super::super::{ExportError, OwnFont, PaperSize, TypeSize};
use super::feedback::{Feedback, PartFeedback};

/// The pages for the candidate of a paper as PDF, in large print for who needs it; `solutions` is where
/// the worked solutions lie, if anywhere, and `font` one beside those in the program.
///
/// # Errors
/// When the pages cannot be set, which no text of a candidate brings about.
pub fn feedback_pdf(
    title: &str,
    paper: &PaperMarks,
    grading: &Grading,
    solutions: Option<&str>,
    size: PaperSize,
    font: Option<&OwnFont>,
) -> Result<Vec<u8>, ExportError> {
    laid_out(&Feedback::of(title, paper, grading), solutions, size).set(font)
}

fn laid_out(feedback: &Feedback, solutions: Option<&str>, size: PaperSize) -> Pages {
    let type_size = if feedback.large { TypeSize::Large } else { TypeSize::Normal };
    let foot = [feedback.title.as_str(), &feedback.number, &feedback.code];
    let mut pages = Pages::new(&feedback.heading(), &foot, size, type_size);
    pages.paragraph(&feedback.whose());
    for text in &feedback.summary {
        pages.paragraph(text);
    }
    table(&mut pages, feedback);
    for question in &feedback.questions {
        pages.heading(2, &question.heading);
        for block in &question.stem {
            stem(&mut pages, block, if feedback.large { 2 } else { 4 });
        }
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
    pages
}

/// The marks of each question, in as many tables as a line is too short for.
fn table(pages: &mut Pages, feedback: &Feedback) {
    let in_a_line = if feedback.large { 8 } else { 14 };
    let questions: Vec<[String; 3]> = (1..)
        .zip(&feedback.marks)
        .map(|(n, (marks, of)): (u32, _)| [n.to_string(), marks.to_string(), of.to_string()])
        .collect();
    for line in questions.chunks(in_a_line) {
        let mut columns = vec![Column::Words];
        columns.resize(line.len() + 1, Column::Numbers);
        let mut head = vec!["question"];
        head.extend(line.iter().map(|[number, _, _]| number.as_str()));
        let row = |name: &str, place: usize| {
            let cells = line.iter().map(|question| question[place].clone());
            std::iter::once(name.to_owned()).chain(cells).collect()
        };
        pages.table(&columns, &head, &[row("marks", 1), row("of", 2)]);
    }
}

/// A block of the question as it was asked; a paragraph stays with what follows.
fn stem(pages: &mut Pages, block: &Block, across: usize) {
    match block {
        Block::Paragraph(text) => {
            pages.markup("#lead(par[");
            pages.text(text);
            pages.markup("])\n");
        }
        Block::List(points) => {
            for point in points {
                pages.paragraph(&format!("• {point}"));
            }
        }
        Block::Table { head, rows } => {
            let (head, rows) = beside(head, rows, across);
            let columns = vec![Column::Words; head.len().max(rows.first().map_or(0, Vec::len))];
            let head: Vec<&str> = head.iter().map(String::as_str).collect();
            pages.table(&columns, &head, &rows);
        }
    }
}

/// A long table of one or two columns in several pieces beside each other, read downwards.
fn beside(head: &[String], rows: &[Vec<String>], most: usize) -> (Vec<String>, Vec<Vec<String>>) {
    let wide = head.len().max(rows.first().map_or(0, Vec::len));
    let across = if wide > 2 { 1 } else { rows.len().div_ceil(4).clamp(1, most) };
    let deep = rows.len().div_ceil(across);
    let line = |down: usize| -> Vec<String> {
        let cells = |piece: usize| rows.get(piece * deep + down).cloned();
        (0..across)
            .flat_map(|piece| cells(piece).unwrap_or_else(|| vec![String::new(); wide]))
            .collect()
    };
    (vec![head; across].concat(), (0..deep).map(line).collect())
}

fn part_of(pages: &mut Pages, part: &PartFeedback) {
    let edge = match part.standing {
        Standing::Correct => "right",
        Standing::NotCorrect | Standing::NotRead => "wrong",
        Standing::PartlyCorrect | Standing::ByHand | Standing::Blank => "other",
    };
    pages.markup(&format!("#part(\"{edge}\")[\n"));
    pages.heading(3, &part.ask);
    for (mark, text) in part.lists.iter().flatten() {
        pages.paragraph(&format!("{mark}. {text}"));
    }
    for step in &part.steps {
        pages.paragraph(step);
    }
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
    if let Some(right) = &part.right {
        pages.markup("#par(strong[");
        pages.text(right);
        pages.markup("])\n");
    }
    pages.markup("]\n");
}

#[cfg(test)]
mod tests {
    use super::super::feedback::QuestionFeedback;
    use super::*;
    use crate::marks::Mark;

    fn feedback(large: bool, questions: u32) -> Feedback {
        let part = PartFeedback {
            standing: Standing::PartlyCorrect,
            ask: "(a) How much #base?".into(),
            steps: vec!["Total capacity: 20 g, right.".into()],
            answer: Some("2 g\n  or $3$".into()),
            reasons: vec!["Partly right, 1 of 2 marks.".into(), "See *step* 2.".into()],
            rule: Some("Rule: half".into()),
            lists: vec![vec![("A".into(), "#an option".into())]],
            right: Some("Right answer: 3 $g$".into()),
        };
        Feedback {
            title: "Midterm".into(),
            number: "0101".into(),
            code: "75uy-9s45c".into(),
            name: Some("A <b>".into()),
            large,
            summary: vec!["Together 1 of 2 marks.".into()],
            marks: (1..=questions).map(|n| (Mark::whole(n), n)).collect(),
            questions: vec![QuestionFeedback {
                heading: "Question 1: 1 of 2 marks".into(),
                stem: vec![
                    Block::Paragraph("A #mould holds:".into()),
                    Block::Table { head: vec!["mass".into()], rows: vec![vec!["2 g".into()]] },
                ],
                parts: vec![part],
            }],
        }
    }

    #[test]
    fn everything_that_is_told_stands_on_the_pages_and_none_of_it_is_markup() {
        let markup = laid_out(&feedback(false, 3), Some("../a.pdf"), PaperSize::A4).into_markup();
        for words in [
            "(\"Midterm\", \"0101\", \"75uy-9s45c\", )",
            "#par[A \\<b\\>\\, paper 75uy\\-9s45c]",
            "#par[Together 1 of 2 marks\\.]",
            "#heading(level: 2)[Question 1\\: 1 of 2 marks]",
            "#heading(level: 3)[\\(a\\) How much \\#base\\?]",
            "#written[2 g#linebreak()~ or \\$3\\$]",
            "#par[See \\*step\\* 2\\.]",
            "#aside[Rule\\: half]",
            "#lead(par[A \\#mould holds\\:])",
            "#par[A\\. \\#an option]",
            "#par(strong[Right answer\\: 3 \\$g\\$])",
            "link(\"../a.pdf\")",
        ] {
            assert!(markup.contains(words), "{words}\n{markup}");
        }
    }

    #[test]
    fn a_long_table_is_read_downwards_in_pieces() {
        let rows: Vec<Vec<String>> = (1..=9).map(|n: u32| vec![n.to_string()]).collect();
        let (head, rows) = beside(&["mass".to_owned()], &rows, 4);
        assert_eq!(head, ["mass"; 3]);
        assert_eq!(rows, [["1", "4", "7"], ["2", "5", "8"], ["3", "6", "9"]]);
        assert_eq!(beside(&[], &[], 4), (Vec::new(), Vec::new()));
    }

    #[test]
    fn a_table_of_many_questions_has_as_many_lines_as_it_needs() {
        let tables = |large, questions| {
            let markup =
                laid_out(&feedback(large, questions), None, PaperSize::Letter).into_markup();
            markup.matches("#told(").count()
        };
        // One more is the table of the question.
        assert_eq!([tables(false, 0), tables(false, 14), tables(false, 15)], [1, 2, 3]);
        assert_eq!([tables(true, 8), tables(true, 9), tables(true, 30)], [2, 3, 5]);
    }
}
