//! The key to a verdict that follows from the numbers.

use super::super::{Fields, letter};
use super::{AnswerSpace, Key};

/// The key to a verdict: one of several, lettered A, B, C in the order of the template.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct VerdictKey {
    /// The verdicts as shown.
    pub options: Vec<String>,
    /// The index of the one that follows from the numbers.
    pub right: usize,
    /// The verdicts that legal early rounding leads to; in a drawn problem the right one alone.
    pub legal: Vec<usize>,
    /// Why, in a sentence; may be empty.
    pub because: String,
    /// The wrong rules that lead to another verdict.
    pub slips: Vec<SlipVerdict>,
}

/// The verdict that a slip leads to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SlipVerdict {
    /// The slip, as an index into the slips of the template.
    pub slip: usize,
    /// The index of the verdict.
    pub option: usize,
}

impl VerdictKey {
    /// Whether legal rounding leads to more than one verdict.
    pub fn is_undecided(&self) -> bool {
        self.legal.iter().any(|index| *index != self.right)
    }
}

impl Key for VerdictKey {
    fn answer(&self) -> String {
        letter(self.right, 'A')
    }

    fn example(&self) -> String {
        "B".to_owned()
    }

    fn space(&self) -> AnswerSpace {
        AnswerSpace::Options { options: self.options.clone(), multiple: false }
    }

    fn seal(&self, into: &mut Fields) {
        into.put("verdict", &self.right);
        into.all("option", &self.options);
        for slip in &self.slips {
            into.all("slip", [slip.slip, slip.option]);
        }
    }

    fn texts(&self) -> Vec<&str> {
        self.options.iter().map(String::as_str).collect()
    }
}
