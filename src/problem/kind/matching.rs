//! The key to things to match or to group.

use super::super::{Fields, letter};
use super::{AnswerSpace, Key};

/// The key to things to match or to group: the left side is numbered 1, 2, 3, the right side lettered
/// A, B, C.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MatchingKey {
    /// The things.
    pub left: Vec<String>,
    /// What may go with them.
    pub right: Vec<String>,
    /// For each thing the index of what goes with it.
    pub answers: Vec<usize>,
    /// For each thing the id of the source.
    pub sources: Vec<String>,
    /// Whether several things may go with the same.
    pub shared: bool,
}

impl Key for MatchingKey {
    fn answer(&self) -> String {
        let pair = |(line, index): (usize, &usize)| format!("{}{}", line + 1, letter(*index, 'a'));
        self.answers.iter().enumerate().map(pair).collect::<Vec<_>>().join(" ")
    }

    fn example(&self) -> String {
        "1b 2a 3c".to_owned()
    }

    fn space(&self) -> AnswerSpace {
        let (left, right) = (self.left.clone(), self.right.clone());
        AnswerSpace::Match { left, right, again: self.shared }
    }

    fn seal(&self, into: &mut Fields) {
        into.put("matching", &self.shared);
        into.all("left", &self.left);
        into.all("right", &self.right);
        into.all("answer", &self.answers);
    }

    fn sources(&self) -> Vec<&str> {
        self.sources.iter().map(String::as_str).collect()
    }
}
