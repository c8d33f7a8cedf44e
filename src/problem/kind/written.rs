//! The key to a written answer: the case itself, with its points.

use crate::bank::WrittenCase;

use super::super::Fields;
use super::{AnswerSpace, Key};

impl Key for WrittenCase {
    fn answer(&self) -> String {
        String::new()
    }

    fn example(&self) -> String {
        "some words".to_owned()
    }

    fn space(&self) -> AnswerSpace {
        AnswerSpace::Lines { count: self.lines }
    }

    fn seal(&self, into: &mut Fields) {
        into.put("lines", &self.lines);
        into.all("point", self.points.iter().map(|point| &point.text));
    }

    fn sources(&self) -> Vec<&str> {
        self.points.iter().map(|point| point.source.as_str()).collect()
    }

    fn is_words(&self) -> bool {
        true
    }
}
