//! What a candidate reads after the end: the answers, the working, the drawing and the sources.

use crate::problem::{WorkedStep, letter};
use crate::words::worth;

use super::xml::{Element, paragraph, plain, qti};
use crate::export::{Entry, MarkLine, Picture};

/// The outcome that is set when a question has been marked, and its value.
pub(super) const SOLUTION: &str = "SOLUTION";
pub(super) const AFTER: &str = "AFTER";

/// Everything that is shown after the end; `drawing` is the file of the drawing.
pub(super) fn solution(entry: &Entry, drawing: Option<(&str, &Picture<'_>)>) -> Element {
    let mut block = qti("feedbackBlock")
        .with("outcomeIdentifier", SOLUTION)
        .with("identifier", AFTER)
        .with("showHide", "show")
        .child(heading("Answers"))
        .child(answers(entry));
    if !entry.working.is_empty() {
        let title = entry.method.as_deref().map(|method| format!(": {method}"));
        block = block
            .child(heading(&format!("Working{}", title.unwrap_or_default())))
            .child(working(&entry.working));
    }
    for method in entry.other_methods().unwrap_or_default() {
        block = block.child(heading(&format!("Working: {}", method.title)));
        block = block.child(working(&method.steps));
    }
    block = block.children(entry.agreement.as_deref().map(paragraph));
    block = block.children(entry.plausibility().unwrap_or_default().map(paragraph));
    if let Some((file, picture)) = drawing {
        let image = plain("img").with("src", file).with("alt", picture.sentence());
        block = block.child(plain("p").child(image.with("width", "480")));
    }
    if !entry.sources.is_empty() {
        let sources = entry
            .sources
            .iter()
            .map(|source| plain("li").text(&format!("{}: {}", source.label, source.value)));
        block = block.child(heading("Sources")).child(plain("ul").children(sources));
    }
    block
}

fn heading(text: &str) -> Element {
    plain("p").child(plain("strong").text(text))
}

/// The answers with what is accepted and why.
fn answers(entry: &Entry) -> Element {
    let lines = entry.parts.iter().enumerate().map(|(index, part)| {
        let named = match entry.parts.len() {
            0 | 1 => String::new(),
            _ => format!("({}) ", letter(index, 'a')),
        };
        let accepted =
            part.key.accepted.as_ref().map(|range| format!(", accepted {}", range.text()));
        let answer = format!("{named}{}{}", part.key.answer, accepted.unwrap_or_default());
        let notes = part.key.notes.iter().map(|note| plain("li").text(note));
        let notes = plain("ul").children(notes);
        let point = |line: &MarkLine| format!("{}: {}", worth(line.marks), line.what);
        let points = part.key.scheme.iter().map(|line| plain("li").text(&point(line)));
        let points = plain("ul").children(points);
        let line = plain("li").text(&answer);
        [points, notes].into_iter().filter(|list| !list.is_empty()).fold(line, Element::child)
    });
    plain("ul").children(lines)
}

/// The steps, each a sentence and a line of mathematics.
fn working(steps: &[WorkedStep]) -> Element {
    let steps = steps.iter().map(|step| {
        let equation = step.equation();
        plain("li").child(paragraph(&step.say)).child(plain("p").math(&equation.mathml()))
    });
    plain("ol").children(steps)
}
