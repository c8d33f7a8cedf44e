//! The same sheet with every text told differently.

use std::sync::Arc;

use castmark::export::{
    Accepted, AnswerSpace, CandidateField, Entry, EntryPart, EntrySlip, Lazy, MarkLine, PartKey,
    Sheet,
};
use castmark::problem::{Block, Drawing, WorkedStep};

/// The sheet with each of its texts replaced by what `tell` makes of it.
pub(crate) fn retold(sheet: &Sheet, tell: &dyn Fn(&str) -> String) -> Sheet {
    let mut sheet = sheet.clone();
    change(&mut sheet.title, tell);
    change_made(&mut sheet.note, |note| {
        if let Some(note) = note {
            change(note, tell);
        }
    });
    for detail in &mut sheet.details {
        change(&mut detail.label, tell);
        change(&mut detail.value, tell);
    }
    if let Some(mark) = &mut sheet.mark {
        change(mark, tell);
    }
    if let CandidateField::Number(number) = &mut sheet.candidate {
        change(number, tell);
    }
    for entry in &mut sheet.entries {
        retell_entry(Arc::make_mut(entry), tell);
    }
    sheet
}

fn change(text: &mut String, tell: &dyn Fn(&str) -> String) {
    *text = tell(text);
}

fn change_made<T: Clone + Send + Sync + 'static>(lazy: &mut Lazy<T>, tell: impl FnOnce(&mut T)) {
    let mut made = T::clone(lazy);
    tell(&mut made);
    *lazy = made.into();
}

fn change_all(texts: &mut [String], tell: &dyn Fn(&str) -> String) {
    for text in texts {
        change(text, tell);
    }
}

fn retell_entry(entry: &mut Entry, tell: &dyn Fn(&str) -> String) {
    if let Some(section) = &mut entry.section {
        change(&mut section.title, tell);
        if let Some(note) = &mut section.note {
            change(note, tell);
        }
    }
    for text in entry.heading.iter_mut().chain(&mut entry.code) {
        change(text, tell);
    }
    for block in &mut entry.stem {
        match block {
            Block::Paragraph(text) => change(text, tell),
            Block::List(items) => change_all(items, tell),
            Block::Table { head, rows } => {
                change_all(head, tell);
                for row in rows {
                    change_all(row, tell);
                }
            }
        }
    }
    for part in &mut entry.parts {
        retell_part(part, tell);
    }
    change_made(&mut entry.agreement, |agreement| {
        if let Some(text) = agreement {
            change(text, tell);
        }
    });
    if let Some(text) = &mut entry.method {
        change(text, tell);
    }
    change_made(&mut entry.plausible, |plausible| {
        if let Ok(Some(text)) = plausible {
            change(text, tell);
        }
    });
    change_made(&mut entry.methods, |methods| {
        for method in methods.iter_mut().flatten() {
            change(&mut method.title, tell);
            retell_steps(&mut method.steps, tell);
        }
    });
    retell_steps(&mut entry.working, tell);
    change_made(&mut entry.drawing, |drawing| {
        if let Some(Drawing { displaced, drugs, .. }) = drawing {
            for (label, _) in displaced.iter_mut().chain(drugs) {
                change(label, tell);
            }
        }
    });
    change_made(&mut entry.sources, |sources| {
        for detail in sources {
            change(&mut detail.label, tell);
            change(&mut detail.value, tell);
        }
    });
    change_made(&mut entry.slips, |slips| {
        for EntrySlip { id, say, answers, .. } in slips {
            change(id, tell);
            change(say, tell);
            for each in answers {
                change(&mut each.answer, tell);
            }
        }
    });
}

fn retell_steps(steps: &mut [WorkedStep], tell: &dyn Fn(&str) -> String) {
    for WorkedStep { say, label, result, .. } in steps {
        change(say, tell);
        change(label, tell);
        change(result, tell);
    }
}

fn retell_part(part: &mut EntryPart, tell: &dyn Fn(&str) -> String) {
    change(&mut part.id, tell);
    change(&mut part.ask, tell);
    match &mut part.space {
        AnswerSpace::Number { unit, rounding } => {
            change(unit, tell);
            change(rounding, tell);
        }
        AnswerSpace::Options { options, .. } => change_all(options, tell),
        AnswerSpace::Judgement { reasons, .. } => change_all(reasons, tell),
        AnswerSpace::Match { left, right, .. } => {
            change_all(left, tell);
            change_all(right, tell);
        }
        AnswerSpace::Order { items } => change_all(items, tell),
        AnswerSpace::Range { unit } => change(unit, tell),
        AnswerSpace::Lines { .. } | AnswerSpace::Text => {}
    }
    change_made(&mut part.key, |key| retell_key(key, tell));
}

fn retell_key(key: &mut PartKey, tell: &dyn Fn(&str) -> String) {
    let PartKey { answer, accepted, scheme, notes } = key;
    change(answer, tell);
    change_all(notes, tell);
    if let Some(Accepted { low, high, unit }) = accepted {
        change(low, tell);
        change(high, tell);
        change(unit, tell);
    }
    for MarkLine { what, .. } in scheme {
        change(what, tell);
    }
}
