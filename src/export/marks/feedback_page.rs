//! Feedback as a web page without scripts.

use crate::paper::PaperMarks;

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
    table{border-collapse:collapse}td,th{border:1px solid #777;padding:.2rem .6rem;text-align:right}";

/// The page for the candidate of a paper; `solutions` is where the worked solutions lie, if anywhere.
pub fn feedback_page(title: &str, paper: &PaperMarks, solutions: Option<&str>) -> String {
    let feedback = Feedback::of(title, paper);
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

/// The marks of each question.
fn table(out: &mut String, marks: &[u32]) {
    out.push_str("<table>\n<tr>");
    element_in_row(out, "th", "question");
    for number in 1..=marks.len() {
        element_in_row(out, "th", &number.to_string());
    }
    out.push_str("</tr>\n<tr>");
    element_in_row(out, "th", "marks");
    for marks in marks {
        element_in_row(out, "td", &marks.to_string());
    }
    out.push_str("</tr>\n</table>\n");
}

fn part_of(out: &mut String, part: &PartFeedback) {
    out.extend(["<div class=\"part ", part.standing.name(), "\">\n"]);
    element(out, "h3", "", &part.ask);
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
