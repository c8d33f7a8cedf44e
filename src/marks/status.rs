//! Why a candidate has no answers.

use std::fmt;

use serde::{Deserialize, Serialize};

/// Why a candidate has no answers, as the examinations office says it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Status {
    /// Was not there.
    Absent,
    /// Was not there, with leave.
    Excused,
    /// Has left the course, or the paper does not count.
    Withdrawn,
}

impl Status {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Absent, Self::Excused, Self::Withdrawn];

    /// Its word in tables and files: `absent`.
    pub fn word(self) -> &'static str {
        match self {
            Self::Absent => "absent",
            Self::Excused => "excused",
            Self::Withdrawn => "withdrawn",
        }
    }

    /// Reads the word, in any case.
    pub fn parse(text: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|status| text.trim().eq_ignore_ascii_case(status.word()))
    }
}

impl fmt::Display for Status {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}
