//! A part that is to be marked, and what comes of it: its answers, the rules, and what is said.

use crate::marking::Settings;

use super::super::answer::Answer;
use super::super::identifier;
use super::super::xml::Element;
use crate::export::{EntryPart, EntrySlip};

/// What is needed to mark a part.
#[derive(Clone, Copy, Debug)]
pub(in crate::export::qti) struct Asked<'a> {
    /// The index of the part in its question.
    pub index: usize,
    /// The part.
    pub part: &'a EntryPart,
    /// The rules of marking.
    pub rules: &'a Settings,
    /// The slips that something is said about.
    pub slips: &'a [EntrySlip],
    /// Whether anything is said about an answer.
    pub tells: bool,
}

/// How a part is marked.
#[derive(Debug)]
pub(in crate::export::qti) struct Scoring {
    /// The answers.
    pub answers: Vec<Answer>,
    /// The rules that set the score.
    pub rules: Vec<Element>,
    /// What is said to whom the rules note it for: the identifier and the sentence.
    pub said: Vec<(String, String)>,
    /// Whether a person sets the score.
    pub by_hand: bool,
}

impl Asked<'_> {
    /// The identifier of an answer.
    pub(in crate::export::qti) fn answer(&self, ending: &str) -> String {
        identifier::answer(self.index, ending)
    }

    /// The identifier of the score.
    pub(in crate::export::qti) fn score(&self) -> String {
        identifier::score(self.index)
    }
}
