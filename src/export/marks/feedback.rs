//! What a candidate gets back, in words; a layout of every format sets it.

use crate::bank::Grading;
use crate::marking::{Rule, Standing};
use crate::marks::Mark;
use crate::paper::{Need, PaperMarks, PartMarks, StepMarks};
use crate::problem::{AnswerSpace, Block, Part, letter};
use crate::words::{out_of, worth};

use super::outcome::Outcome;
use crate::export::{Front, PartKey};

/// What is told of a paper.
#[derive(Clone, Debug)]
pub struct Feedback {
    /// What the institution puts around it.
    pub front: Front,
    /// The title of the paper.
    pub title: String,
    /// The number of the candidate.
    pub number: String,
    /// The code of the paper.
    pub code: String,
    /// The name of the candidate, if there is one.
    pub name: Option<String>,
    /// Whether the candidate needs large print.
    pub large: bool,
    /// What is said of the whole paper.
    pub summary: Vec<String>,
    /// The marks of each question and those it could have; none when there are no answers.
    pub marks: Vec<(Mark, u32)>,
    /// The questions.
    pub questions: Vec<QuestionFeedback>,
    /// Where the worked solutions of the paper lie, seen from here.
    pub solutions: Option<String>,
}

/// What is told of a question.
#[derive(Clone, Debug)]
pub struct QuestionFeedback {
    /// Its number and its marks.
    pub heading: String,
    /// What the candidate was told.
    pub stem: Vec<Block>,
    /// Its parts.
    pub parts: Vec<PartFeedback>,
}

/// What is told of a part.
#[derive(Clone, Debug)]
pub struct PartFeedback {
    /// How it stands.
    pub standing: Standing,
    /// Its letter; empty where the question has one part.
    pub letter: String,
    /// What was asked.
    pub ask: String,
    /// What stood below it: numbered or lettered lines, each with its number or letter.
    pub lists: Vec<Vec<(String, String)>>,
    /// The steps of the working that were written, and how each stands, a paragraph each.
    pub steps: Vec<String>,
    /// What was written, if anything.
    pub answer: Option<String>,
    /// How it was marked and why, a paragraph each.
    pub reasons: Vec<String>,
    /// The rule that took marks away.
    pub rule: Option<String>,
    /// The right answer, where another was given.
    pub right: Option<String>,
}

impl Feedback {
    /// What is told of a paper with that title; the result by its grading.
    pub fn of(title: &str, paper: &PaperMarks, grading: &Grading) -> Self {
        let questions = paper.questions.iter().zip(1..).map(|(question, number)| {
            let parts = question.problem.parts.iter().zip(&question.parts).enumerate();
            QuestionFeedback {
                heading: format!("Question {number}: {}", out_of(question.marks(), question.of())),
                stem: question.problem.stem.clone(),
                parts: parts
                    .map(|(at, (asked, part))| {
                        let several = question.parts.len() > 1;
                        let letter = if several { letter(at, 'a') } else { String::new() };
                        part_of(letter, asked, part)
                    })
                    .collect(),
            }
        });
        Self {
            front: Front::default(),
            title: title.to_owned(),
            number: paper.candidate.number.clone(),
            code: paper.code.to_string(),
            name: paper.candidate.name.clone(),
            large: paper.candidate.needs.contains(&Need::LargePrint),
            summary: summary(paper, grading),
            marks: paper.questions.iter().map(|it| (it.marks(), it.of())).collect(),
            questions: questions.collect(),
            solutions: None,
        }
    }

    /// The heading of all.
    pub(super) fn heading(&self) -> String {
        format!("{}: candidate {}", self.title, self.number)
    }

    /// Whose it is, and which paper.
    pub(super) fn whose(&self) -> String {
        let name = self.name.as_ref().map(|name| format!("{name}, ")).unwrap_or_default();
        format!("{name}paper {}", self.code)
    }
}

