//! How a part is marked: its answers with what is correct, the rules, and what is said.

use crate::marking::Settings;
use crate::problem::Response;

use super::super::{EntryPart, EntrySlip};
use super::answer::Answer;
use super::identifier;
use super::xml::Element;
use super::{number, theory};

/// What is needed to mark a part.
#[derive(Clone, Copy, Debug)]
pub(super) struct Asked<'a> {
    /// The place of the part in its question.
    pub place: usize,
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
pub(super) struct Scoring {
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
    pub(super) fn answer(&self, ending: &str) -> String {
        identifier::answer(self.place, ending)
    }

    /// The identifier of the score.
    pub(super) fn score(&self) -> String {
        identifier::score(self.place)
    }

    /// How the part is marked; where its key is not to be told, it is not marked.
    pub(super) fn scoring(&self, with_key: bool) -> Scoring {
        let mut scoring = Scoring {
            answers: Answer::of(&self.part.space, self.place),
            rules: Vec::new(),
            said: Vec::new(),
            by_hand: false,
        };
        let marking = self.part.marking.as_ref().filter(|_| with_key);
        match marking.map(|marking| (&marking.response, &marking.kept)) {
            Some((Response::Number(key), kept)) => number::score(self, key, kept, &mut scoring),
            Some((Response::Range(key), _)) => number::score_range(self, key, &mut scoring),
            Some((Response::Written(_), _)) | None => scoring.by_hand = true,
            Some((response, _)) => theory::score(self, response, &mut scoring),
        }
        scoring
    }
}
