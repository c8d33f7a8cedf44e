//! The form of the files an instructor writes, as JSON Schema for editors (draft 2020-12).

use serde_json::{Map, Value, json};

use crate::bank::reading::form::{Form, Kind, Words};
use crate::bank::reading::written::Written;
use crate::bank::written::blueprint::BlueprintText;
use crate::bank::written::facts::{SourcesText, TableText};
use crate::bank::written::order::OrderText;
use crate::bank::written::rules::RulesFile;
use crate::bank::written::template::TemplateText;
use crate::bank::written::topics::TopicsText;

/// A kind of file that an instructor writes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FileKind {
    /// A template.
    Template,
    /// A facts table.
    Facts,
    /// The sources of facts.
    Sources,
    /// The topics.
    Topics,
    /// The plan of a paper.
    Blueprint,
    /// The rules of marking.
    Marking,
    /// An order for the bench.
    Order,
}

impl FileKind {
    /// Every kind.
    pub const ALL: [Self; 7] = [
        Self::Template,
        Self::Facts,
        Self::Sources,
        Self::Topics,
        Self::Blueprint,
        Self::Marking,
        Self::Order,
    ];

    /// The name of the kind: `template`.
    pub fn name(self) -> &'static str {
        match self {
            Self::Template => "template",
            Self::Facts => "facts",
            Self::Sources => "sources",
            Self::Topics => "topics",
            Self::Blueprint => "blueprint",
            Self::Marking => "marking",
            Self::Order => "order",
        }
    }

    /// The schema of such files.
    pub fn schema(self) -> Value {
        let (title, kind) = match self {
            Self::Template => ("A template of questions", TemplateText::KIND),
            Self::Facts => ("A table of facts", TableText::KIND),
            Self::Sources => ("The sources of facts", SourcesText::KIND),
            Self::Topics => ("The topics of a course", TopicsText::KIND),
            Self::Blueprint => ("The plan of a paper", BlueprintText::KIND),
            Self::Marking => ("The rules of marking", RulesFile::KIND),
            Self::Order => ("An order for the bench", OrderText::KIND),
        };
        let mut schema = Map::new();
        schema.insert("$schema".into(), json!("https://json-schema.org/draft/2020-12/schema"));
        schema.insert("title".into(), json!(title));
        schema.extend(of_kind(&kind));
        Value::Object(schema)
    }
}

fn of_kind(kind: &Kind) -> Map<String, Value> {
    let schema = match kind {
        Kind::Text(words) => of_words(*words),
        Kind::List(item, least) => {
            json!({ "type": "array", "items": of_kind(item), "minItems": least })
        }
        Kind::Names(kind) => json!({
            "type": "object",
            "propertyNames": { "pattern": "^[^ ].*$" },
            "additionalProperties": of_kind(kind),
        }),
        Kind::Form(form) => return of_form(form),
        Kind::Either(kinds) => json!({ "anyOf": kinds.iter().map(of_kind).collect::<Vec<_>>() }),
    };
    match schema {
        Value::Object(schema) => schema,
        _ => Map::new(),
    }
}

fn of_words(words: Words) -> Value {
    match words {
        Words::Any | Words::Formula | Words::Unit => json!({ "type": ["string", "number"] }),
        Words::Name => json!({ "type": "string", "pattern": "^[a-z][a-z0-9_.-]*$" }),
        Words::Number => json!({
            "type": ["number", "string"],
            "pattern": "^[+-]?[0-9]+(\\.[0-9]+)?$",
        }),
        Words::Whole(low, high) => json!({ "type": "integer", "minimum": low, "maximum": high }),
        Words::Rounding => json!({
            "type": "string",
            "pattern": "^([0-9]+ (places?|figures?)|nearest [0-9.]+|whole)$",
        }),
        Words::Tolerance => json!({
            "type": ["number", "string"],
            "pattern": "^[0-9]+(\\.[0-9]+)?( ?%)?$",
        }),
        Words::Truth => json!({ "type": "boolean" }),
        Words::OneOf(words) => {
            // An editor reads `1` as a number where the program reads what was written.
            let numbers = words.iter().filter_map(|word| word.parse::<i64>().ok());
            let mut all: Vec<Value> = numbers.map(Value::from).collect();
            all.extend(words.iter().map(|word| json!(word)));
            json!({ "enum": all })
        }
    }
}

fn of_form(form: &Form) -> Map<String, Value> {
    let mut properties = Map::new();
    for field in form.fields {
        let mut schema = Map::new();
        schema.insert("description".into(), json!(field.about));
        schema.extend(of_kind(&field.kind));
        properties.insert(field.key.into(), Value::Object(schema));
    }
    let required: Vec<&str> =
        form.fields.iter().filter(|field| field.needed).map(|field| field.key).collect();
    let mut schema = Map::new();
    schema.insert("type".into(), json!("object"));
    schema.insert("properties".into(), Value::Object(properties));
    if !required.is_empty() {
        schema.insert("required".into(), json!(required));
    }
    if !form.one_of.is_empty() {
        let ways = form.one_of.iter().map(|key| json!({ "required": [key] }));
        schema.insert("oneOf".into(), ways.collect());
    }
    schema.insert("additionalProperties".into(), json!(false));
    schema
}
