//! An account as JSON for programs.
//!
//! `castmark_verdict` is the version of the names, now 1; it is raised when a field changes its meaning
//! or goes. The fields: `code`, `template` and `title` of the problem; `marks` and `of`, those of all
//! parts; `caution`; `entries`, each with
//! * `item`: `part` or `step`, and its `place` from 1, its `id` in the template and its `label`;
//! * `ask`: the question, `null` for a step;
//! * `answer` as written, and `understood`: the number that was read, or `null`;
//! * `standing`: `correct`, `partly-correct`, `not-correct`, `not-read` or `by-hand`;
//! * `marks` and `of`;
//! * `rule`: the `name` of the rule that gave or took the marks, and its `words`;
//! * `reasons`: the `kind` and the `words` of each, the most telling first;
//! * `points`: those of a written answer.

use serde_json::{Value, json};

use crate::marking::{Account, AccountLine, Item};

use crate::export::CAUTION;

/// The version of the field names.
const VERSION: u32 = 1;

/// The document.
pub(in crate::export) fn account_json(account: &Account) -> String {
    let entries: Vec<Value> = account.lines.iter().map(entry).collect();
    let document = json!({
        "castmark_verdict": VERSION,
        "code": account.code,
        "template": account.template,
        "title": account.title,
        "marks": account.marks,
        "of": account.of,
        "caution": CAUTION,
        "entries": entries,
    });
    format!("{document:#}\n")
}

fn entry(line: &AccountLine) -> Value {
    let (item, index) = match line.item {
        Item::Part(part) => ("part", part),
        Item::Step(step) => ("step", step),
    };
    let reasons: Vec<Value> = line
        .reasons
        .iter()
        .map(|reason| json!({ "kind": reason.kind, "words": reason.text }))
        .collect();
    json!({
        "item": item,
        "place": index + 1,
        "id": line.id,
        "label": line.label,
        "ask": (!line.ask.is_empty()).then_some(&line.ask),
        "answer": line.answer,
        "understood": line.verdict.understood.words(),
        "standing": line.standing.name(),
        "marks": line.marks(),
        "of": line.of_marks(),
        "rule": { "name": line.verdict.award.rule.name(), "words": line.rule_words },
        "reasons": reasons,
        "points": line.points,
    })
}
