//! The fields that a layout of feedback reads, as `exports/layouts/README.md` lists them.

use minijinja::{Value, context};

use super::feedback::{Feedback, PartFeedback};
use crate::export::fields::pieces::{block, optional, text, texts};
use crate::export::layout::format::Format;
use crate::export::writing::lines;
use crate::export::{CAUTION, Options, TypeSize};

/// How many questions a line of the table of marks has room for, in ordinary and in large print.
const IN_A_LINE: (usize, usize) = (12, 8);

/// The fields of feedback for a layout of the format; who needs large print has it whatever the options.
pub(in crate::export) fn feedback_fields(
    feedback: &Feedback,
    options: &Options,
    format: &Format,
) -> Value {
    let large = if feedback.large { TypeSize::Large.points() } else { 0 };
    let points = options.type_size.points().max(large);
    let in_a_line = if points < 18 { IN_A_LINE.0 } else { IN_A_LINE.1 };
    let marks: Vec<Value> = (1..)
        .zip(&feedback.marks)
        .map(|(number, (marks, of)): (u32, _)| {
            context! { number, marks => marks.to_string(), of }
        })
        .collect();
    let questions = (1..).zip(&feedback.questions).map(|(number, question): (u32, _)| {
        context! {
            number,
            heading => text(&question.heading),
            stem => question.stem.iter().map(block).collect::<Vec<_>>(),
            parts => question.parts.iter().map(|part| part_of(part, format)).collect::<Vec<_>>(),
        }
    });
    context! {
        title => text(&feedback.heading()),
        of => text(&feedback.title),
        letterhead => optional(feedback.front.letterhead.as_deref()),
        foot => optional(feedback.front.foot.as_deref()),
        mark => text(&feedback.code),
        candidate => context! {
            number => text(&feedback.number),
            name => optional(feedback.name.as_deref()),
        },
        whose => text(&feedback.whose()),
        summary => texts(&feedback.summary),
        marks => marks.chunks(in_a_line).map(Value::from).collect::<Vec<_>>(),
        questions => questions.collect::<Vec<_>>(),
        solutions => optional(feedback.solutions.as_deref()),
        caution => CAUTION,
        paper => options.paper.name(),
        points,
        width => options.width.max(lines::NARROWEST),
    }
}

fn part_of(part: &PartFeedback, format: &Format) -> Value {
    let line =
        |(letter, said): &(String, String)| context! { letter => text(letter), text => text(said) };
    let list = |list: &Vec<(String, String)>| list.iter().map(line).collect::<Vec<Value>>();
    context! {
        letter => text(&part.letter),
        ask => text(&part.ask),
        standing => part.standing.name(),
        lists => part.lists.iter().map(list).collect::<Vec<_>>(),
        steps => texts(&part.steps),
        answer => part.answer.as_deref().map_or_else(|| Value::from(""), format.written),
        reasons => texts(&part.reasons),
        rule => optional(part.rule.as_deref()),
        right => optional(part.right.as_deref()),
    }
}
