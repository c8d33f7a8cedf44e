//! What marking an answer comes to.

use serde::{Deserialize, Serialize};

use crate::problem::letter;
use crate::quantity::{Exact, Quantity, Typed};

use super::{Award, Finding, Note, Pieces, Rule, Why};

/// The verdict on one answer: what was understood of it, what was found, and what it earns.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Verdict {
    /// What was understood.
    pub understood: Understood,
    /// What was found out about it.
    pub finding: Finding,
    /// What else is true of it, every fault that is present among it.
    pub notes: Vec<Note>,
    /// What it earns.
    pub award: Award,
}

/// An answer as it was understood.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Understood {
    /// Nothing could be read.
    Nothing,
    /// A number.
    Number {
        /// The number and the unit as written.
        typed: Typed,
        /// The number in the unit of the part; `None` if its unit measures something else or it is
        /// too large or too small for that unit.
        number: Option<Exact>,
    },
    /// The indices of the options chosen, in their order.
    Options(Vec<usize>),
    /// Whether a statement was called true, and the indices of the reasons.
    Judgement(bool, Vec<usize>),
    /// For each line the index of what it was matched with.
    Pairs(Vec<Option<usize>>),
    /// The indices of the lines in the order given.
    Order(Vec<usize>),
    /// Two numbers in the unit of the part, the lower first, or one alone.
    Ends(Exact, Option<Exact>),
    /// Words.
    Words(String),
}

/// How an answer stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Standing {
    /// It earns all marks.
    Correct,
    /// It earns some of them.
    PartlyCorrect,
    /// It earns none.
    NotCorrect,
    /// It could not be read, so it was not marked.
    NotRead,
    /// It waits for a person to mark it.
    ByHand,
    /// Nothing was written.
    Blank,
}

impl Verdict {
    /// How the answer stands, by what it earns. A step earns no marks, so its number decides.
    pub fn standing(&self) -> Standing {
        match &self.finding {
            Finding::Unread(_) => Standing::NotRead,
            Finding::ByHand(_) => Standing::ByHand,
            Finding::Follows(_) if self.award.of == 0 => Standing::PartlyCorrect,
            finding if self.award.of == 0 => {
                if finding.is_right() {
                    Standing::Correct
                } else {
                    Standing::NotCorrect
                }
            }
            _ => Standing::of_marks(self.award.marks, self.award.of),
        }
    }

    /// The verdict of a person who found so many of the points of an answer.
    pub(crate) fn of_points(answer: &str, made: u32, of: u32) -> Self {
        let finding = Finding::Pieces(Pieces::Points { made, wanted: of });
        Self {
            understood: Understood::Words(answer.trim().to_owned()),
            finding,
            notes: Vec::new(),
            award: Award { marks: made.min(of), of, rule: Rule::ByHand, forgiven: Vec::new() },
        }
    }

    /// The verdict on an answer to nothing.
    pub(crate) fn none() -> Self {
        Self {
            understood: Understood::Nothing,
            finding: Finding::Unread(Why::NoSuchPart),
            notes: Vec::new(),
            award: Award { marks: 0, of: 0, rule: Rule::Unread, forgiven: Vec::new() },
        }
    }

    /// Whether the answer is right, whatever it earns.
    pub fn is_right(&self) -> bool {
        self.finding.is_right()
    }

    /// Whether the answer earns all marks.
    pub fn is_correct(&self) -> bool {
        self.standing() == Standing::Correct
    }

    /// The marks it earns.
    pub fn marks(&self) -> u32 {
        self.award.marks
    }

    /// The marks it could earn.
    pub fn of(&self) -> u32 {
        self.award.of
    }
}

impl Understood {
    /// The number in the unit of the part.
    pub fn number(&self) -> Option<Exact> {
        match self {
            Self::Number { number, .. } => *number,
            _ => None,
        }
    }

    /// The number and unit as they were written.
    pub fn typed(&self) -> Option<Typed> {
        match self {
            Self::Number { typed, .. } => Some(*typed),
            _ => None,
        }
    }

    /// The letters of the options chosen; none for another kind of answer.
    pub fn letters(&self) -> Vec<String> {
        match self {
            Self::Options(indices) => indices.iter().map(|index| letter(*index, 'A')).collect(),
            _ => Vec::new(),
        }
    }

    /// The number as a person reads it: `3.60 g`.
    pub fn words(&self) -> Option<String> {
        self.typed().map(|typed| match typed.unit {
            Some(unit) => Quantity::new(typed.number, unit).to_string(),
            None => typed.number.to_string(),
        })
    }
}

impl Standing {
    /// Every standing.
    pub const ALL: [Self; 6] = [
        Self::Correct,
        Self::PartlyCorrect,
        Self::NotCorrect,
        Self::NotRead,
        Self::ByHand,
        Self::Blank,
    ];

    /// How an answer with so many marks stands.
    pub fn of_marks(marks: u32, of: u32) -> Self {
        match marks {
            marks if marks >= of => Self::Correct,
            0 => Self::NotCorrect,
            _ => Self::PartlyCorrect,
        }
    }

    /// The words for it: `partly correct`.
    pub fn words(self) -> &'static str {
        match self {
            Self::Correct => "correct",
            Self::PartlyCorrect => "partly correct",
            Self::NotCorrect => "not correct",
            Self::NotRead => "not read",
            Self::ByHand => "to be marked by hand",
            Self::Blank => "not answered",
        }
    }
    /// The name in files: `partly-correct`.
    pub fn name(self) -> &'static str {
        match self {
            Self::Correct => "correct",
            Self::PartlyCorrect => "partly-correct",
            Self::NotCorrect => "not-correct",
            Self::NotRead => "not-read",
            Self::ByHand => "by-hand",
            Self::Blank => "blank",
        }
    }
}
