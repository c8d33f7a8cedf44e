//! The keys of the files an instructor writes, described for editors as JSON Schema.
//!
//! One description of each group of keys, from which the schemas beside the manual are made
//! (JSON Schema, draft 2020-12).

use serde_json::{Map, Value, json};

/// A kind of file in a bank.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FileKind {
    /// A template.
    Template,
    /// A facts table.
    Facts,
    /// The sources of facts.
    Sources,
}

impl FileKind {
    /// Every kind.
    pub const ALL: [Self; 3] = [Self::Template, Self::Facts, Self::Sources];

    /// The name of the kind: `template`.
    pub fn name(self) -> &'static str {
        match self {
            Self::Template => "template",
            Self::Facts => "facts",
            Self::Sources => "sources",
        }
    }

    /// The schema of such files.
    pub fn schema(self) -> Value {
        let (title, keys) = match self {
            Self::Template => ("A template of questions", TEMPLATE),
            Self::Facts => ("A table of facts", FACTS),
            Self::Sources => ("The sources of facts", SOURCES),
        };
        let mut schema = Map::new();
        schema.insert("$schema".into(), json!("https://json-schema.org/draft/2020-12/schema"));
        schema.insert("title".into(), json!(title));
        schema.extend(group(keys));
        Value::Object(schema)
    }
}

/// A key of a group.
struct Key {
    name: &'static str,
    needed: bool,
    holds: Holds,
    about: &'static str,
}

