//! One attempt at one part of a problem.

use serde::{Deserialize, Deserializer, Serialize, Serializer, de};

/// One attempt, as recorded before any feedback is shown.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Attempt {
    /// When, in seconds since 1970-01-01 UTC; in files as `2026-11-25T13:40:00Z`.
    #[serde(serialize_with = "write_moment", deserialize_with = "read_moment")]
    pub at: i64,
    /// What the template trains: the name of its objective.
    pub objective: String,
    /// The topic, by which practice keeps its estimates.
    pub topic: String,
    /// The template.
    pub template: String,
    /// The code that rebuilds the problem.
    pub code: String,
    /// The part answered, or the step of the working.
    pub part: String,
    /// What the student typed.
    pub answer: String,
    /// Whether it was correct.
    pub right: bool,
    /// Marks given.
    pub marks: u32,
    /// Marks to be had.
    pub of: u32,
    /// The slips that fit the answer, by name.
    pub slips: Vec<String>,
    /// How many hints were read first.
    pub hints: u32,
    /// How many steps at the end of the working the student had to do; all of them, where no
    /// example was shown.
    pub missing: u32,
    /// How many steps the working of the problem has.
    pub steps: u32,
    /// The chance, in a thousand, that blind guessing solves the problem at the first try.
    pub luck: u32,
    /// How the problem ended, if this attempt ended it.
    pub ended: Option<Ending>,
}

/// How a problem ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Ending {
    /// Not every question was answered correctly.
    NotSolved,
    /// Every question was answered correctly in the end, with a second try or a hint that gives
    /// something away.
    Helped,
    /// Every question was answered correctly at the first try without such a hint.
    Alone,
}

/// A problem that was begun and not ended.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Unfinished {
    /// The code that rebuilds the problem.
    pub code: String,
    /// How many steps at the end of its working the student has to do.
    pub missing: u32,
    /// How many hints were read for the question that is next.
    pub hints: u32,
    /// The written answer given to it that waits to be marked point by point.
    pub written: Option<String>,
    /// The attempts made at it so far, oldest first.
    pub attempts: Vec<Attempt>,
}

impl Unfinished {
    /// Returns whether it is a problem of the template.
    pub fn is_of(&self, template: &str) -> bool {
        self.code.rsplit_once('.').is_some_and(|(name, _)| name == template)
    }
}

#[allow(clippy::trivially_copy_pass_by_ref, reason = "serde passes fields by reference")]
fn write_moment<S: Serializer>(at: &i64, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.serialize_str(&moment_text(*at))
}

fn read_moment<'de, D: Deserializer<'de>>(deserializer: D) -> Result<i64, D::Error> {
    let text = String::deserialize(deserializer)?;
    read_moment_text(&text).ok_or_else(|| {
        de::Error::custom(format!(
            "expected a moment such as `2026-11-25T13:40:00Z`, found `{text}`"
        ))
    })
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

/// A day as people write it: `2026-11-25`.
pub fn day_text(day: i64) -> String {
    let (year, month, day) = date_of(day);
    format!("{year:04}-{month:02}-{day:02}")
}

/// The day that is written as `2026-11-25`; `None` if there is no such day.
pub fn read_day(text: &str) -> Option<i64> {
    let mut pieces = text.splitn(3, '-');
    let mut piece = |digits: usize| {
        let piece = pieces.next()?;
        let plain = piece.len() == digits && piece.bytes().all(|byte| byte.is_ascii_digit());
        if plain { piece.parse::<i64>().ok() } else { None }
    };
    let (year, month, day) = (piece(4)?, piece(2)?, piece(2)?);
    if !(1..=12).contains(&month) {
        return None;
    }
    // Each month has a day near its first; from there the day is counted and checked.
    let shifted = (month + 9) % 12;
    let years = if month <= 2 { year - 1 } else { year };
    let era = years.div_euclid(400);
    let in_era = years.rem_euclid(400);
    let days = in_era * 365 + in_era / 4 - in_era / 100 + (153 * shifted + 2) / 5 + day - 1;
    let found = era * 146_097 + days - 719_468;
    (day_text(found) == text).then_some(found)
}

/// The moment that is written as [`moment_text`] writes it.
fn read_moment_text(text: &str) -> Option<i64> {
    let (date, time) = text.strip_suffix('Z')?.split_once('T')?;
    let mut pieces = time.splitn(3, ':').map(|piece| piece.parse::<i64>().ok());
    let (hour, minute, second) = (pieces.next()??, pieces.next()??, pieces.next()??);
    let found = read_day(date)? * 86_400 + hour * 3600 + minute * 60 + second;
    (moment_text(found) == text).then_some(found)
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
            assert_eq!(read_moment_text(text), Some(seconds));
        }
    }

    #[test]
    fn a_day_that_does_not_exist_is_not_read() {
        assert_eq!(read_day("1970-01-02"), Some(1));
        for text in ["2026-02-29", "2026-13-01", "26-11-28", "2026-11-3", "2026-00-10", "soon", ""]
        {
            assert_eq!(read_day(text), None, "{text}");
        }
    }
}
