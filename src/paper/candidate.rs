//! A candidate, and what a candidate needs.

use std::fmt;

use crate::formula::nearest;
use crate::words::quoted;

/// One candidate.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Candidate {
    /// The candidate number, as written, without blanks around it.
    pub number: String,
    /// The name, where the list gives one.
    pub name: Option<String>,
    /// The group, where the list gives one.
    pub group: Option<String>,
    /// The room, where the list gives one.
    pub room: Option<String>,
    /// The seat in it, where the list gives one.
    pub seat: Option<String>,
    /// What the candidate needs.
    pub needs: Vec<Need>,
}

/// What a candidate needs.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Need {
    /// The paper in 18-point type.
    LargePrint,
    /// So many per cent of extra time.
    ExtraTime(u32),
    /// Something for the invigilator to know, which changes no document of the candidate.
    Note(String),
}

/// The longest note, in characters.
const LONGEST_NOTE: usize = 200;

impl Candidate {
    /// The time of the candidate in minutes, with what they have beyond the others rounded up.
    pub fn minutes(&self, usual: u32) -> u32 {
        let extra = self.needs.iter().map(|need| match need {
            Need::ExtraTime(percent) => (usual * percent).div_ceil(100),
            Need::LargePrint | Need::Note(_) => 0,
        });
        usual + extra.sum::<u32>()
    }
}

impl fmt::Display for Need {
    /// As a class list has it: `large print`, `extra time 25`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::LargePrint => f.write_str("large print"),
            Self::ExtraTime(percent) => write!(f, "extra time {percent}"),
            Self::Note(note) => f.write_str(note),
        }
    }
}

impl Need {
    /// Reads what a class list or a manifest has: `large print`, `extra time`, `extra time 50`, or a
    /// note.
    ///
    /// # Errors
    /// What is nearly one of the known needs, so that a slip of the pen is no note.
    pub fn read(text: &str) -> Result<Self, String> {
        let lower = text.to_lowercase();
        if lower == "large print" {
            return Ok(Self::LargePrint);
        }
        if let Some(percent) = lower.strip_prefix("extra time").map(str::trim) {
            let number = percent.trim_end_matches('%').trim().parse().ok();
            let number = number.filter(|percent| (1..=200).contains(percent));
            return match number.or_else(|| percent.is_empty().then_some(25)) {
                Some(percent) => Ok(Self::ExtraTime(percent)),
                None => Err(format!(
                    "expected `extra time` with a per cent from 1 to 200, found `{}`; write `extra time \
                     25`",
                    quoted(text, 40)
                )),
            };
        }
        if text.chars().count() > LONGEST_NOTE {
            return Err(format!(
                "expected at most {LONGEST_NOTE} characters, found more; shorten it"
            ));
        }
        let words: String =
            lower.chars().map(|letter| if letter.is_alphabetic() { letter } else { ' ' }).collect();
        let words = words.split_whitespace().collect::<Vec<_>>().join(" ");
        match nearest(&words, ["large print", "extra time"]) {
            Some(near) => Err(format!(
                "expected a need, found `{}`; did you mean `{near}`?",
                quoted(text, 40)
            )),
            None => Ok(Self::Note(text.to_owned())),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_need_is_one_of_two_or_a_note_that_is_like_neither() {
        let long = "a".repeat(LONGEST_NOTE);
        for (text, need) in [
            ("large print", Need::LargePrint),
            ("Large Print", Need::LargePrint),
            ("extra time", Need::ExtraTime(25)),
            ("extra time 1", Need::ExtraTime(1)),
            ("Extra time 200 %", Need::ExtraTime(200)),
            ("sits by the door", Need::Note("sits by the door".to_owned())),
            (&long, Need::Note(long.clone())),
        ] {
            assert_eq!(Need::read(text), Ok(need), "{text}");
        }
        for text in ["extra time 0", "extra time 201", "extra time much", "larg print", "extra-tme"]
        {
            assert!(Need::read(text).is_err(), "{text}");
        }
        let what = Need::read(&"a".repeat(LONGEST_NOTE + 1)).unwrap_err();
        assert_eq!(what, "expected at most 200 characters, found more; shorten it");
    }
}
