//! What each candidate of a class is asked.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::bank::{Blueprint, Case, PartPlan, Template, Wanted};
use crate::marking::Item;
use crate::problem::letter;

use super::super::{PaperCode, PaperSet};
use super::{digits_and_letters, shown};

/// What each candidate of a class is asked, to find the index of an answer.
#[derive(Clone, Debug)]
pub struct Asked {
    indices: BTreeMap<String, usize>,
    /// The questions of the blueprint, which are the same for all.
    planned: Vec<AskedQuestion>,
    papers: Vec<AskedPaper>,
}

/// What is known of a paper; a large class has many.
#[derive(Clone, Debug)]
struct AskedPaper {
    candidate: String,
    code: PaperCode,
    /// Which of the questions of the blueprint they are, as printed.
    questions: Box<[usize]>,
}

#[derive(Clone, Debug)]
struct AskedQuestion {
    template: Arc<Template>,
    parts: Vec<AskedPart>,
}

/// One part, as the template has it.
#[derive(Clone, Debug)]
pub(in super::super) struct AskedPart {
    id: String,
    /// The marks it is worth.
    pub marks: u32,
    /// Whether it is always marked by hand.
    pub written: bool,
}

impl AskedPart {
    fn of(part: &PartPlan) -> Self {
        let written = match &part.wanted {
            Wanted::Number(_) | Wanted::Verdict(_) => false,
            Wanted::Theory(plan) => plan.cases.iter().all(|it| matches!(it, Case::Written(_))),
        };
        Self { id: part.id.clone(), marks: part.marks, written }
    }
}

/// The index of an answer: the question and its part, both from 0.
pub(in super::super) type PartIndex = (usize, usize);

/// Which of a row's cells is to blame, and why.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(in super::super) struct Misplaced {
    /// Whether the part is to blame, and not the question.
    pub part: bool,
    /// What was expected, what was found, and what to do.
    pub what: String,
}

impl Asked {
    /// What the papers of a set ask. The blueprint has the templates of the set.
    pub fn of(set: &PaperSet, blueprint: &Blueprint) -> Self {
        let planned: Vec<AskedQuestion> = blueprint
            .questions
            .iter()
            .map(|question| AskedQuestion {
                template: Arc::clone(&question.template),
                parts: question.template.parts.iter().map(AskedPart::of).collect(),
            })
            .collect();
        let paper = |paper: &super::super::Paper| AskedPaper {
            candidate: paper.candidate.number.clone(),
            code: paper.code,
            questions: paper
                .questions
                .iter()
                .map(|question| question.planned)
                .filter(|question| *question < planned.len())
                .collect(),
        };
        let papers: Vec<AskedPaper> = set.papers.iter().map(paper).collect();
        let indices =
            papers.iter().enumerate().map(|(index, it)| (it.candidate.clone(), index)).collect();
        Self { indices, planned, papers }
    }

    /// How many papers there are.
    pub(super) fn len(&self) -> usize {
        self.papers.len()
    }

    /// How many parts the questions of a paper have.
    pub(super) fn parts(&self, paper: usize) -> usize {
        let questions = self.papers.get(paper).map_or(0, |it| it.questions.len());
        (0..questions).filter_map(|index| Some(self.asked_at(paper, index)?.parts.len())).sum()
    }

    /// The paper of a candidate, or what is wrong with the number.
    pub(in super::super) fn paper(&self, candidate: &str) -> Result<usize, String> {
        if let Some(index) = self.indices.get(candidate) {
            return Ok(*index);
        }
        if candidate.is_empty() {
            return Err("expected a candidate number, found a blank; give one".to_owned());
        }
        // Spreadsheets take the zeros from the front of a number.
        let bare = candidate.trim_start_matches('0');
        let mut alike = self.indices.keys().filter(|known| known.trim_start_matches('0') == bare);
        let found = shown(candidate);
        Err(match (alike.next(), alike.next()) {
            (Some(known), None) => format!(
                "there is no candidate `{found}`, but there is `{known}`; has a spreadsheet taken the \
                 zeros away?"
            ),
            _ => format!(
                "there is no candidate `{found}` in the manifest; look at the number, or at the \
                 manifest"
            ),
        })
    }

