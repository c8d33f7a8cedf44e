//! The key to a word or two: the case itself, since all of it is shown.

use crate::bank::TextCase;

use super::super::Fields;
use super::{AnswerSpace, Key};

impl Key for TextCase {
    fn answer(&self) -> String {
        self.answers[0].clone()
    }

    fn example(&self) -> String {
        "some words".to_owned()
    }

    fn space(&self) -> AnswerSpace {
        AnswerSpace::Text
    }

    fn seal(&self, into: &mut Fields) {
        into.all("answer", &self.answers);
        into.all("other", &self.others);
    }

    fn sources(&self) -> Vec<&str> {
        vec![&self.source]
    }

    fn is_words(&self) -> bool {
        true
    }
}