/// The marks of the whole paper.
fn summary(paper: &PaperMarks, grading: &Grading) -> Vec<String> {
    if let Some(status) = paper.status {
        return vec![format!("There are no answers of this candidate: {status}.")];
    }
    let outcome = Outcome::of(paper, grading);
    let per_cent = &outcome.per_cent;
    let mut summary =
        vec![format!("Together {}, {per_cent} %.", out_of(paper.marks(), paper.of()))];
    if !outcome.result.is_empty() {
        summary.push(format!("Result: {}.", outcome.result));
    }
    if !outcome.grade.is_empty() {
        summary.push(format!("Grade: {}.", outcome.grade));
    }
    let waiting = paper.parts().filter(|part| part.standing == Standing::ByHand);
    let (count, marks) = waiting.fold((0, 0), |(count, marks), part| (count + 1, marks + part.of));
    if count > 0 {
        let answers = if count == 1 { "1 answer is" } else { &format!("{count} answers are") };
        summary.push(format!("{answers} still to be marked by hand, for up to {}.", worth(marks)));
    }
    let (mut method, mut accuracy) = (Mark::NONE, Mark::NONE);
    for (for_method, for_accuracy) in paper.parts().filter_map(PartMarks::method_and_accuracy) {
        method = method + for_method;
        accuracy = accuracy + for_accuracy;
    }
    if method + accuracy > Mark::NONE {
        summary.push(format!(
            "Marks for calculations: {method} for method and {accuracy} for accuracy."
        ));
    }
    summary
}

fn part_of(letter: String, asked: &Part, part: &PartMarks) -> PartFeedback {
    let standing = if part.standing == Standing::ByHand {
        format!("{}, worth {}", part.standing.words(), worth(part.of))
    } else {
        format!("{}, {}", part.standing.words(), out_of(part.marks, part.of))
    };
    let mut reasons = vec![format!("{}.", capital(&standing))];
    if let Some(hand) = &part.hand {
        let why = if hand.why.is_empty() { String::new() } else { format!(": {}", hand.why) };
        let second = hand.second_who.as_ref().map(|who| format!(" and {who}")).unwrap_or_default();
        reasons.push(format!("Marked by hand by {}{second} on {}{why}", hand.who, hand.when));
    }
    if part.standing == Standing::NotRead {
        reasons.push("It has no marks until somebody has looked at it.".to_owned());
    }
    let mut rule: Option<&(Rule, String)> = None;
    if part.hand.is_none() && part.standing != Standing::ByHand {
        let said = part.reasons.iter().filter(|reason| reason.adds);
        reasons.extend(said.map(|reason| reason.text.clone()));
        let told = part.rule_matters && part.standing != Standing::NotRead;
        rule = part.rule.as_ref().filter(|_| told);
    }
    PartFeedback {
        standing: part.standing,
        letter,
        ask: part.ask.clone(),
        lists: lists(asked),
        right: (part.standing != Standing::Correct).then(|| right(asked, part)),
        steps: part.steps.iter().map(step).collect(),
        answer: (!part.answer.is_empty()).then(|| part.answer.clone()),
        reasons,
        rule: rule.map(|(_, words)| format!("Marking rule: {words}")),
    }
}

/// The lines that the part offers, with the marks by which they are named.
fn lists(asked: &Part) -> Vec<Vec<(String, String)>> {
    let lettered = |texts: Vec<String>| -> Vec<(String, String)> {
        let marked = texts.into_iter().enumerate();
        marked.map(|(index, text)| (letter(index, 'A'), text)).collect()
    };
    let lists = match asked.response.key().space() {
        AnswerSpace::Options { options, .. } => vec![lettered(options)],
        AnswerSpace::Order { items } => vec![lettered(items)],
        AnswerSpace::Judgement { reasons, with_reason: true } => vec![lettered(reasons)],
        AnswerSpace::Match { left, right, .. } => {
            let numbered =
                (1..).zip(left).map(|(number, text): (u32, _)| (number.to_string(), text));
            vec![numbered.collect(), lettered(right)]
        }
        _ => Vec::new(),
    };
    lists.into_iter().filter(|list| !list.is_empty()).collect()
}

/// The right answer with what else is accepted, or the points that a written answer should make.
fn right(asked: &Part, part: &PartMarks) -> String {
    if !part.points.is_empty() {
        return format!("A full answer makes these points: {}.", part.points.join("; "));
    }
    let key = PartKey::of(asked);
    let accepted = key.accepted.map(|range| range.text()).filter(|text| *text != key.answer);
    let accepted = accepted.map(|text| format!(" (accepted: {text})")).unwrap_or_default();
    format!("Right answer: {}{accepted}", key.answer)
}

fn step(step: &StepMarks) -> String {
    let words = format!("{}: {}, {}.", capital(&step.label), step.answer, step.standing.words());
    let reasons = step.reasons.iter().map(|reason| reason.text.as_str());
    std::iter::once(words.as_str()).chain(reasons).collect::<Vec<_>>().join(" ")
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
