//! The pieces of an answer of theory that are right, and what they earn.
//!
//! * One option: full marks or none; who chooses two has none.
//! * Several options: the share of the right options that are chosen less the share of the wrong options
//!   that are, never below zero. Choosing all earns nothing.
//! * Matching and grouping: the share of lines that are right.
//! * Order: pairs of lines in the right order less pairs in the wrong order, as a share of all pairs
//!   whose order is fixed.
//! * True or false: one mark for the verdict; the others for the reason, with a right verdict only.
//! * A range: half the marks for each end.
//!
//! Halves are rounded up, in an order down; full marks are for what is right throughout.

use super::order::Concordance;
use super::share::{Sharing, share, share_of_options};

/// The pieces of an answer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Pieces {
    /// Options that were chosen, by their indices.
    Options {
        /// The right ones.
        right: Vec<usize>,
        /// The wrong ones.
        wrong: Vec<usize>,
        /// How many right ones there are.
        rights: usize,
        /// How many wrong ones there are.
        wrongs: usize,
        /// Whether more than one may be chosen.
        several: bool,
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
    /// Lines that were put in order.
    Order {
        /// The pairs of lines whose order is fixed.
        pairs: Concordance,
        /// How many lines were left out.
        missing: usize,
    },
    /// The two ends of a range.
    Ends {
        /// Whether the lower is right.
        lower: bool,
        /// Whether the upper is right.
        upper: bool,
        /// Whether one number was given alone.
        alone: bool,
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
    /// There is more than one.
    Several,
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
            Self::Order { pairs, missing } => pairs.is_whole() && *missing == 0,
            Self::Ends { lower, upper, .. } => *lower && *upper,
            Self::Points { made, wanted } => made >= wanted,
        }
    }

    /// The marks they earn out of so many.
    pub fn marks(&self, of: u32) -> u32 {
        if self.all_right() {
            return of;
        }
        let marks = match self {
            Self::Options { several: false, .. } => 0,
            Self::Options { right, wrong, rights, wrongs, .. } => {
                share_of_options(of, (right.len(), *rights), (wrong.len(), *wrongs))
            }
            Self::Judged { truth, .. } => u32::from(*truth),
            Self::Lines { of: all, wrong, empty } => {
                share(of, all.saturating_sub(wrong.len() + empty.len()), *all)
            }
            Self::Order { pairs, .. } => pairs.marks(of),
            Self::Ends { lower, upper, .. } => {
                share(of, usize::from(*lower) + usize::from(*upper), 2)
            }
            Self::Points { made, .. } => *made,
        };
        // Full marks say that an answer is correct, so what is not all right never earns them.
        marks.min(of.saturating_sub(1))
    }

    /// How they earn marks.
    pub fn sharing(&self) -> Sharing {
        match self {
            Self::Options { several: false, .. }
            | Self::Judged { reason: ReasonFound::NotAsked, .. } => Sharing::Whole,
            Self::Options { .. } => Sharing::Options,
            Self::Judged { .. } => Sharing::Judgement,
            Self::Lines { .. } => Sharing::Lines,
            Self::Order { .. } => Sharing::Order,
            Self::Ends { .. } => Sharing::Ends,
            Self::Points { .. } => Sharing::Points,
        }
    }
}
