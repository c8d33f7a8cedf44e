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

/// A problem that was begun and not ended.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unfinished {
    /// The code that rebuilds the problem.
    pub code: String,
    /// How many steps at the end of its working are the student's own to do.
    pub missing: u32,
    /// How many hints were read for the question that is next.
    pub hints: u32,
    /// The written answer given to it that waits to be marked point by point.
    pub written: Option<String>,
    /// The attempts made at it so far, oldest first.
    pub attempts: Vec<Attempt>,
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

/// A moment as people and programs write it, in UTC: `2026-11-25T13:40:00Z`.
pub fn moment_text(seconds: i64) -> String {
    let day = day_of(seconds);
    let (year, month, day) = date_of(day);
    let second = seconds.rem_euclid(86_400);
    format!(
        "{year:04}-{month:02}-{day:02}T{:02}:{:02}:{:02}Z",
        second / 3600,
        second / 60 % 60,
        second % 60
    )
}

/// Year, month and day of the Gregorian calendar. The year is taken to begin in March, so that the
/// leap day comes last and every month has its usual place.
fn date_of(day: i64) -> (i64, i64, i64) {
    // Days since 0000-03-01, in eras of 400 years of 146 097 days each.
    let day = day.saturating_add(719_468);
    let (era, day) = (day.div_euclid(146_097), day.rem_euclid(146_097));
    let year = (day - day / 1460 + day / 36_524 - day / 146_096) / 365;
    let day = day - (365 * year + year / 4 - year / 100);
    let month = (5 * day + 2) / 153;
    let day = day - (153 * month + 2) / 5 + 1;
    let month = if month < 10 { month + 3 } else { month - 9 };
    (era * 400 + year + i64::from(month <= 2), month, day)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_day_begins_at_midnight_even_before_1970() {
        assert_eq!([day_of(0), day_of(86_399), day_of(86_400), day_of(-1)], [0, 0, 1, -1]);
    }

    #[test]
    fn moments_are_written_by_the_calendar() {
        // Expected values from `date -u -d @SECONDS`.
        for (seconds, text) in [
            (0, "1970-01-01T00:00:00Z"),
            (951_782_400, "2000-02-29T00:00:00Z"),
            (1_709_251_199, "2024-02-29T23:59:59Z"),
            (4_107_542_400, "2100-03-01T00:00:00Z"),
            (-1, "1969-12-31T23:59:59Z"),
        ] {
            assert_eq!(moment_text(seconds), text);
        }
    }
}
