//! The kinds of answer a part can want, one file each: the key, and what the rest of the program
//! asks of it through [`Key`]. Marking and the layouts of sheets keep a rule of their own for each.

mod space;
mod number;
mod verdict;
mod choice;
mod judgement;
mod matching;
mod ordering;
mod text;
mod range;
mod written;

pub use choice::ChoiceKey;
pub use judgement::JudgementKey;
pub use matching::MatchingKey;
pub use number::{NumberKey, SlipValue, least_gap};
pub use ordering::OrderingKey;
pub use space::AnswerSpace;
pub use verdict::{SlipVerdict, VerdictKey};

use crate::bank::{RangeCase, TextCase, WrittenCase};

use super::Fields;

/// What every key can say of itself.
pub trait Key {
    /// The answer as a candidate would type it: `13.9 g`, `B`, `A C`, `true B`, `1c 2a`,
    /// `30 to 36 °C`; empty for a written answer, which has points instead.
    fn answer(&self) -> String;

    /// How an answer of this kind is typed, whatever the right one is: `1.23 g`, `B`.
    fn example(&self) -> String;

    /// The room for the answer on a sheet.
    fn space(&self) -> AnswerSpace;

    /// Writes down all that decides a mark.
    fn seal(&self, into: &mut Fields);

    /// The texts shown with the question.
    fn texts(&self) -> Vec<&str> {
        Vec::new()
    }

    /// The ids of the sources behind the answer; none where it follows from the values.
    fn sources(&self) -> Vec<&str> {
        Vec::new()
    }

    /// The ids of the sources that deny what the answer calls false.
    fn denied_by(&self) -> Vec<&str> {
        Vec::new()
    }

    /// Whether the answer is written in words, so that nothing in it is a name or a sign.
    fn is_words(&self) -> bool {
        false
    }
}

/// What a part wants, with its key.
#[derive(Clone, Debug)]
pub enum Response {
    /// A number with a unit.
    Number(NumberKey),
    /// One of lettered verdicts, which follows from the numbers.
    Verdict(VerdictKey),
    /// One or several of lettered options.
    Choice(ChoiceKey),
    /// Whether a statement is true, and why.
    Judgement(JudgementKey),
    /// A letter for each numbered line.
    Matching(MatchingKey),
    /// The letters of the items in the right order.
    Ordering(OrderingKey),
    /// A word or two.
    Text(TextCase),
    /// Two numbers.
    Range(RangeCase),
    /// A written answer, marked by hand.
    Written(WrittenCase),
}

impl Response {
    /// What can be asked of any key.
    pub fn key(&self) -> &dyn Key {
        match self {
            Self::Number(key) => key,
            Self::Verdict(key) => key,
            Self::Choice(key) => key,
            Self::Judgement(key) => key,
            Self::Matching(key) => key,
            Self::Ordering(key) => key,
            Self::Text(key) => key,
            Self::Range(key) => key,
            Self::Written(key) => key,
        }
    }

    /// The key of a numeric part.
    pub fn number(&self) -> Option<&NumberKey> {
        match self {
            Self::Number(key) => Some(key),
            _ => None,
        }
    }

    /// The key of a part that asks for a verdict.
    pub fn verdict(&self) -> Option<&VerdictKey> {
        match self {
            Self::Verdict(key) => Some(key),
            _ => None,
        }
    }

    /// Whether the answer is worked out from the values and not known by heart.
    pub fn is_worked_out(&self) -> bool {
        matches!(self, Self::Number(_) | Self::Verdict(_))
    }

    /// The answer as a candidate would type it; see [`Key::answer`].
    pub fn answer(&self) -> String {
        self.key().answer()
    }

    /// The ids of the sources behind the answer, each once.
    pub fn sources(&self) -> Vec<&str> {
        let mut once: Vec<&str> = Vec::new();
        for id in self.key().sources() {
            if !id.is_empty() && !once.contains(&id) {
                once.push(id);
            }
        }
        once
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bank::Choice;

    #[test]
    fn a_source_of_several_options_is_told_once_and_none_where_there_is_none() {
        let of = |source: &str| Choice { source: source.to_owned(), ..Choice::default() };
        let key = ChoiceKey {
            options: ["", "guide", "codex", "guide", ""].map(of).to_vec(),
            right: vec![true; 5],
            several: true,
            is_procedure: false,
        };
        assert_eq!(Response::Choice(key).sources(), ["guide", "codex"]);
    }
}
