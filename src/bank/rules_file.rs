//! A file of marking rules, read and with places for what is wrong with it.

use std::sync::Arc;

use super::desk::{Desk, way};
use super::node::Node;
use super::{Report, SourceText, bank, description};

/// The entries of a file of marking rules. What they mean is the business of whoever reads them;
/// what is wrong with one is noted here, so that it is told with its place.
pub struct RulesFile {
    source: Arc<SourceText>,
    entries: Vec<(String, String)>,
    complaints: Vec<super::Complaint>,
}

impl std::fmt::Debug for RulesFile {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("RulesFile").field("entries", &self.entries).finish_non_exhaustive()
    }
}

impl RulesFile {
    /// Reads a file.
    ///
    /// # Errors
    /// When the file is not YAML, or has keys that are not known.
    pub fn read(source: SourceText) -> Result<Self, Report> {
        let source = Arc::new(source);
        let mut desk = Desk::new(&source);
        let node = bank::read_form(&mut desk, &description::RULES);
        let complaints = desk.complaints;
        let Some(Node::Group(group)) = node else { return Err(Report::new(complaints)) };
        let text = |(key, node): (String, Node)| Some((key, node.text()?.to_owned()));
        let entries = group.into_iter().filter_map(text).collect();
        Ok(Self { source, entries, complaints })
    }

    /// The keys with the words behind them, in the order in which they were written.
    pub fn entries(&self) -> Vec<(String, String)> {
        self.entries.clone()
    }

    /// Notes that the word behind a key is none of those that are known.
    pub fn unknown(&mut self, key: &str, expected: &str, known: &[&str]) {
        let found = self.entries.iter().find(|(name, _)| name == key);
        let found = found.map_or("", |(_, word)| word.as_str());
        let mut desk = Desk::new(&self.source);
        desk.unknown(&way![key], expected, found, known.iter().copied());
        self.complaints.append(&mut desk.complaints);
    }

    /// Ends the reading.
    ///
    /// # Errors
    /// Everything that was noted.
    pub fn finish(self) -> Result<(), Report> {
        if self.complaints.is_empty() { Ok(()) } else { Err(Report::new(self.complaints)) }
    }
}
