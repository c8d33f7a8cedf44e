//! The key to a statement that is true or false, with its reason.

use crate::bank::Choice;

use super::super::{Fields, letter};
use super::{AnswerSpace, Key};

/// The key to a statement with its reasons, which are lettered A, B, C in their order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct JudgementKey {
    /// The statement.
    pub statement: String,
    /// Whether it is true.
    pub truth: bool,
    /// The reasons as shown.
    pub reasons: Vec<Choice>,
    /// Which of them is the reason.
    pub right: usize,
}

impl Key for JudgementKey {
    fn answer(&self) -> String {
        format!("{} {}", self.truth, letter(self.right, 'A'))
    }

    fn example(&self) -> String {
        "true B".to_owned()
    }

    fn space(&self) -> AnswerSpace {
        let reasons = self.reasons.iter().map(|reason| reason.text.clone()).collect();
        AnswerSpace::Judgement { reasons }
    }

    fn seal(&self, into: &mut Fields) {
        into.put(if self.truth { "true" } else { "false" }, &self.statement);
        into.all("reason", self.reasons.iter().map(|reason| &reason.text));
        into.put("right", &self.right);
    }

    fn texts(&self) -> Vec<&str> {
        let reasons = self.reasons.iter().map(|reason| reason.text.as_str());
        reasons.chain([self.statement.as_str()]).collect()
    }

    fn sources(&self) -> Vec<&str> {
        self.reasons.get(self.right).map(|reason| reason.source.as_str()).into_iter().collect()
    }
}
