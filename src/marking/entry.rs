//! What is handed in for marking, and what comes back.

use super::Verdict;

/// What an answer belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Item {
    /// A step of the working, by its place, written down on the way.
    Step(usize),
    /// A part of the problem, by its place.
    Part(usize),
}

/// One answer of a candidate.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Entry<'a> {
    /// What it belongs to.
    pub item: Item,
    /// What was written.
    pub answer: &'a str,
}

/// One answer, marked.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MarkedEntry {
    /// What it belongs to.
    pub item: Item,
    /// What was written.
    pub answer: String,
    /// The marks and why.
    pub verdict: Verdict,
}

/// The answers to one problem, marked together: in the order of the parts, each part after the steps
/// that lead to it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Marked {
    /// The answers.
    pub entries: Vec<MarkedEntry>,
}

impl Marked {
    /// The marks they have.
    pub fn marks(&self) -> u32 {
        self.entries.iter().map(|entry| entry.verdict.marks).sum()
    }

    /// The marks they could have.
    pub fn of(&self) -> u32 {
        self.entries.iter().map(|entry| entry.verdict.of).sum()
    }
}
