//! JSON for programs: every field of the sheet under a name that does not change.
//!
//! `castmark_sheet` is the version of the names, now 1. A later version may add fields; it is
//! raised when a field changes its meaning or goes. Numbers that are answers are texts, so that
//! no reader turns 0.90 into 0.9.

use serde_json::{Map, Value, json};

use crate::analysis::Report;
use crate::bank::ROUNDING_RULE;
use crate::formula::Math;
use crate::marking::Account;
use crate::problem::{Block, Drawing, WorkedMethod, WorkedStep, letter};
use crate::quantity::Exact;

use crate::export::account::account_json;
use crate::export::analysis::analysis_json;
use crate::export::format::Exporter;
use crate::export::sheet::theory::rule;
use crate::export::writing::picture::Picture;
use crate::export::{
    AnswerSpace, BenchDocument, CAUTION, CandidateField, Contents, DocumentKind, Entry, EntryPart,
    ExportError, Front, Options, PartKey, Sheet, batch,
};

/// The version of the field names.
const VERSION: u32 = 1;

/// The JSON exporter.
#[derive(Clone, Copy, Debug)]
pub struct Json;

impl Exporter for Json {
    fn name(&self) -> &'static str {
        "json"
    }

    fn about(&self) -> &'static str {
        "every field under a stable name, for programs"
    }

    fn extension(&self) -> &'static str {
        "json"
    }

    fn media(&self) -> &'static str {
        "application/json"
    }

    fn makes(&self, kind: DocumentKind) -> bool {
        kind != DocumentKind::Feedback
    }

    fn export(&self, sheet: &Sheet, options: &Options) -> Result<Vec<u8>, ExportError> {
        options.without_layout(self.name())?;
        let mut text = format!("{:#}", document(sheet.with_whole_solutions()?));
        text.push('\n');
        Ok(text.into_bytes())
    }

    fn export_account(&self, account: &Account, options: &Options) -> Result<Vec<u8>, ExportError> {
        options.without_layout(self.name())?;
        Ok(account_json(account).into_bytes())
    }

    fn export_report(
        &self,
        report: &Report,
        _front: &Front,
        options: &Options,
    ) -> Result<Vec<u8>, ExportError> {
        options.without_layout(self.name())?;
        Ok(analysis_json(report).into_bytes())
    }

    fn export_bench(
        &self,
        document: &BenchDocument,
        options: &Options,
    ) -> Result<Vec<u8>, ExportError> {
        options.without_layout(self.name())?;
        Ok(batch::json(document).into_bytes())
    }
}

fn document(sheet: &Sheet) -> Value {
    let entries: Vec<Value> =
        sheet.entries.iter().enumerate().map(|(n, each)| entry(n, each, sheet.contents)).collect();
    let details: Vec<Value> = sheet
        .details
        .iter()
        .map(|detail| json!({ "label": detail.label, "value": detail.value }))
        .collect();
    let candidate = match &sheet.candidate {
        CandidateField::None => Value::Null,
        CandidateField::Blank => json!({ "number": null }),
        CandidateField::Number(number) => json!({ "number": number }),
    };
    let sources: Vec<Value> = sheet
        .sources
        .iter()
        .filter(|_| sheet.contents.solutions)
        .map(|source| json!({ "short": source.label, "full": source.value }))
        .collect();
    json!({
        "castmark_sheet": VERSION,
        "title": sheet.title,
        "note": *sheet.note,
        "details": details,
        "mark": sheet.mark,
        "candidate": candidate,
        "contents": {
            "questions": sheet.contents.questions,
            "key": sheet.contents.key,
            "solutions": sheet.contents.solutions,
        },
        "marks": sheet.marks(),
        "caution": CAUTION,
        "rounding_rule": sheet.asks_numbers().then_some(ROUNDING_RULE),
        "entries": entries,
        "sources": sources,
    })
}

fn entry(n: usize, entry: &Entry, contents: Contents) -> Value {
    let parts: Vec<Value> =
        entry.parts.iter().enumerate().map(|(p, each)| part(entry, p, each, contents)).collect();
    let section = entry
        .section
        .as_ref()
        .map(|section| json!({ "title": section.title, "note": section.note }));
    let mut fields = Map::new();
    fields.insert("number".into(), json!(n + 1));
    fields.insert("section".into(), json!(section));
    fields.insert("heading".into(), json!(entry.heading));
    fields.insert("code".into(), json!(entry.code));
    fields.insert("marks".into(), json!(entry.marks()));
    fields.insert("stem".into(), entry.stem.iter().map(block).collect());
    fields.insert("parts".into(), Value::Array(parts));
    if contents.solutions {
        fields.insert("working".into(), working(&entry.working));
        fields.insert("method".into(), json!(entry.method));
        let methods = entry.other_methods().unwrap_or_default();
        let method = |method: &WorkedMethod| json!({ "title": method.title, "working": working(&method.steps) });
        fields.insert("methods".into(), methods.iter().map(method).collect());
        fields.insert("agreement".into(), json!(*entry.agreement));
        fields.insert("plausible".into(), json!(entry.plausibility().unwrap_or_default()));
        fields.insert("drawing".into(), entry.drawing.as_ref().map_or(Value::Null, drawing));
        fields.insert("slips".into(), slips(entry));
    }
    Value::Object(fields)
}

