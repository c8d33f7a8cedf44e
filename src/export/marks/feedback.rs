//! What a candidate gets back: a web page without scripts.

use crate::paper::{Need, PaperMarks, PartMarks, PartStanding};
use crate::problem::letter;

use super::super::CAUTION;
use super::super::escape::{html, html_text, plain};

const STYLE: &str = "body{font:1rem/1.5 serif;max-width:44rem;margin:2rem auto;padding:0 1rem;\
    color:#111;background:#fff}body.large{font-size:18pt}h1{font-size:1.4em}\
    h2{font-size:1.2em;margin-bottom:.2rem}h3{font-size:1em;margin:0}section{margin:1.5rem 0}\
    div.part{border-left:.3rem solid #777;padding-left:1rem;margin:1rem 0;break-inside:avoid}\
    div.right{border-color:#1a6b34}div.wrong,div.unread{border-color:#a3201d}\
    p{margin:.3rem 0}.rule{font-style:italic}.written{font-family:monospace;white-space:pre-wrap;\
    overflow-wrap:anywhere}footer{font-size:.85em;margin-top:2rem}\
    table{border-collapse:collapse}td,th{border:1px solid #777;padding:.2rem .6rem;text-align:right}";

/// The page for the candidate of a paper; `solutions` is where the worked solutions lie, if anywhere.
pub fn feedback_page(title: &str, paper: &PaperMarks, solutions: Option<&str>) -> String {
    let mut out = String::from("<!DOCTYPE html>\n<html lang=\"en-GB\">\n<head>\n");
    out.push_str("<meta charset=\"utf-8\">\n");
    out.push_str("<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n");
    let heading = format!("{title}: candidate {}", paper.candidate.number);
    element(&mut out, "title", "", &heading);
    out.extend(["<style>", STYLE, "</style>\n</head>\n", body(paper), "\n<main>\n"]);
    element(&mut out, "h1", "", &heading);
    let name = paper.candidate.name.as_ref().map(|name| format!("{name}, ")).unwrap_or_default();
    element(&mut out, "p", "", &format!("{name}paper {}", paper.code));
    summary(&mut out, paper);
    for (number, question) in paper.questions.iter().enumerate() {
        out.push_str("<section>\n");
        let of = question.parts.iter().map(|part| part.of).sum();
        let marks = out_of(question.marks(), of);
        element(&mut out, "h2", "", &format!("Question {}: {marks}", number + 1));
        for (place, part) in question.parts.iter().enumerate() {
            part_of(&mut out, &letter(place, 'a'), part);
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

/// The tag of the body, in letters as large as those of the candidate's paper.
fn body(paper: &PaperMarks) -> &'static str {
    let large = paper.candidate.needs.contains(&Need::LargePrint);
    if large { "<body class=\"large\">" } else { "<body>" }
}

/// The marks of the paper and of each question.
fn summary(out: &mut String, paper: &PaperMarks) {
    if paper.absent {
        element(out, "p", "", "There are no answers of this candidate.");
        return;
    }
    let total = format!("Together {}.", out_of(paper.marks(), paper.of()));
    element(out, "p", "", &total);
    let waiting = paper.parts().filter(|part| part.standing == PartStanding::ByHand);
    let (count, marks) = waiting.fold((0, 0), |(count, marks), part| (count + 1, marks + part.of));
    if count > 0 {
        let answers = if count == 1 { "1 answer is" } else { &format!("{count} answers are") };
        let more = format!("{answers} still to be marked by hand, for up to {}.", worth(marks));
        element(out, "p", "", &more);
    }
    let (mut method, mut accuracy) = (0, 0);
    for (for_method, for_accuracy) in paper.parts().filter_map(PartMarks::method_and_accuracy) {
        method += for_method;
        accuracy += for_accuracy;
    }
    if method + accuracy > 0 {
        let split =
            format!("Marks for calculations: {method} for method and {accuracy} for accuracy.");
        element(out, "p", "", &split);
    }
    out.push_str("<table>\n<tr>");
    element_in_row(out, "th", "question");
    for number in 1..=paper.questions.len() {
        element_in_row(out, "th", &number.to_string());
    }
    out.push_str("</tr>\n<tr>");
    element_in_row(out, "th", "marks");
    for question in &paper.questions {
        element_in_row(out, "td", &question.marks().to_string());
    }
    out.push_str("</tr>\n</table>\n");
}

fn part_of(out: &mut String, letter: &str, part: &PartMarks) {
    out.extend(["<div class=\"part ", part.standing.name(), "\">\n"]);
    element(out, "h3", "", &format!("({letter}) {}", part.ask));
    for step in &part.steps {
        let words =
            format!("{}: {}, {}.", capital(&step.label), step.answer, step.standing.words());
        let reasons: Vec<&str> = step.reasons.iter().map(|reason| reason.text.as_str()).collect();
        element(out, "p", "", &format!("{words} {}", reasons.join(" ")));
    }
    if part.answer.is_empty() {
        element(out, "p", "", "Nothing was written.");
    } else {
        out.push_str("<p>Written: <span class=\"written\">");
        // White space counts here, so the blanks before units stay as they are.
        html(out, &plain(&part.answer));
        out.push_str("</span></p>\n");
    }
    let standing = if part.standing == PartStanding::ByHand {
        format!("{}, worth {}", part.standing.words(), worth(part.of))
    } else {
        format!("{}, {}", part.standing.words(), out_of(part.marks, part.of))
    };
    element(out, "p", "", &format!("{}.", capital(&standing)));
    let by_machine = part.hand.is_none() && part.standing != PartStanding::ByHand;
    if let Some(hand) = &part.hand {
        let why = if hand.why.is_empty() { String::new() } else { format!(": {}", hand.why) };
        let words = format!("Marked by hand by {} on {}{why}", hand.who, hand.when);
        element(out, "p", "", &words);
    }
    if part.standing == PartStanding::Unread {
        element(out, "p", "", "It has no marks until somebody has looked at it.");
    }
    if by_machine {
        for reason in &part.reasons {
            element(out, "p", "", &reason.text);
        }
        let told = |standing| matches!(standing, PartStanding::Partly | PartStanding::Wrong);
        if let Some((_, words)) = part.rule.as_ref().filter(|_| told(part.standing)) {
            element(out, "p", " class=\"rule\"", &format!("Rule: {words}"));
        }
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

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// `2 of 3 marks`.
fn out_of(marks: u32, of: u32) -> String {
    format!("{marks} of {}", worth(of))
}

/// `1 mark`.
fn worth(marks: u32) -> String {
    format!("{marks} mark{}", if marks == 1 { "" } else { "s" })
}
