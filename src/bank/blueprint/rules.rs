//! Rules of marking as an instructor writes them, in a file of their own or in a blueprint.

use std::sync::Arc;

use crate::bank::reading::desk::{Desk, way};
use crate::bank::reading::form::{Kind, Words};
use crate::bank::reading::node::Node;
use crate::bank::reading::{Report, SourceText, file};
use crate::bank::written::description;

/// Rules of marking as written, each word one of those that the description of the files knows. What
/// they mean is the business of whoever marks.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct WrittenRules {
    entries: Vec<(String, String)>,
}

impl WrittenRules {
    /// Reads a file of rules.
    ///
    /// # Errors
    /// Everything that is wrong with it, all at once, each with its place.
    pub fn read(source: SourceText) -> Result<Self, Report> {
        let source = Arc::new(source);
        let mut desk = Desk::new(&source);
        let node = file::read_form(&mut desk, &description::RULES);
        let Some(Node::Group(group)) = node else { return Err(Report::new(desk.complaints)) };
        let text = |(key, node): (String, Node)| Some((key, node.text()?.to_owned()));
        let rules = Self::checked(&mut desk, None, group.into_iter().filter_map(text));
        if desk.complaints.is_empty() { Ok(rules) } else { Err(Report::new(desk.complaints)) }
    }

    /// The keys with the words behind them.
    pub fn entries(&self) -> impl Iterator<Item = (&str, &str)> {
        self.entries.iter().map(|(key, word)| (key.as_str(), word.as_str()))
    }

    /// Rules that stand under a key of a file, or are the whole file; notes words that are not known.
    pub(in crate::bank) fn checked(
        desk: &mut Desk<'_>,
        under: Option<&str>,
        entries: impl Iterator<Item = (String, String)>,
    ) -> Self {
        let entries: Vec<(String, String)> = entries.collect();
        for (key, word) in &entries {
            let rule = description::RULES_OF_A_PAPER.under(key);
            let Some(Kind::Text(Words::OneOf(known))) = rule else { continue };
            if !known.contains(&word.as_str()) {
                let expected = format!("a word that `{key}` knows");
                let known = known.iter().copied();
                match under {
                    Some(under) => desk.unknown(&way![under, key], &expected, word, known),
                    None => desk.unknown(&way![key], &expected, word, known),
                }
            }
        }
        Self { entries }
    }
}
