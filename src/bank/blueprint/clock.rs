//! The time of the day at which a paper begins and ends.

use std::fmt;

use crate::bank::reading::checker::Checker;
use crate::bank::reading::noted::Checked;
use crate::bank::reading::words::Text;

/// A time of the day.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Clock {
    /// Minutes from midnight; from a whole day on it is the next.
    minutes: u32,
}

/// The minutes of a day.
const DAY: u32 = 24 * 60;

impl Clock {
    /// Reads `09:30` or `9.30`.
    ///
    /// # Errors
    /// What was expected and what was found.
    pub fn parse(text: &str) -> Result<Self, String> {
        let number = |text: &str, most: u32| {
            let digits =
                (1..=2).contains(&text.len()) && text.bytes().all(|it| it.is_ascii_digit());
            digits.then(|| text.parse::<u32>().ok()).flatten().filter(|number| *number <= most)
        };
        let parts = text.trim().split_once([':', '.']);
        let parts = parts.filter(|(_, minutes)| minutes.len() == 2);
        let read = parts.and_then(|(hours, minutes)| {
            Some(Self { minutes: 60 * number(hours, 23)? + number(minutes, 59)? })
        });
        read.ok_or_else(|| {
            let found = crate::words::quoted(text, 20);
            format!("expected a time of the day such as 09:30, found `{found}`")
        })
    }

    /// Reads what a blueprint says.
    pub(super) fn read(checker: &mut Checker<'_>, text: &Text) -> Checked<Self> {
        Self::parse(text).map_err(|what| {
            let help = "write hours and minutes, in quotes: `\"09:30\"`".to_owned();
            checker.value(text, what, "not a time of the day", Some(help))
        })
    }

    /// So many minutes later.
    #[must_use]
    pub fn after(self, minutes: u32) -> Self {
        Self { minutes: self.minutes.saturating_add(minutes) }
    }
}

impl fmt::Display for Clock {
    /// `09:30`, or `00:15 (next day)`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let of_day = self.minutes % DAY;
        write!(f, "{:02}:{:02}", of_day / 60, of_day % 60)?;
        if self.minutes >= DAY { f.write_str(" (next day)") } else { Ok(()) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_are_read_and_added_to() {
        let start = Clock::parse("9:30").unwrap();
        assert_eq!(
            (start.to_string(), start.after(75).to_string()),
            ("09:30".into(), "10:45".into())
        );
        assert_eq!(Clock::parse("23.50").unwrap().after(25).to_string(), "00:15 (next day)");
    }

    #[test]
    fn what_is_no_time_is_refused() {
        for text in ["", "930", "24:00", "9:60", "9:3", "-1:00", "9:30 am", "009:30"] {
            assert!(Clock::parse(text).is_err(), "{text}");
        }
    }
}
