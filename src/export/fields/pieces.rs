//! The fields of the pieces that sheets, feedback and reports are made of.

use minijinja::{Value, context};

use crate::problem::{Block, letter};
use crate::words;

use crate::export::sheet::theory::rule;
use crate::export::writing::escape::plain;
use crate::export::{AnswerSpace, Detail, Entry, EntrySlip, PartKey};

/// A block of a stem.
pub(in crate::export) fn block(block: &Block) -> Value {
    match block {
        Block::Paragraph(paragraph) => context! { kind => "paragraph", text => text(paragraph) },
        Block::List(items) => context! { kind => "list", items => texts(items) },
        Block::Table { head, rows } => context! {
            kind => "table",
            head => texts(head),
            rows => rows.iter().map(|row| texts(row)).collect::<Vec<_>>(),
        },
    }
}

/// The space of a part; `told` is the part that tells the same rule first.
pub(in crate::export) fn space(space: &AnswerSpace, told: &str) -> Value {
    match space {
        AnswerSpace::Number { unit, rounding } => {
            context! { kind => "number", unit => text(unit), rounding => text(rounding) }
        }
        AnswerSpace::Options { options, multiple } => {
            context! { kind => "options", multiple, options => lettered(options), rule => rule(space), told }
        }
        AnswerSpace::Match { left, right, again } => context! {
            kind => "match",
            again,
            left => left
                .iter()
                .enumerate()
                .map(|(n, each)| context! { number => n + 1, text => text(each) })
                .collect::<Vec<_>>(),
            right => lettered(right),
        },
        AnswerSpace::Order { items } => {
            context! { kind => "order", items => lettered(items), rule => rule(space), told }
        }
        AnswerSpace::Lines { count } => context! { kind => "lines", count },
        AnswerSpace::Judgement { reasons, with_reason } => {
            context! { kind => "judgement", reasons => lettered(reasons), with_reason }
        }
        AnswerSpace::Range { unit } => context! { kind => "range", unit => text(unit) },
        AnswerSpace::Text => context! { kind => "text" },
    }
}

/// The key of a part.
pub(in crate::export) fn key(key: &PartKey) -> Value {
    let scheme: Vec<Value> = key
        .scheme
        .iter()
        .map(|line| {
            context! {
                kind => line.kind.name(),
                marks => line.marks,
                worth => worth(line.marks),
                what => text(&line.what),
            }
        })
        .collect();
    let accepted = key.accepted.as_ref().map(crate::export::Accepted::text);
    context! {
        answer => text(&key.answer),
        accepted => optional(accepted.as_deref()),
        scheme,
        notes => texts(&key.notes),
    }
}

/// A slip and the answers it leads to.
pub(in crate::export) fn slip(entry: &Entry, slip: &EntrySlip) -> Value {
    let answers: Vec<Value> = slip
        .answers
        .iter()
        .map(|each| {
            context! {
                letter => entry.part_letter(each.part),
                answer => text(&each.answer),
                marks => each.marks,
                worth => worth(each.marks),
            }
        })
        .collect();
    context! { id => text(&slip.id), say => text(&slip.say), answers }
}

/// So many marks in words; nothing where nothing is marked.
pub(in crate::export) fn worth(marks: u32) -> Value {
    Value::from(if marks == 0 { String::new() } else { words::worth(marks) })
}

fn lettered(items: &[String]) -> Vec<Value> {
    items
        .iter()
        .enumerate()
        .map(|(n, each)| context! { letter => letter(n, 'A'), text => text(each) })
        .collect()
}

/// Texts for a layout.
pub(in crate::export) fn texts(items: &[String]) -> Vec<Value> {
    items.iter().map(|each| text(each)).collect()
}

/// A text for a layout.
pub(in crate::export) fn text(text: &str) -> Value {
    Value::from(plain(text))
}

/// The text, or an empty one, which counts as false in a layout.
pub(in crate::export) fn optional(text: Option<&str>) -> Value {
    Value::from(plain(text.unwrap_or_default()))
}

/// Facts with what they are.
pub(in crate::export) fn details(details: &[Detail]) -> Value {
    let detail = |it: &Detail| context! { label => text(&it.label), value => text(&it.value) };
    details.iter().map(detail).collect()
}
