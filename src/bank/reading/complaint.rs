//! What is wrong with a file, and where.

use std::ops::Range;
use std::sync::Arc;

use crate::bank::SourceText;

/// One thing wrong with a file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Complaint {
    /// The file.
    pub source: Arc<SourceText>,
    /// The part to blame, in bytes of the text.
    pub range: Range<usize>,
    /// What was expected and what was found.
    pub what: String,
    /// A few words to stand at the part.
    pub label: String,
    /// What to do, where that is known.
    pub help: Option<String>,
}

impl SourceText {
    /// A complaint about a part of this file.
    pub(in crate::bank) fn complain(
        self: &Arc<Self>,
        range: Range<usize>,
        what: impl Into<String>,
        label: impl Into<String>,
        help: Option<String>,
    ) -> Complaint {
        Complaint { source: Arc::clone(self), range, what: what.into(), label: label.into(), help }
    }
}

impl Complaint {
    /// The line, and the column in characters, both from 1.
    pub fn location(&self) -> (usize, usize) {
        let before = self.source.text.get(..self.range.start).unwrap_or_default();
        let line = before.matches('\n').count() + 1;
        (line, before.rsplit('\n').next().map_or(0, |last| last.chars().count()) + 1)
    }
}
