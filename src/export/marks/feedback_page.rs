//! Feedback as a web page without scripts.

use crate::bank::Grading;
use crate::marks::Mark;
use crate::paper::PaperMarks;
use crate::problem::Block;

use super::super::CAUTION;
use super::super::escape::{html, html_text, plain};
use super::feedback::{Feedback, PartFeedback};

const STYLE: &str = "body{font:1rem/1.5 serif;max-width:44rem;margin:2rem auto;padding:0 1rem;\
    color:#111;background:#fff}body.large{font-size:18pt}h1{font-size:1.4em}\
    h2{font-size:1.2em;margin-bottom:.2rem}h3{font-size:1em;margin:0}section{margin:1.5rem 0}\
    div.part{border-left:.3rem solid #777;padding-left:1rem;margin:1rem 0;break-inside:avoid}\
    div.correct{border-color:#1a6b34}div.not-correct,div.not-read{border-color:#a3201d}\
    p{margin:.3rem 0}.rule{font-style:italic}.written{font-family:monospace;white-space:pre-wrap;\
    overflow-wrap:anywhere}footer{font-size:.85em;margin-top:2rem}\
    .right{font-weight:bold}ul.lettered{list-style:none;padding-left:1rem;margin:.3rem 0}\
    table{border-collapse:collapse;margin:.5rem 0}td,th{border:1px solid #777;padding:.2rem .6rem;text-align:right}";

/// How many questions a table has beside each other.
const IN_A_LINE: usize = 12;

/// The page for the candidate of a paper; `solutions` is where the worked solutions lie, if anywhere.
pub fn feedback_page(
    title: &str,
    paper: &PaperMarks,
    grading: &Grading,
    solutions: Option<&str>,
) -> String {
    let feedback = Feedback::of(title, paper, grading);
    let heading = feedback.heading();
    let mut out = String::from("<!DOCTYPE html>\n<html lang=\"en-GB\">\n<head>\n");
    out.push_str("<meta charset=\"utf-8\">\n");
    out.push_str("<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n");
    element(&mut out, "title", "", &heading);
    let body = if feedback.large { "<body class=\"large\">" } else { "<body>" };
    out.extend(["<style>", STYLE, "</style>\n</head>\n", body, "\n<main>\n"]);
    element(&mut out, "h1", "", &heading);
    element(&mut out, "p", "", &feedback.whose());
    for text in &feedback.summary {
        element(&mut out, "p", "", text);
    }
    if !feedback.marks.is_empty() {
        table(&mut out, &feedback.marks);
    }
    for question in &feedback.questions {
        out.push_str("<section>\n");
        element(&mut out, "h2", "", &question.heading);
        for block in &question.stem {
            stem(&mut out, block);
        }
        for part in &question.parts {
            part_of(&mut out, part);
        }
        out.push_str("</section>\n");
    }
    if let Some(place) = solutions {
        out.push_str("<p><a href=\"");
        html(&mut out, place);
        out.push_str("\">Worked solutions of this paper</a></p>\n");
    }
    out.push_str("</main>\n<footer>\n");
    element(&mut out, "p", "", CAUTION);
    out.push_str("</footer>\n</body>\n</html>\n");
    out
}

/// The number of a question, with its marks and those it could have.
type Numbered<'m> = (usize, &'m (Mark, u32));

/// The marks of each question, and those it could have, in as many tables as a line is too short for.
fn table(out: &mut String, marks: &[(Mark, u32)]) {
    let numbered: Vec<Numbered<'_>> = (1..).zip(marks).collect();
    for line in numbered.chunks(IN_A_LINE) {
        out.push_str("<table>\n");
        let mut row = |name: &str, cell: &str, text: &dyn Fn(&Numbered<'_>) -> String| {
            out.push_str("<tr>");
            element_in_row(out, "th", name);
            for question in line {
                element_in_row(out, cell, &text(question));
            }
            out.push_str("</tr>\n");
        };
        row("question", "th", &|(number, _)| number.to_string());
        row("marks", "td", &|(_, (marks, _))| marks.to_string());
        row("of", "td", &|(_, (_, of))| of.to_string());
        out.push_str("</table>\n");
    }
}

/// A block of the question as it was asked.
fn stem(out: &mut String, block: &Block) {
    match block {
        Block::Paragraph(text) => element(out, "p", " class=\"asked\"", text),
        Block::List(points) => {
            out.push_str("<ul class=\"asked\">\n");
            for point in points {
                element(out, "li", "", point);
            }
            out.push_str("</ul>\n");
        }
        Block::Table { head, rows } => {
            out.push_str("<table class=\"asked\">\n");
            let headed = std::iter::once(("th", head)).filter(|(_, head)| !head.is_empty());
            for (cell, row) in headed.chain(rows.iter().map(|row| ("td", row))) {
                out.push_str("<tr>");
                for text in row {
                    element_in_row(out, cell, text);
                }
                out.push_str("</tr>\n");
            }
            out.push_str("</table>\n");
        }
    }
}

fn part_of(out: &mut String, part: &PartFeedback) {
    out.extend(["<div class=\"part ", part.standing.name(), "\">\n"]);
    element(out, "h3", "", &part.ask);
    for list in &part.lists {
        out.push_str("<ul class=\"lettered\">\n");
        for (mark, text) in list {
            element(out, "li", "", &format!("{mark}. {text}"));
        }
        out.push_str("</ul>\n");
    }
    for step in &part.steps {
        element(out, "p", "", step);
    }
    match &part.answer {
        None => element(out, "p", "", "Nothing was written."),
        Some(answer) => {
            out.push_str("<p>Written: <span class=\"written\">");
            // White space counts here, so the blanks before units stay as they are.
            html(out, &plain(answer));
            out.push_str("</span></p>\n");
        }
    }
    for reason in &part.reasons {
        element(out, "p", "", reason);
    }
    if let Some(rule) = &part.rule {
        element(out, "p", " class=\"rule\"", rule);
    }
    if let Some(right) = &part.right {
        element(out, "p", " class=\"right\"", right);
    }
    out.push_str("</div>\n");
}

fn element(out: &mut String, name: &str, attributes: &str, text: &str) {
    out.extend(["<", name, attributes, ">"]);
    html_text(out, &plain(text));
    out.extend(["</", name, ">\n"]);
}

fn element_in_row(out: &mut String, name: &str, text: &str) {
    out.extend(["<", name, ">"]);
    html_text(out, text);
    out.extend(["</", name, ">"]);
}