/// What stands under a key.
enum Holds {
    /// A text, or a number, which is read as the text that was written.
    Text,
    /// `true` or `false`.
    Truth,
    /// A number, perhaps in quotes.
    Number,
    /// One of a few words.
    Word(&'static [&'static str]),
    /// A text of a certain form.
    Form(&'static str),
    /// A list of at least so many things.
    List(usize, &'static Holds),
    /// Names of one's own with things.
    Named(&'static str, &'static Holds),
    /// A group of keys.
    Keys(&'static [Key]),
    /// One thing or another.
    Either(&'static [Holds]),
}

const fn needed(name: &'static str, holds: Holds, about: &'static str) -> Key {
    Key { name, needed: true, holds, about }
}

const fn may(name: &'static str, holds: Holds, about: &'static str) -> Key {
    Key { name, needed: false, holds, about }
}

const NAME: &str = "^[a-z][a-z0-9_]*$";
const ANY_NAME: &str = "^[^ ].*$";
const ROUNDING: Holds = Holds::Form("^([0-9]+ (places?|figures?)|nearest [0-9.]+|whole)$");
const TEXTS: Holds = Holds::List(0, &Holds::Text);
const VERSION: Key = needed("castmark", Holds::Word(&["1"]), "the version of the format: 1");

const TEMPLATE: &[Key] = &[
    VERSION,
    needed("id", Holds::Form("^[a-z][a-z0-9-]*$"), "the name of the file without its ending"),
    needed("title", Holds::Text, "a few words for lists"),
    needed(
        "objective",
        Holds::Word(&["calibration", "displacement", "base-quantity", "product-checks", "theory"]),
        "the learning objective the question belongs to",
    ),
    needed("topic", Holds::Text, "a word of your own to group templates"),
    needed("level", Holds::Word(&["1", "2", "3"]), "1 (easy), 2 or 3 (hard)"),
    needed("minutes", Holds::Number, "the minutes a candidate needs, from 1 to 240"),
    needed(
        "convention",
        Holds::Word(&["displacement value", "displacement factor", "density factor", "none"]),
        "the way in which the base displaced is reckoned",
    ),
    needed("about", Holds::Text, "what the template trains, in a sentence or two"),
    may("values", Holds::Named(NAME, &Holds::Keys(VALUE)), "what is given, drawn anew each time"),
    may("require", Holds::List(0, &Holds::Keys(REQUIRE)), "conditions that a draw must meet"),
    may("different", Holds::List(0, &TEXTS), "groups of picks that must fall on different rows"),
    needed("stem", Holds::List(2, &Holds::Text), "the question, in at least two wordings"),
    may("working", Holds::Named(ANY_NAME, &Holds::Keys(STEP)), "the steps of the solution"),
    needed("parts", Holds::Named(ANY_NAME, &Holds::Keys(PART)), "what is asked, and its marking"),
    may("slips", Holds::Named(ANY_NAME, &Holds::Keys(SLIP)), "known mistakes, and what to say"),
    may("batch", Holds::List(0, &Holds::Keys(BATCH)), "the rows of the batch table"),
    may("drawing", Holds::Keys(DRAWING), "the masses shown in the picture of the mould"),
];

const VALUE: &[Key] = &[
    may("label", Holds::Text, "how the name reads in solutions"),
    may("unit", Holds::Text, "the unit: g, g/unit, unit for a count, \"1\" for a plain number"),
    may("from", Holds::Number, "the first of evenly spaced numbers"),
    may("to", Holds::Number, "the last of evenly spaced numbers"),
    may("step", Holds::Number, "the distance of evenly spaced numbers, or of readings"),
    may("choose", Holds::List(1, &Holds::Number), "numbers of which one is drawn"),
    may("fixed", Holds::Number, "the number, always the same"),
    may("is", Holds::Text, "the formula from which the value follows"),
    may("round", ROUNDING, "how a value that follows from a formula is written"),
    may("around", Holds::Text, "the value about which readings are scattered"),
    may("count", Holds::Number, "how many readings, from 2 to 40"),
    may("reach", Holds::Number, "how many steps a reading may lie off"),
    may("stray", Holds::Keys(STRAY), "how far one of the readings lies off in addition"),
    may("pick", Holds::Text, "the facts table of which a row is taken"),
    may("with", TEXTS, "the columns whose claims are drawn with the row"),
    may("where", Holds::Text, "a condition on the number columns of the row"),
    may(
        "only",
        Holds::Named(ANY_NAME, &Holds::Either(&[Holds::Text, TEXTS])),
        "the texts that a column of the row may have",
    ),
    may(
        "words",
        Holds::List(1, &Holds::Either(&[Holds::Text, Holds::Named(ANY_NAME, &Holds::Text)])),
        "words of which one is drawn, for the look only",
    ),
];

const STRAY: &[Key] = &[
    needed("from", Holds::Number, "the first distance"),
    needed("to", Holds::Number, "the last distance"),
    needed("step", Holds::Number, "the step from one distance to the next"),
];

const REQUIRE: &[Key] = &[
    needed("that", Holds::Text, "the condition, a formula"),
    needed("because", Holds::Text, "why, in words"),
];

const STEP: &[Key] = &[
    may("label", Holds::Text, "how the name reads in solutions"),
    needed("say", Holds::Text, "what is done, in a sentence"),
    needed("is", Holds::Text, "the formula"),
    needed("unit", Holds::Text, "the unit of the result"),
    needed("show", ROUNDING, "the rounding in which it is shown and may be carried on"),
    may("also", Holds::List(0, &ROUNDING), "further roundings in which it may be carried on"),
];

const PART: &[Key] = &[
    needed("ask", Holds::Text, "the question"),
    may("answer", Holds::Text, "the step or value that answers it, if not of the part's name"),
    needed("unit", Holds::Text, "the unit of the answer"),
    needed("round", ROUNDING, "the rounding asked for"),
    needed("tolerance", Holds::Text, "how far an answer may lie off: 0.05, or 1 %"),
    needed("marks", Holds::Number, "the marks for a right answer, from 1 to 50"),
    may("method_marks", Holds::Number, "the marks for a right method; one less if left out"),
];

const SLIP: &[Key] = &[
    needed("instead", Holds::Named(ANY_NAME, &Holds::Text), "steps or values with a wrong formula"),
    needed("say", Holds::Text, "what to tell the candidate"),
];

const BATCH: &[Key] = &[
    needed("what", Holds::Text, "the ingredient"),
    may("each", Holds::Text, "the name of the mass in one unit"),
    needed("all", Holds::Text, "the name of the mass in the batch"),
    needed("round", ROUNDING, "the rounding in which the masses are shown"),
];

const DRAWING: &[Key] = &[
    needed("mould", Holds::Text, "the name of the mass of base that fills the mould"),
    needed("displaced", TEXTS, "the names of the masses of base displaced"),
    needed("drugs", TEXTS, "the names of the masses of drugs"),
    needed("base", Holds::Text, "the name of the mass of base needed"),
];

const FACTS: &[Key] = &[
    VERSION,
    needed("table", Holds::Form(NAME), "the name of the table"),
    needed("about", Holds::Text, "what the table holds, in a sentence or two"),
    needed(
        "columns",
        Holds::Named(
            ANY_NAME,
            &Holds::Either(&[Holds::Word(&["text", "texts"]), Holds::Keys(COLUMN)]),
        ),
        "the columns, and what their cells hold",
    ),
    needed(
        "rows",
        Holds::Named(ANY_NAME, &Holds::Named(ANY_NAME, &CELL)),
        "the rows, each with its cells by column",
    ),
];

const CELL: Holds = Holds::Either(&[Holds::Text, Holds::List(0, &Holds::Keys(CLAIM))]);

const COLUMN: &[Key] = &[
    may("text", Holds::Text, "one text in each cell; here its label"),
    may("texts", Holds::Text, "several texts in each cell, all true; here their label"),
    may("number", Holds::Text, "a number in each cell; here its unit"),
    may("range", Holds::Text, "two numbers in each cell; here their unit"),
    may("sequence", Holds::Text, "lines in their order in each cell; here their label"),
    may("label", Holds::Text, "how the column reads in texts"),
    may("closed", Holds::Truth, "whether what is not listed for a row is false of it"),
];

const CLAIM: &[Key] = &[
    may("is", Holds::Text, "the number or text"),
    may("from", Holds::Number, "the lower number of a range"),
    may("to", Holds::Number, "the higher number of a range"),
    may("lines", TEXTS, "the lines of a sequence, in order"),
    needed("source", Holds::Text, "the id of the source"),
    may("note", Holds::Text, "a remark: under what conditions it holds"),
    may("also", TEXTS, "other words accepted for the text"),
];

const SOURCES: &[Key] = &[
    VERSION,
    needed("sources", Holds::Named(ANY_NAME, &Holds::Keys(SOURCE)), "the sources, by id"),
];

const SOURCE: &[Key] = &[
    needed("short", Holds::Text, "the name printed in questions"),
    needed("full", Holds::Text, "the full reference"),
    needed(
        "standing",
        Holds::Word(&["read", "second-hand", "common-practice", "memory"]),
        "how far it can be relied on; what stands as memory is never drawn",
    ),
    may("where", Holds::Text, "where it can be found"),
];

/// The schema of a group of keys.
fn group(keys: &[Key]) -> Map<String, Value> {
    let mut properties = Map::new();
    for key in keys {
        let mut schema = Map::new();
        schema.insert("description".into(), json!(key.about));
        schema.extend(thing(&key.holds));
        properties.insert(key.name.into(), Value::Object(schema));
    }
    let required: Vec<&str> = keys.iter().filter(|key| key.needed).map(|key| key.name).collect();
    let mut schema = Map::new();
    schema.insert("type".into(), json!("object"));
    schema.insert("properties".into(), Value::Object(properties));
    if !required.is_empty() {
        schema.insert("required".into(), json!(required));
    }
    schema.insert("additionalProperties".into(), json!(false));
    schema
}

/// The schema of what stands under a key.
fn thing(holds: &Holds) -> Map<String, Value> {
    let schema = match holds {
        Holds::Text => json!({ "type": ["string", "number"] }),
        Holds::Truth => json!({ "type": "boolean" }),
        Holds::Number => json!({
            "type": ["number", "string"],
            "pattern": "^[+-]?[0-9]+(\\.[0-9]+)?$",
        }),
        Holds::Word(words) => {
            // An editor reads `1` as a number where the program reads what was written.
            let numbers = words.iter().filter_map(|word| word.parse::<i64>().ok());
            let mut all: Vec<Value> = numbers.map(Value::from).collect();
            all.extend(words.iter().map(|word| json!(word)));
            json!({ "enum": all })
        }
        Holds::Form(pattern) => json!({ "type": "string", "pattern": pattern }),
        Holds::List(least, item) => {
            json!({ "type": "array", "items": thing(item), "minItems": least })
        }
        Holds::Named(name, item) => json!({
            "type": "object",
            "propertyNames": { "pattern": name },
            "additionalProperties": thing(item),
        }),
        Holds::Keys(keys) => return group(keys),
        Holds::Either(things) => {
            json!({ "anyOf": things.iter().map(thing).collect::<Vec<_>>() })
        }
    };
    match schema {
        Value::Object(schema) => schema,
        _ => Map::new(),
    }
}
