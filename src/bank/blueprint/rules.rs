//! Rules of marking as an instructor writes them, in a file of their own or in a blueprint.

use std::sync::Arc;

use crate::bank::SourceText;
use crate::bank::reading::Report;
use crate::bank::reading::checker::Checker;
use crate::bank::reading::words::Text;
use crate::bank::reading::written::file;
use crate::bank::written::rules::RulesFile;

/// Rules of marking as written, each word one of those that its key knows. What they mean is the
/// business of whoever marks.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct WrittenRules {
    entries: Vec<(String, String)>,
}

impl WrittenRules {
    /// Reads a file of rules.
    ///
    /// # Errors
    /// Everything that is wrong with it, all at once, each with its location.
    pub fn read(source: SourceText) -> Result<Self, Report> {
        let source = Arc::new(source.without_mark());
        let mut checker = Checker::new(&source);
        file::<RulesFile>(&mut checker)
            .and_then(|file| checker.finish(Self::of(&file.0)))
            .map_err(|noted| checker.notes.report(noted))
    }

    /// The keys with the words behind them.
    pub fn entries(&self) -> impl Iterator<Item = (&str, &str)> {
        self.entries.iter().map(|(key, word)| (key.as_str(), word.as_str()))
    }

    /// Rules that were read.
    pub(super) fn of(entries: &[(&'static str, Text)]) -> Self {
        let entries = entries.iter().map(|(key, word)| ((*key).to_owned(), word.to_string()));
        Self { entries: entries.collect() }
    }
}
