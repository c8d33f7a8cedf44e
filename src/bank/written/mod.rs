//! The files as written, before their meaning is checked.
//!
//! Every number is kept as the text that was written: `0.90` stays `0.90`. What keys there are stands
//! in the description of the files; that a file has no others was seen before it comes here.

pub(super) mod blueprint;
pub(super) mod description;
pub(super) mod facts_description;
mod values;
mod working;
mod schema;

use std::fmt;
use std::marker::PhantomData;

use crate::bank::written_parts::PartText;
pub use schema::FileKind;

use serde::de::{Deserialize, Deserializer, MapAccess, SeqAccess, Visitor};

/// A map that keeps the order in which it was written.
#[derive(Debug)]
pub(super) struct Named<T>(pub(super) Vec<(String, T)>);

impl<T> Default for Named<T> {
    fn default() -> Self {
        Self(Vec::new())
    }
}

impl<'de, T: Deserialize<'de>> Deserialize<'de> for Named<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Entries<T>(PhantomData<T>);
        impl<'de, T: Deserialize<'de>> Visitor<'de> for Entries<T> {
            type Value = Named<T>;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("names, each with a colon and what belongs to it")
            }

            fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Named<T>, A::Error> {
                let mut entries = Vec::new();
                while let Some(entry) = map.next_entry()? {
                    entries.push(entry);
                }
                Ok(Named(entries))
            }
        }
        deserializer.deserialize_map(Entries(PhantomData))
    }
}

/// A template as written. What each key means stands in `question-templates/README.md`.
#[derive(Debug, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct TemplateText {
    pub(super) id: String,
    pub(super) title: String,
    pub(super) objective: String,
    pub(super) topic: String,
    pub(super) level: String,
    pub(super) minutes: String,
    pub(super) convention: String,
    pub(super) about: String,
    #[serde(default)]
    pub(super) values: Named<ValueText>,
    #[serde(default)]
    pub(super) require: Vec<RequireText>,
    #[serde(default)]
    pub(super) different: Vec<Vec<String>>,
    pub(super) stem: Vec<String>,
    #[serde(default)]
    pub(super) working: Named<StepText>,
    #[serde(default)]
    pub(super) methods: Named<MethodText>,
    #[serde(default)]
    pub(super) plausible: Vec<PlausibleText>,
    pub(super) parts: Named<PartText>,
    #[serde(default)]
    pub(super) slips: Named<SlipText>,
    #[serde(default)]
    pub(super) batch: Vec<BatchText>,
    pub(super) drawing: Option<DrawingText>,
}

/// One value: exactly one way of coming about.
#[derive(Debug, Default, serde::Deserialize)]
#[serde(deny_unknown_fields, default)]
pub(super) struct ValueText {
    pub(super) label: Option<String>,
    pub(super) unit: Option<String>,
    pub(super) from: Option<String>,
    pub(super) to: Option<String>,
    pub(super) step: Option<String>,
    pub(super) choose: Option<Vec<String>>,
    pub(super) fixed: Option<String>,
    pub(super) is: Option<String>,
    pub(super) round: Option<String>,
    pub(super) around: Option<String>,
    pub(super) count: Option<String>,
    pub(super) reach: Option<String>,
    pub(super) stray: Option<StrayText>,
    pub(super) pick: Option<String>,
    pub(super) with: Option<Vec<String>>,
    #[serde(rename = "where")]
    pub(super) filter: Option<String>,
    pub(super) only: Option<Named<Texts>>,
    pub(super) words: Option<Vec<WordText>>,
}

#[derive(Debug, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct StrayText {
    pub(super) from: String,
    pub(super) to: String,
    pub(super) step: String,
}

#[derive(Debug, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RequireText {
    pub(super) that: String,
    pub(super) because: String,
}

#[derive(Debug, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct StepText {
    pub(super) label: Option<String>,
    pub(super) say: String,
    pub(super) is: String,
    pub(super) unit: String,
    pub(super) show: String,
    #[serde(default)]
    pub(super) also: Vec<String>,
}

#[derive(Debug, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct MethodText {
    pub(super) title: String,
    #[serde(default)]
    pub(super) working: Named<StepText>,
}

#[derive(Debug, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct PlausibleText {
    pub(super) say: String,
    pub(super) that: String,
    pub(super) when: Option<String>,
}

#[derive(Debug, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct SlipText {
    pub(super) instead: Named<String>,
    pub(super) say: String,
}

#[derive(Debug, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct BatchText {
    pub(super) what: String,
    pub(super) each: Option<String>,
    pub(super) all: String,
    pub(super) round: String,
}

#[derive(Debug, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct DrawingText {
    pub(super) mould: String,
    pub(super) displaced: Vec<String>,
    pub(super) drugs: Vec<String>,
    pub(super) base: String,
}

/// A file of sources as written.
#[derive(Debug, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct SourcesText {
    pub(super) sources: Named<SourceEntry>,
}

#[derive(Debug, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct SourceEntry {
    pub(super) short: String,
    pub(super) full: String,
    pub(super) standing: String,
    #[serde(rename = "where")]
    pub(super) place: Option<String>,
    pub(super) sheets: Option<String>,
}

