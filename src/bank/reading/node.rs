//! A file as it is written, before any of it is understood: texts, lists and groups of names.

use serde::de::value::{BorrowedStrDeserializer, Error, MapDeserializer, SeqDeserializer};
use serde::de::{Deserializer, IntoDeserializer, Visitor};
use serde::forward_to_deserialize_any;

/// A piece of a file. Every number is the text that was written, so `0.90` stays `0.90`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(in crate::bank) enum Node {
    /// A text, a number or any other single thing.
    Text(String),
    /// Items in their order.
    List(Vec<Self>),
    /// Keys with what stands under them, in their order; a key can stand twice.
    Group(Vec<(String, Self)>),
}

impl Node {
    /// What stands under a key of a group.
    pub(in crate::bank) fn under(&self, key: &str) -> Option<&Self> {
        let Self::Group(entries) = self else { return None };
        entries.iter().find(|(known, _)| known == key).map(|(_, node)| node)
    }

    /// Takes a key out of a group.
    pub(in crate::bank) fn remove(&mut self, key: &str) {
        if let Self::Group(entries) = self {
            entries.retain(|(known, _)| known != key);
        }
    }

    /// The text of a text.
    pub(in crate::bank) fn text(&self) -> Option<&str> {
        match self {
            Self::Text(text) => Some(text),
            _ => None,
        }
    }

    /// What the piece is, for a message.
    pub(in crate::bank) fn kind(&self) -> &'static str {
        match self {
            Self::Text(_) => "a text",
            Self::List(_) => "a list",
            Self::Group(_) => "a group of keys",
        }
    }
}

impl<'de> IntoDeserializer<'de> for &'de Node {
    type Deserializer = Self;

    fn into_deserializer(self) -> Self {
        self
    }
}

impl<'de> Deserializer<'de> for &'de Node {
    type Error = Error;

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        match self {
            Node::Text(text) => visitor.visit_borrowed_str(text),
            Node::List(items) => visitor.visit_seq(SeqDeserializer::new(items.iter())),
            Node::Group(entries) => {
                let entries = entries
                    .iter()
                    .map(|(key, node)| (BorrowedStrDeserializer::<Error>::new(key), node));
                visitor.visit_map(MapDeserializer::new(entries))
            }
        }
    }

    fn deserialize_option<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        visitor.visit_some(self)
    }

    fn deserialize_bool<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        match self.text() {
            Some("true") => visitor.visit_bool(true),
            Some("false") => visitor.visit_bool(false),
            _ => self.deserialize_any(visitor),
        }
    }

    forward_to_deserialize_any! {
        i8 i16 i32 i64 i128 u8 u16 u32 u64 u128 f32 f64 char str string bytes byte_buf unit
        unit_struct newtype_struct seq tuple tuple_struct map struct enum identifier ignored_any
    }
}

#[cfg(test)]
mod tests {
    use serde::Deserialize;

    use super::*;

    #[derive(Debug, Deserialize, PartialEq)]
    struct Written {
        number: String,
        list: Vec<String>,
        closed: bool,
        absent: Option<String>,
    }

    #[test]
    fn fills_a_written_form_and_keeps_the_zeros() {
        let text = |text: &str| Node::Text(text.to_owned());
        let node = Node::Group(vec![
            ("number".to_owned(), text("0.90")),
            ("list".to_owned(), Node::List(vec![text("1.0"), text("b")])),
            ("closed".to_owned(), text("true")),
        ]);
        let written = Written::deserialize(&node).expect("it has the form");
        let expected = Written {
            number: "0.90".to_owned(),
            list: vec!["1.0".to_owned(), "b".to_owned()],
            closed: true,
            absent: None,
        };
        assert_eq!(written, expected);
    }
}
