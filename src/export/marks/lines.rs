//! The marks of a class as JSON Lines, with everything that is known of each part.
//!
//! The first line is the head: `castmark_marks`, the version of the names, now 1; `title` of the paper;
//! `fingerprint` of the set of papers; `made_by`, the version of the program; `rules`: `default` or
//! `own`. Then comes a line for each candidate and part, in the order of the manifest; a candidate who
//! is not among the answers has one line with `candidate`, `paper` and `absent`, which is true:
//! * `candidate`, `paper` (the code), `question` (as printed, from 1) and `part` (its letter);
//! * `template`, and `place`: which problem of it, a number as text;
//! * `marks`, `of`, `standing`: `correct`, `partly-correct`, `not-correct`, `not-read`, `by-hand` or
//!   `blank`;
//! * `slips`: the ids of those the answer shows;
//! * `chosen`, `options`, `right_options` and `option_texts`: the letters chosen, how many options
//!   there were, the letters of the right ones and what all of them said; none but for options;
//! * `objective` and `topic` of the template;
//! * `by`: `program`, or `hand` where a mark given by hand holds;
//! * `answer` as written, `method` and `accuracy` (`null` for theory), `follows`: whether it follows
//!   from an own wrong number, `rule` and `reasons`: their kinds and words, `by_program`: the marks
//!   before any were given by hand, `steps`: those of the working that were entered for the part, each
//!   with `step` (its name in the template), `answer`, `standing` and `reasons`, and `hand`: who gave them, why and when, or `null`.

use serde_json::{Value, json};

use crate::marking::Explanation;
use crate::paper::{PaperMarks, PartMarks, QuestionMarks};
use crate::problem::letter;

/// The version of the field names.
const VERSION: u32 = 1;

/// What the head of the marks says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MarksTitle {
    /// The title of the paper.
    pub title: String,
    /// By which the set of papers is known again.
    pub fingerprint: String,
    /// The version of the program that marks.
    pub made_by: String,
    /// Whether the rules are others than the usual ones.
    pub own_rules: bool,
}

/// The first line.
pub fn marks_head(title: &MarksTitle) -> String {
    let head = json!({
        "castmark_marks": VERSION,
        "title": title.title,
        "fingerprint": title.fingerprint,
        "made_by": title.made_by,
        "rules": if title.own_rules { "own" } else { "default" },
    });
    format!("{head}\n")
}

/// The lines of these papers.
pub fn marks_lines(papers: &[PaperMarks]) -> String {
    let mut text = String::new();
    for paper in papers {
        if paper.absent {
            let line = json!({
                "castmark_marks": VERSION,
                "candidate": paper.candidate.number,
                "paper": paper.code.to_string(),
                "absent": true,
            });
            text.extend([line.to_string().as_str(), "\n"]);
        }
        for (number, question) in paper.questions.iter().enumerate() {
            for (place, part) in question.parts.iter().enumerate() {
                let line = line(paper, question, part, (number + 1, &letter(place, 'a')));
                text.extend([line.to_string().as_str(), "\n"]);
            }
        }
    }
    text
}

fn line(
    paper: &PaperMarks,
    question: &QuestionMarks,
    part: &PartMarks,
    (number, letter): (usize, &str),
) -> Value {
    let template = &question.template;
    let options = part.options.as_ref();
    let steps: Vec<Value> = part
        .steps
        .iter()
        .map(|step| {
            json!({
                "step": step.id,
                "answer": step.answer,
                "standing": step.standing.name(),
                "reasons": reasons(&step.reasons),
            })
        })
        .collect();
    let split = part.method_and_accuracy();
    json!({
        "castmark_marks": VERSION,
        "candidate": paper.candidate.number,
        "paper": paper.code.to_string(),
        "question": number,
        "part": letter,
        "template": template.id,
        "place": question.place.to_string(),
        "marks": part.marks,
        "of": part.of,
        "standing": part.standing.name(),
        "slips": part.slips,
        "chosen": options.map(|it| it.chosen.clone()).unwrap_or_default(),
        "options": options.map_or(0, |it| it.texts.len()),
        "right_options": options.map(|it| it.right.clone()).unwrap_or_default(),
        "objective": template.objective.name(),
        "topic": template.topic,
        "by": if part.hand.is_some() { "hand" } else { "program" },
        "option_texts": options.map(|it| it.texts.clone()).unwrap_or_default(),
        "answer": part.answer,
        "method": split.map(|(method, _)| method),
        "accuracy": split.map(|(_, accuracy)| accuracy),
        "follows": part.follows,
        "rule": part.rule.as_ref().map(|(rule, _)| rule.name()),
        "reasons": reasons(&part.reasons),
        "steps": steps,
        "by_program": part.by_program,
        "hand": part.hand.as_ref().map(|hand| json!({
            "who": hand.who,
            "why": hand.why,
            "when": hand.when,
        })),
    })
}

fn reasons(reasons: &[Explanation]) -> Vec<Value> {
    reasons.iter().map(|reason| json!({ "kind": reason.kind, "words": reason.text })).collect()
}
