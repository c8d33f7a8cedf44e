//! A file as it is written, before any of it is understood: texts, lists and groups of names.

use crate::bank::reading::locations::{Located, Location};

/// A piece of a file. Every number is the text that was written, so `0.90` stays `0.90`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(in crate::bank) struct Node {
    pub(super) at: Location,
    pub(super) what: What,
}

/// What a piece is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(in crate::bank) enum What {
    /// A text, a number or any other single thing.
    Text(String),
    /// Items in their order.
    List(Vec<Node>),
    /// Keys with what belongs to each, in their order; a key can be there twice.
    Group(Vec<(String, Node)>),
}

impl Located for Node {
    fn location(&self) -> Location {
        self.at
    }
}

impl Node {
    /// What belongs to a key of a group.
    pub(super) fn under(&self, key: &str) -> Option<&Self> {
        let What::Group(entries) = &self.what else { return None };
        entries.iter().find(|(known, _)| known == key).map(|(_, node)| node)
    }

    /// The text of a text.
    pub(super) fn text(&self) -> Option<&str> {
        match &self.what {
            What::Text(text) => Some(text),
            _ => None,
        }
    }

    /// What the piece is, for a message.
    pub(super) fn kind(&self) -> &'static str {
        match self.what {
            What::Text(_) => "a text",
            What::List(_) => "a list",
            What::Group(_) => "a group of keys",
        }
    }
}
