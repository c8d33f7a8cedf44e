//! The key to a statement that is true or false, and perhaps the reason.

use crate::bank::Choice;

use super::super::{Fields, letter};
use super::{AnswerSpace, Key};

/// The key to a statement and its reasons, which are lettered A, B, C in their order; without any,
/// only true or false is asked.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct JudgementKey {
    /// The statement.
    pub statement: String,
    /// Whether it is true.
    pub truth: bool,
    /// The id of the source that says or denies it.
    pub source: String,
    /// Why it is true or false, in a sentence that names the source.
    pub because: String,
    /// The reasons as shown.
    pub reasons: Vec<Choice>,
    /// Which of them is the reason.
    pub right: Option<usize>,
}

impl Key for JudgementKey {
    fn answer(&self) -> String {
        match self.right {
            Some(right) => format!("{} {}", self.truth, letter(right, 'A')),
            None => self.truth.to_string(),
        }
    }

    fn example(&self) -> String {
        if self.right.is_some() { "true B" } else { "true" }.to_owned()
    }

    fn space(&self) -> AnswerSpace {
        let reasons = self.reasons.iter().map(|reason| reason.text.clone()).collect();
        AnswerSpace::Judgement { reasons, with_reason: self.right.is_some() }
    }

    fn seal(&self, into: &mut Fields) {
        into.put(if self.truth { "true" } else { "false" }, &self.statement);
        into.all("reason", self.reasons.iter().map(|reason| &reason.text));
        into.all("right", self.right);
    }

    fn texts(&self) -> Vec<&str> {
        let reasons = self.reasons.iter().map(|reason| reason.text.as_str());
        reasons.chain([self.statement.as_str()]).collect()
    }

    fn denied_by(&self) -> Vec<&str> {
        if self.truth { Vec::new() } else { vec![&self.source] }
    }

    fn sources(&self) -> Vec<&str> {
        let reason = self.right.and_then(|right| self.reasons.get(right));
        [self.source.as_str()].into_iter().chain(reason.map(|it| it.source.as_str())).collect()
    }
}
