//! One attempt at one part of a problem.

use serde::{Deserialize, Serialize};

/// One attempt, as recorded before any feedback is shown.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Attempt {
    /// When, in seconds since 1970-01-01 UTC.
    pub at: i64,
    /// What the template trains: the name of its objective.
    pub objective: String,
    /// The finer subject, by which practice keeps its estimates.
    pub topic: String,
    /// The template.
    pub template: String,
    /// The code that rebuilds the problem.
    pub code: String,
    /// The part answered, or the step of the working.
    pub part: String,
    /// What the student typed.
    pub answer: String,
    /// Whether it was right.
    pub right: bool,
    /// Marks given.
    pub marks: u32,
    /// Marks to be had.
    pub of: u32,
    /// The slips that fit the answer, by name.
    pub slips: Vec<String>,
    /// How many hints were read first.
    pub hints: u32,
    /// How many steps at the end of the working were the student's own to do; all of them, where
    /// no example was shown.
    pub missing: u32,
    /// How many steps the working of the problem has.
    pub steps: u32,
    /// Whether the student solved the problem alone, when this attempt ended it: every question
    /// right at the first try, and no number taken from a hint.
    pub solved: Option<bool>,
}

/// What is known of one topic, as kept beside the attempts.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Progress {
    /// The objective.
    pub objective: String,
    /// The topic.
    pub topic: String,
    /// How many attempts.
    pub attempts: u64,
    /// How many of them right.
    pub right: u64,
    /// The chance that it is known.
    pub known: f64,
    /// The box of spaced review.
    pub box_number: u32,
    /// The day on which the box was last moved or kept by a review, in days since 1970-01-01.
    pub last_day: i64,
    /// How many steps of a worked example are left out next time.
    pub missing: u32,
}

/// The day of a moment: whole days since 1970-01-01 UTC.
pub fn day_of(seconds: i64) -> i64 {
    seconds.div_euclid(86_400)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_day_begins_at_midnight_even_before_1970() {
        assert_eq!([day_of(0), day_of(86_399), day_of(86_400), day_of(-1)], [0, 0, 1, -1]);
    }
}