/// A file of topics as written.
#[derive(Debug, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct TopicsText {
    pub(super) topics: Named<TopicEntry>,
}

#[derive(Debug, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct TopicEntry {
    pub(super) title: String,
    pub(super) objective: String,
    #[serde(default)]
    pub(super) builds_on: Vec<String>,
}

/// A facts table as written.
#[derive(Debug, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct TableText {
    pub(super) table: String,
    pub(super) about: String,
    pub(super) columns: Named<ColumnText>,
    pub(super) rows: Named<Named<CellText>>,
}

/// A column: the bare word `text`, or what it holds with its label.
#[derive(Debug, Default)]
pub(super) struct ColumnText {
    pub(super) text: Option<String>,
    pub(super) texts: Option<String>,
    pub(super) number: Option<String>,
    pub(super) range: Option<String>,
    pub(super) sequence: Option<String>,
    pub(super) invented: Option<String>,
    pub(super) label: Option<String>,
    pub(super) closed: Option<String>,
}

/// A cell: a bare text, or a list.
#[derive(Debug)]
pub(super) enum CellText {
    Bare(String),
    Items(Vec<ItemText>),
}

/// An item of a cell: a text that was made up, or a claim.
#[derive(Debug)]
pub(super) enum ItemText {
    Bare(String),
    Claim(ClaimText),
}

/// What a source says, or denies.
#[derive(Debug, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ClaimText {
    pub(super) is: Texts,
    pub(super) source: Option<String>,
    pub(super) against: Option<String>,
    pub(super) denied: Option<String>,
    #[serde(default)]
    pub(super) invented: bool,
    #[serde(default)]
    pub(super) either_way: Vec<Vec<String>>,
    pub(super) note: Option<String>,
    #[serde(default)]
    pub(super) also: Vec<String>,
}

/// One entry of `words`: a bare word, or several under names.
#[derive(Debug)]
pub(super) enum WordText {
    Bare(String),
    Fields(Named<String>),
}

/// One text, or a list of them.
#[derive(Debug)]
pub(super) struct Texts(pub(super) Vec<String>);

/// Reads a value that is a text or something else, without the library's buffer.
macro_rules! text_or {
    ($type:ident, $expecting:literal, $text:expr, $other:ident) => {
        impl<'de> Deserialize<'de> for $type {
            fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                struct Either;
                impl<'de> Visitor<'de> for Either {
                    type Value = $type;

                    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                        f.write_str($expecting)
                    }

                    fn visit_str<E: serde::de::Error>(self, text: &str) -> Result<$type, E> {
                        $text(text).ok_or_else(|| E::custom(concat!("expected ", $expecting)))
                    }

                    text_or!(@$other $type);
                }
                deserializer.deserialize_any(Either)
            }
        }
    };
    (@seq $type:ident) => {
        fn visit_seq<A: SeqAccess<'de>>(self, items: A) -> Result<$type, A::Error> {
            Deserialize::deserialize(serde::de::value::SeqAccessDeserializer::new(items))
                .map($type::from_list)
        }
    };
    (@map $type:ident) => {
        fn visit_map<A: MapAccess<'de>>(self, entries: A) -> Result<$type, A::Error> {
            Deserialize::deserialize(serde::de::value::MapAccessDeserializer::new(entries))
                .map($type::from_map)
        }
    };
}

text_or!(
    CellText,
    "a text, or a list of claims",
    |text: &str| Some(CellText::Bare(text.to_owned())),
    seq
);
text_or!(ItemText, "a text, or a claim", |text: &str| Some(ItemText::Bare(text.to_owned())), map);
text_or!(Texts, "a text, or a list of texts", |text: &str| Some(Texts(vec![text.to_owned()])), seq);
text_or!(
    WordText,
    "a word, or names with words",
    |text: &str| Some(WordText::Bare(text.to_owned())),
    map
);
text_or!(
    ColumnText,
    "`text`, or what the column holds",
    |text: &str| match text {
        "text" => Some(ColumnText { text: Some(String::new()), ..ColumnText::default() }),
        "texts" => Some(ColumnText { texts: Some(String::new()), ..ColumnText::default() }),
        "invented" => Some(ColumnText { invented: Some(String::new()), ..ColumnText::default() }),
        _ => None,
    },
    map
);

impl CellText {
    fn from_list(items: Vec<ItemText>) -> Self {
        Self::Items(items)
    }
}

impl ItemText {
    fn from_map(claim: ClaimText) -> Self {
        Self::Claim(claim)
    }
}

impl Texts {
    fn from_list(texts: Vec<String>) -> Self {
        Self(texts)
    }
}

impl WordText {
    fn from_map(fields: Named<String>) -> Self {
        Self::Fields(fields)
    }
}

impl ColumnText {
    fn from_map(column: ColumnFields) -> Self {
        let ColumnFields { text, texts, number, range, sequence, invented, label, closed } = column;
        Self { text, texts, number, range, sequence, invented, label, closed }
    }
}

/// A column with what it holds and its label.
#[derive(Debug, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ColumnFields {
    text: Option<String>,
    texts: Option<String>,
    number: Option<String>,
    range: Option<String>,
    sequence: Option<String>,
    invented: Option<String>,
    label: Option<String>,
    closed: Option<String>,
}
