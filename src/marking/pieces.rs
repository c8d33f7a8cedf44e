//! The pieces of an answer of theory that are right, and what they earn.
//!
//! * Options: the share of the right options that are chosen less the share of the wrong options that
//!   are, never below zero and rounded down. Choosing all earns nothing.
//! * Matching and grouping: the share of lines that are right, rounded down.
//! * Order: the share of neighbours, out of all neighbours of the right order, that are kept, rounded
//!   down. A line that is moved costs the places where it is missing and where it is put.
//! * True or false: one mark for the verdict; the others for the reason, with a right verdict only.
//! * A range: half the marks for each end, rounded down.

/// The pieces of an answer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Pieces {
    /// Options that were chosen, by their places.
    Options {
        /// The right ones.
        right: Vec<usize>,
        /// The wrong ones.
        wrong: Vec<usize>,
        /// How many right ones there are.
        rights: usize,
        /// How many wrong ones there are.
        wrongs: usize,
    },
    /// A statement judged.
    Judged {
        /// Whether true or false is right.
        truth: bool,
        /// What was found of the reason.
        reason: ReasonFound,
    },
    /// Lines that were given letters.
    Lines {
        /// How many lines there are.
        of: usize,
        /// The numbers of those that are wrong, from 1.
        wrong: Vec<usize>,
        /// The numbers of those without a letter.
        empty: Vec<usize>,
    },
    /// Lines that come straight after the one they follow.
    Order {
        /// How many do.
        right: usize,
        /// How many should.
        of: usize,
    },
    /// The two ends of a range.
    Ends {
        /// Whether the lower is right.
        lower: bool,
        /// Whether the upper is right.
        upper: bool,
    },
    /// Points of a written answer, as a person counted them.
    Points {
        /// How many were made.
        made: u32,
        /// How many were wanted.
        wanted: u32,
    },
}

/// What was found of the reason for a statement judged.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ReasonFound {
    /// It is right.
    Right,
    /// It is not.
    Wrong,
    /// There is none.
    Missing,
    /// None was asked for.
    NotAsked,
}

impl Pieces {
    /// Whether nothing is wrong or missing.
    pub fn all_right(&self) -> bool {
        match self {
            Self::Options { right, wrong, rights, .. } => {
                wrong.is_empty() && right.len() == *rights
            }
            Self::Judged { truth, reason } => {
                *truth && matches!(reason, ReasonFound::Right | ReasonFound::NotAsked)
            }
            Self::Lines { wrong, empty, .. } => wrong.is_empty() && empty.is_empty(),
            Self::Order { right, of } => right == of,
            Self::Ends { lower, upper } => *lower && *upper,
            Self::Points { made, wanted } => made >= wanted,
        }
    }

    /// The marks they earn out of so many.
    pub fn marks(&self, of: u32) -> u32 {
        if self.all_right() {
            return of;
        }
        let marks = match self {
            // The share of the right letters less the share of the wrong ones, over a common
            // denominator.
            Self::Options { right, wrong, rights, wrongs } => {
                let wrongs = (*wrongs).max(1);
                let earned = (right.len() * wrongs).saturating_sub(wrong.len() * rights);
                share(of, earned, rights * wrongs)
            }
            Self::Judged { truth, .. } => u32::from(*truth),
            Self::Lines { of: all, wrong, empty } => {
                share(of, all.saturating_sub(wrong.len() + empty.len()), *all)
            }
            Self::Order { right, of: all } => share(of, *right, *all),
            Self::Ends { lower, upper } => share(of, usize::from(*lower) + usize::from(*upper), 2),
            Self::Points { made, .. } => *made,
        };
        // Full marks say that an answer is correct, so what is not all right never earns them.
        marks.min(of.saturating_sub(1))
    }
}

/// The marks for so many right out of all, rounded down.
fn share(of: u32, right: usize, all: usize) -> u32 {
    let share = u64::from(of) * right as u64;
    let marks = share.checked_div(all as u64).and_then(|marks| u32::try_from(marks).ok());
    marks.unwrap_or(0).min(of)
}
