//! The marks of a class as JSON Lines, with everything that is known of each part.
//!
//! What the lines hold is defined by [`crate::marks`], which reads them as well.

use crate::bank::{Blueprint, PlannedQuestion};
use crate::marking::Explanation;
use crate::marks::{
    By, HandNote, HeadQuestion, Line, Mark, MarkLine, Reason, StatusLine, StepNote, VERSION,
};
use crate::paper::{HandMark, PaperMarks, PartMarks, QuestionMarks, StepMarks};
use crate::problem::letter;

/// The questions of a blueprint in its order.
pub fn head_questions(blueprint: &Blueprint) -> Vec<HeadQuestion> {
    let questions = &blueprint.questions;
    let question = |(index, question): (usize, &PlannedQuestion)| {
        let template = &question.template;
        let section = blueprint.sections.get(question.section);
        HeadQuestion {
            planned: index as u64 + 1,
            template: template.id.clone(),
            title: template.title.clone(),
            section: section.map(|section| section.title.clone()).unwrap_or_default(),
            of: question.marks(),
        }
    };
    questions.iter().enumerate().map(question).collect()
}

/// The lines of these papers.
pub fn marks_lines(papers: &[PaperMarks]) -> String {
    let mut text = String::new();
    for paper in papers {
        let candidate = &paper.candidate;
        if let Some(status) = paper.status {
            let (number, group) = (candidate.number.clone(), candidate.group.clone());
            let line = StatusLine::new(number, paper.code.to_string(), status, group);
            text.push_str(&Line::Status(line).write());
        }
        for (number, question) in (1..).zip(&paper.questions) {
            for (index, part) in question.parts.iter().enumerate() {
                let line = MarkLine {
                    castmark_marks: VERSION,
                    question: number,
                    part: letter(index, 'a'),
                    ..line(paper, question, part)
                };
                text.push_str(&Line::Mark(Box::new(line)).write());
            }
        }
    }
    text
}

fn line(paper: &PaperMarks, question: &QuestionMarks, part: &PartMarks) -> MarkLine {
    let template = &question.template;
    let options = part.options.clone();
    let split = part.method_and_accuracy();
    let (chosen, texts, right) =
        options.map(|options| (options.chosen, options.texts, options.right)).unwrap_or_default();
    MarkLine {
        candidate: paper.candidate.number.clone(),
        paper: paper.code.to_string(),
        template: template.id.clone(),
        place: question.place.to_string(),
        marks: Some(part.marks),
        of: Mark::whole(part.of),
        standing: Some(part.standing),
        slips: part.slips.clone(),
        chosen,
        options: texts.len() as u64,
        right_options: right,
        objective: template.objective.name().to_owned(),
        topic: template.topic.clone(),
        by: if part.hand.is_some() { By::Hand } else { By::Program },
        option_texts: texts,
        answer: part.answer.clone(),
        method: split.map(|(method, _)| method),
        accuracy: split.map(|(_, accuracy)| accuracy),
        follows: part.follows,
        rule: part.rule.as_ref().map(|(rule, _)| rule.name().to_owned()),
        reasons: reasons(&part.reasons),
        steps: part.steps.iter().map(step).collect(),
        by_program: part.by_program,
        hand: part.hand.as_ref().map(hand),
        planned: Some(question.planned as u64 + 1),
        group: paper.candidate.group.clone(),
        ..MarkLine::default()
    }
}

fn hand(hand: &HandMark) -> HandNote {
    HandNote {
        who: hand.who.clone(),
        why: hand.why.clone(),
        when: hand.when.clone(),
        second: hand.second,
        second_who: hand.second_who.clone(),
    }
}

fn step(step: &StepMarks) -> StepNote {
    StepNote {
        step: step.id.clone(),
        answer: step.answer.clone(),
        standing: step.standing,
        reasons: reasons(&step.reasons),
    }
}

fn reasons(reasons: &[Explanation]) -> Vec<Reason> {
    let reason =
        |reason: &Explanation| Reason { kind: reason.kind.to_owned(), words: reason.text.clone() };
    reasons.iter().map(reason).collect()
}
