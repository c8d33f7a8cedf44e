//! Marks, counted in halves.

use std::fmt;
use std::iter::Sum;
use std::ops::Add;

use serde::de::{Deserialize, Deserializer, Error as _};
use serde::ser::{Error as _, Serialize, Serializer};
use serde_json::Number;

/// So many marks; a person may give halves.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Mark {
    halves: u32,
}

/// More than any paper has.
const MOST: u32 = 100_000;

impl Mark {
    /// No marks.
    pub const NONE: Self = Self { halves: 0 };

    /// So many whole marks.
    pub fn whole(marks: u32) -> Self {
        Self { halves: marks.saturating_mul(2) }
    }

    /// The number of half marks.
    pub fn halves(self) -> u32 {
        self.halves
    }

    /// The difference between two marks, whichever is higher.
    #[must_use]
    pub fn difference(self, other: Self) -> Self {
        Self { halves: self.halves.abs_diff(other.halves) }
    }

    /// Reads `2`, `2.5`, `2,5` or `2½`; nothing else is a mark.
    pub fn parse(text: &str) -> Option<Self> {
        let text = text.trim();
        let (whole, half) = match text.strip_suffix('½') {
            Some(whole) => (whole.trim_end(), true),
            None => match text.split_once(['.', ',']) {
                Some((whole, places)) => match places.trim_end_matches('0') {
                    "" if !places.is_empty() => (whole, false),
                    "5" => (whole, true),
                    _ => return None,
                },
                None => (text, false),
            },
        };
        let digits = whole.bytes().all(|byte| byte.is_ascii_digit());
        let whole: u32 = match whole {
            "" if half => 0,
            whole if digits => whole.parse().ok()?,
            _ => return None,
        };
        (whole <= MOST).then(|| Self { halves: 2 * whole + u32::from(half) })
    }

    /// The per cent that this is of so many marks, to one place, halves up: `62.5`.
    pub fn per_cent(self, of: Self) -> String {
        let (part, whole) = (u64::from(self.halves), u64::from(of.halves).max(1));
        let tenths = (2000 * part + whole) / (2 * whole);
        format!("{}.{}", tenths / 10, tenths % 10)
    }
}

impl fmt::Display for Mark {
    /// `2`, or `2.5`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let half = if self.halves % 2 == 1 { ".5" } else { "" };
        write!(f, "{}{half}", self.halves / 2)
    }
}

impl Add for Mark {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        Self { halves: self.halves.saturating_add(other.halves) }
    }
}

impl Sum for Mark {
    fn sum<I: Iterator<Item = Self>>(marks: I) -> Self {
        marks.fold(Self::NONE, Self::add)
    }
}

impl Serialize for Mark {
    /// A whole number, or one with `.5`.
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        self.to_string().parse::<Number>().map_err(S::Error::custom)?.serialize(serializer)
    }
}

impl<'de> Deserialize<'de> for Mark {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let number = Number::deserialize(deserializer)?.to_string();
        Self::parse(&number).ok_or_else(|| D::Error::custom("expected whole or half marks"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn marks_are_read_as_people_write_them() {
        for (text, halves) in [
            ("0", 0),
            ("2", 4),
            ("2.5", 5),
            ("2,5", 5),
            ("2.50", 5),
            ("2.0", 4),
            ("2½", 5),
            ("½", 1),
            ("100000", 200_000),
            (".5", 1),
        ] {
            assert_eq!(Mark::parse(text).map(Mark::halves), Some(halves), "{text}");
        }
    }

    #[test]
    fn thirds_signs_and_words_are_no_marks() {
        for text in
            ["", "-1", "+1", "2.25", "2.", "1e3", "two", "100001", "99999999999", "1.5.0", "."]
        {
            assert_eq!(Mark::parse(text), None, "{text}");
        }
    }

    #[test]
    fn a_mark_is_written_and_read_alike() {
        for text in ["0", "3", "2.5"] {
            let mark = Mark::parse(text).unwrap();
            let json = serde_json::to_string(&mark).unwrap();
            assert_eq!(json, text);
            assert_eq!(serde_json::from_str::<Mark>(&json).unwrap(), mark);
        }
        assert!(serde_json::from_str::<Mark>("0.3").is_err());
        assert_eq!(serde_json::from_str::<Mark>("2.0").unwrap(), Mark::whole(2));
    }

    #[test]
    fn per_cents_are_rounded_once_from_the_marks() {
        // 2.5 of 3 is 83.333..., 1 of 8 is 12.5, 1 of 16 is 6.25, by hand.
        let of = |text: &str, of| Mark::parse(text).unwrap().per_cent(Mark::whole(of));
        assert_eq!(of("2.5", 3), "83.3");
        assert_eq!(of("1", 8), "12.5");
        assert_eq!(of("1", 16), "6.3");
        assert_eq!(of("0", 0), "0.0");
    }
}
