//! A number, or the reason why there is none.

use std::fmt;

/// A statistic: a number, or the reason why it is not defined here.
pub type Statistic = Result<f64, Undefined>;

/// Why a statistic is not defined; shown as `n/a` with this reason, never as zero.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Undefined {
    /// Nobody sat.
    NoCandidates,
    /// Too few candidates for this statistic.
    FewCandidates,
    /// Too few items for this statistic.
    FewItems,
    /// Everybody has the same mark on the item.
    SameMark,
    /// Everybody has the same total on the other items.
    SameTotal,
    /// The formula is for items marked right or wrong.
    NotRightOrWrong,
    /// The question has no wrong options.
    NoDistractors,
    /// The upper and lower groups would share candidates.
    GroupsOverlap,
    /// Some candidates were not set the item.
    NotSetToAll,
    /// Some answers are not marked yet.
    NotAllMarked,
    /// The options have no texts, and their letters differ between papers.
    OptionsUntold,
    /// Nobody has a problem in common with another.
    AllUnlike,
    /// Everybody had the same problem.
    AllAlike,
    /// A perfect correlation has no interval.
    Perfect,
    /// Every option was shown to too few.
    FewShown,
    /// There are not two groups of at least two.
    FewGroups,
}

impl fmt::Display for Undefined {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::NoCandidates => "nobody sat",
            Self::FewCandidates => "too few candidates",
            Self::FewItems => "needs at least two items",
            Self::SameMark => "everybody has the same mark",
            Self::SameTotal => "everybody has the same total on the other items",
            Self::NotRightOrWrong => "only for items marked right or wrong",
            Self::NoDistractors => "no wrong options",
            Self::GroupsOverlap => "the class is too small for two groups",
            Self::NotSetToAll => "not every candidate was set it",
            Self::NotAllMarked => "some answers wait to be marked by hand",
            Self::OptionsUntold => "the marks do not tell what the options said",
            Self::AllUnlike => "every candidate had a problem of their own",
            Self::AllAlike => "everybody had the same problem",
            Self::Perfect => "a perfect correlation has no interval",
            Self::FewShown => "every wrong option was shown to too few",
            Self::FewGroups => "needs two groups of at least two candidates",
        })
    }
}

/// An interval, ends included.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Interval {
    /// The lower end.
    pub low: f64,
    /// The upper end.
    pub high: f64,
}
