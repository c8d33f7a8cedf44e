//! The key to lettered options.

use crate::bank::Choice;

use super::super::{Fields, letter};
use super::{AnswerSpace, Key};

/// The key to options, which are lettered A, B, C in their order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ChoiceKey {
    /// The options as shown.
    pub options: Vec<Choice>,
    /// For each option whether it is right.
    pub right: Vec<bool>,
    /// Whether more than one may be chosen.
    pub several: bool,
    /// Whether the options are the lines of a procedure, of which the one with the error is sought.
    pub is_procedure: bool,
}

impl ChoiceKey {
    fn rights(&self) -> impl Iterator<Item = usize> + '_ {
        (0..self.options.len()).filter(|index| self.right.get(*index) == Some(&true))
    }
}

impl Key for ChoiceKey {
    fn answer(&self) -> String {
        self.rights().map(|index| letter(index, 'A')).collect::<Vec<_>>().join(" ")
    }

    fn example(&self) -> String {
        if self.several { "A C" } else { "B" }.to_owned()
    }

    fn space(&self) -> AnswerSpace {
        let options = self.options.iter().map(|option| option.text.clone()).collect();
        AnswerSpace::Options { options, multiple: self.several }
    }

    fn seal(&self, into: &mut Fields) {
        into.put("choice", &self.several);
        for (option, right) in self.options.iter().zip(&self.right) {
            into.put(if *right { "right" } else { "wrong" }, &option.text);
        }
    }

    fn texts(&self) -> Vec<&str> {
        self.options.iter().map(|option| option.text.as_str()).collect()
    }

    fn denied_by(&self) -> Vec<&str> {
        // The line with the error is the one that its source denies.
        if self.is_procedure { self.sources() } else { Vec::new() }
    }

    fn sources(&self) -> Vec<&str> {
        let rights = self.rights().filter_map(|index| self.options.get(index));
        rights.map(|option| option.source.as_str()).collect()
    }
}