fn block(block: &Block) -> Value {
    match block {
        Block::Paragraph(text) => json!({ "kind": "paragraph", "text": text }),
        Block::List(items) => json!({ "kind": "list", "items": items }),
        Block::Table { head, rows } => json!({ "kind": "table", "head": head, "rows": rows }),
    }
}

fn part(entry: &Entry, p: usize, part: &EntryPart, contents: Contents) -> Value {
    let mut fields = Map::new();
    fields.insert("id".into(), json!(part.id));
    fields.insert("letter".into(), json!(entry.part_letter(p)));
    fields.insert("ask".into(), json!(part.ask));
    fields.insert("marks".into(), json!(part.marks));
    fields.insert("space".into(), space(&part.space));
    if contents.answers() {
        fields.insert("key".into(), key(&part.key));
    }
    Value::Object(fields)
}

fn space(space: &AnswerSpace) -> Value {
    match space {
        AnswerSpace::Number { unit, rounding } => {
            json!({ "kind": "number", "unit": unit, "rounding": rounding })
        }
        AnswerSpace::Options { options, multiple } => {
            let options = lettered(options);
            let rule = rule(space);
            json!({ "kind": "options", "options": options, "multiple": multiple, "rule": rule })
        }
        AnswerSpace::Match { left, right, again } => {
            json!({ "kind": "match", "left": left, "right": lettered(right), "again": again })
        }
        AnswerSpace::Judgement { reasons, with_reason } => json!({
            "kind": "judgement",
            "reasons": lettered(reasons),
            "with_reason": with_reason,
        }),
        AnswerSpace::Range { unit } => json!({ "kind": "range", "unit": unit }),
        AnswerSpace::Order { items } => {
            json!({ "kind": "order", "items": lettered(items), "rule": rule(space) })
        }
        AnswerSpace::Lines { count } => json!({ "kind": "lines", "count": count }),
        AnswerSpace::Text => json!({ "kind": "text" }),
    }
}

fn lettered(items: &[String]) -> Value {
    let items = items.iter().enumerate();
    items.map(|(n, text)| json!({ "letter": letter(n, 'A'), "text": text })).collect()
}

fn key(key: &PartKey) -> Value {
    let accepted = key
        .accepted
        .as_ref()
        .map(|range| json!({ "low": range.low, "high": range.high, "unit": range.unit }));
    let scheme: Vec<Value> = key
        .scheme
        .iter()
        .map(|line| json!({ "kind": line.kind.name(), "marks": line.marks, "what": line.what }))
        .collect();
    json!({ "answer": key.answer, "accepted": accepted, "scheme": scheme, "notes": key.notes })
}

fn working(steps: &[WorkedStep]) -> Value {
    let steps = steps.iter().map(|step| {
        json!({
            "say": step.say,
            "label": step.label,
            "named": formula(&step.named),
            "numbered": formula(&step.numbered),
            "result": step.result,
            "rounded": step.rounded,
        })
    });
    steps.collect()
}

fn formula(math: &Math) -> Value {
    json!({ "text": math.text(), "mathml": math.mathml(), "typst": math.typst() })
}

fn drawing(drawing: &Drawing) -> Value {
    let masses = |masses: &[(String, Exact)]| -> Value {
        let masses = masses.iter();
        masses.map(|(label, mass)| json!({ "label": label, "grams": mass.to_string() })).collect()
    };
    json!({
        "mould": drawing.mould.to_string(),
        "displaced": masses(&drawing.displaced),
        "base": drawing.base.to_string(),
        "drugs": masses(&drawing.drugs),
        "text": Picture::of(drawing).map(|picture| picture.sentence()),
    })
}

fn slips(entry: &Entry) -> Value {
    let slips = entry.slips.iter().map(|slip| {
        let answers: Vec<Value> = slip
            .answers
            .iter()
            .map(|each| {
                let part = entry.parts.get(each.part).map(|part| &part.id);
                json!({ "part": part, "answer": each.answer, "marks": each.marks })
            })
            .collect();
        json!({ "id": slip.id, "say": slip.say, "answers": answers })
    });
    slips.collect()
}
