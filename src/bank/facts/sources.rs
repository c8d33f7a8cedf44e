//! Where values and facts come from.

use crate::bank::reading::noted::Unsound;

/// Where a value comes from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Source {
    /// Its id in the tables: `course-guide-2019`.
    pub id: String,
    /// Its name in questions: `course guide 2019`.
    pub short: String,
    /// The full reference.
    pub full: String,
    /// How far it can be relied on.
    pub standing: Reliance,
    /// Where it can be found.
    pub found: Option<String>,
    /// Whether sheets print the short name alone, and not the full reference.
    pub short_on_sheets: bool,
}

/// How far a source can be relied on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Reliance {
    /// The published text was read.
    Read,
    /// Quoted by another source.
    SecondHand,
    /// What the trade does, without a source.
    CommonPractice,
    /// A dose, strength or other setting that was chosen for the exercise.
    Chosen,
    /// No source says it: the authors went through what they read and found nothing for it. Denies only.
    Reviewed,
    /// From memory: shown, but never drawn and never marked by.
    Memory,
}

impl Reliance {
    /// The words used in files.
    pub const ALL: [(Self, &'static str); 6] = [
        (Self::Read, "read"),
        (Self::SecondHand, "second-hand"),
        (Self::CommonPractice, "common-practice"),
        (Self::Chosen, "chosen"),
        (Self::Reviewed, "reviewed"),
        (Self::Memory, "memory"),
    ];

    /// The word used in files.
    pub fn name(self) -> &'static str {
        Self::ALL.iter().find(|(standing, _)| *standing == self).map_or("", |(_, name)| name)
    }

    /// The standing in words: `common practice`, `chosen for the exercise`.
    pub fn words(self) -> &'static str {
        match self {
            Self::Read => "read",
            Self::SecondHand => "second-hand",
            Self::CommonPractice => "common practice",
            Self::Chosen => "chosen for the exercise",
            Self::Reviewed => "reviewed by the authors",
            Self::Memory => "memory",
        }
    }
}

/// The sources that facts name.
#[derive(Debug, Default)]
pub(in crate::bank) struct Sources {
    all: Vec<Source>,
    /// The ids of sources with which something is wrong.
    pub(in crate::bank) unsound: Unsound,
}

impl Sources {
    /// All of them, in the order in which they were added.
    pub(in crate::bank) fn all(&self) -> &[Source] {
        &self.all
    }

    /// The ids of all of them.
    pub(in crate::bank) fn ids(&self) -> impl Iterator<Item = &str> {
        self.all.iter().map(|source| source.id.as_str())
    }

    /// The source of that id.
    pub(in crate::bank) fn find(&self, id: &str) -> Option<&Source> {
        self.all.iter().find(|source| source.id == id)
    }

    /// Adds a source, in the place of the one of the same id if there is one.
    pub(in crate::bank) fn put(&mut self, source: Source) {
        match self.all.iter_mut().find(|known| known.id == source.id) {
            Some(known) => *known = source,
            None => self.all.push(source),
        }
    }
}