    /// The number of the candidate of a paper.
    pub(super) fn candidate(&self, paper: usize) -> &str {
        self.papers.get(paper).map_or("", |it| it.candidate.as_str())
    }

    /// The code of a paper.
    pub(in super::super) fn code(&self, paper: usize) -> Option<PaperCode> {
        self.papers.get(paper).map(|it| it.code)
    }

    /// The part at an index of a paper.
    pub(in super::super) fn at(&self, paper: usize, index: PartIndex) -> Option<&AskedPart> {
        self.asked_at(paper, index.0)?.parts.get(index.1)
    }

    /// The index of a part on a paper. The part may be empty where a question has only one.
    pub(in super::super) fn part(
        &self,
        paper: usize,
        question: &str,
        part: &str,
    ) -> Result<PartIndex, Misplaced> {
        let index = self.question(paper, question)?;
        match self.find_part(paper, index, part) {
            Some(part) => Ok((index, part)),
            None => Err(self.no_part(paper, index, part)),
        }
    }

    /// The question of a paper and the part of it, or the step of its working. The part may be empty
    /// where a question has only one.
    pub(super) fn item(
        &self,
        paper: usize,
        question: &str,
        part: &str,
    ) -> Result<(usize, Item), Misplaced> {
        let index = self.question(paper, question)?;
        let step = || Item::of_step(&self.asked_at(paper, index)?.template, part.trim());
        let part_there = self.find_part(paper, index, part).map(Item::Part);
        match part_there.or_else(step) {
            Some(item) => Ok((index, item)),
            None => Err(self.no_part(paper, index, part)),
        }
    }

    fn asked_at(&self, paper: usize, question: usize) -> Option<&AskedQuestion> {
        self.planned.get(*self.papers.get(paper)?.questions.get(question)?)
    }

    /// The index of a question.
    fn question(&self, paper: usize, question: &str) -> Result<usize, Misplaced> {
        let count = self.papers.get(paper).map_or(0, |it| it.questions.len());
        let number = digits_and_letters(question).filter(|(_, letters)| letters.is_empty());
        let index = number.and_then(|(number, _)| number.checked_sub(1));
        index.filter(|index| *index < count).ok_or_else(|| {
            let what = format!(
                "expected a question from 1 to {count}, found {}; look at the number",
                found(question)
            );
            Misplaced { part: false, what }
        })
    }

    /// The index of a part by its name or letter.
    fn find_part(&self, paper: usize, question: usize, part: &str) -> Option<usize> {
        let parts = &self.asked_at(paper, question)?.parts;
        let plain = part.trim().trim_matches(['(', ')', '.']);
        let named = parts.iter().position(|part| part.id == plain);
        let lettered =
            || (0..parts.len()).find(|index| letter(*index, 'a').eq_ignore_ascii_case(plain));
        let only = || (plain.is_empty() && parts.len() == 1).then_some(0);
        named.or_else(lettered).or_else(only)
    }

    fn no_part(&self, paper: usize, question: usize, part: &str) -> Misplaced {
        let parts = self.asked_at(paper, question).map_or(0, |it| it.parts.len());
        let known: Vec<String> = (0..parts).map(|index| letter(index, 'a')).collect();
        let known = match known.as_slice() {
            [one] => format!("the part {one} only"),
            [rest @ .., last] => format!("the parts {} and {last}", rest.join(", ")),
            [] => "no parts".to_owned(),
        };
        let what = format!(
            "question {} of candidate {} has {known}, found {}; look at the part",
            question + 1,
            self.candidate(paper),
            found(part)
        );
        Misplaced { part: true, what }
    }
}

/// What stands in a cell, for a message.
fn found(text: &str) -> String {
    if text.is_empty() { "a blank".to_owned() } else { format!("`{}`", shown(text)) }
}
