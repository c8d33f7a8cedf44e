//! Rules of marking as an instructor writes them, in a file of their own or in a blueprint.

use std::sync::Arc;

use crate::bank::reading::desk::{Desk, IntoWay};
use crate::bank::reading::form::{Kind, Words};
use crate::bank::reading::node::Node;
use crate::bank::reading::noted::Checked;
use crate::bank::reading::yaml::Way;
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
        Self::of_file(&mut desk).map_err(|noted| desk.notes.report(noted))
    }

    fn of_file(desk: &mut Desk<'_>) -> Checked<Self> {
        let mut entries = Vec::new();
        if let Node::Group(group) = file::read_form(desk, &description::RULES)? {
            let text = |(key, node): (String, Node)| Some((key, node.text()?.to_owned()));
            entries.extend(group.into_iter().filter_map(text));
        }
        Self::checked(desk, None, entries.into_iter())
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
    ) -> Checked<Self> {
        let entries: Vec<(String, String)> = entries.collect();
        for (key, word) in &entries {
            let rule = description::RULES_OF_A_PAPER.under(key);
            let Some(Kind::Text(Words::OneOf(known))) = rule else { continue };
            if !known.contains(&word.as_str()) {
                let expected = format!("a word that `{key}` knows");
                let known = known.iter().copied();
                let at: Vec<&str> = under.into_iter().chain([key.as_str()]).collect();
                let at: Vec<Way> = at.into_iter().map(IntoWay::way).collect();
                desk.unknown(&at, &expected, word, known);
            }
        }
        desk.finish(Self { entries })
    }
}
