//! The sheet as plain data.

use std::sync::Arc;

use crate::bank::{Blueprint, Cover};
use crate::marking::Settings;
use crate::marks::MarksHead;
use crate::problem::{AnswerSpace, Block, Drawing, Response, WorkedMethod, WorkedStep, letter};

use crate::export::Square;
use crate::export::sheet::{ComposeProblem, Lazy};

/// Questions, key and worked solutions of one or more problems, ready to be laid out.
///
/// A sheet knows nothing of banks and draws: everything is text as it will be read. The formats
/// show only what [`Contents`] asks for; the rest does not get into the file at all.
#[derive(Clone, Debug)]
pub struct Sheet {
    /// The heading of the sheet.
    pub title: String,
    /// One paragraph under the title: what to do, what is allowed.
    pub note: Lazy<Option<String>>,
    /// Short facts in the head of the sheet: time allowed, class, paper number.
    pub details: Vec<Detail>,
    /// What an institution puts around its papers.
    pub front: Front,
    /// The code of the paper, which is printed on every page.
    pub mark: Option<String>,
    /// The code of the paper for a camera, where that is wanted.
    pub square: Option<Square>,
    /// Whether and how the candidate is named.
    pub candidate: CandidateField,
    /// What of the entries is shown.
    pub contents: Contents,
    /// The time allowed in minutes; `None` for practice.
    pub minutes: Option<u32>,
    /// The rules of marking.
    pub rules: Settings,
    /// The questions in order; they are numbered from 1.
    pub entries: Vec<Arc<Entry>>,
    /// The sources of values and answers: the short name and the full reference.
    pub sources: Lazy<Vec<Detail>>,
}

/// What an institution puts around its papers: a line above, a line below, and a cover page.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Front {
    /// A line above the head.
    pub letterhead: Option<String>,
    /// A line below everything.
    pub foot: Option<String>,
    /// The cover page.
    pub cover: Option<Cover>,
}

impl Front {
    /// What stands around every document of a paper; the cover belongs to the questions alone.
    pub fn of(blueprint: &Blueprint) -> Self {
        Self { letterhead: blueprint.letterhead.clone(), foot: blueprint.foot.clone(), cover: None }
    }

    /// The same of a marked class.
    pub fn of_marks(head: &MarksHead) -> Self {
        Self { letterhead: head.letterhead.clone(), foot: head.foot.clone(), cover: None }
    }
}

/// A short fact in the head of a sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Detail {
    /// What it is: `Time allowed`.
    pub label: String,
    /// The fact: `45 minutes`.
    pub value: String,
}

/// Whether and how the candidate is named on the sheet.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum CandidateField {
    /// There is no candidate: a sheet for the class or for oneself.
    #[default]
    None,
    /// An empty box for the number.
    Blank,
    /// The number, printed.
    Number(String),
}

/// What of a sheet is shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Contents {
    /// The questions with room to answer.
    pub questions: bool,
    /// A table of answers with what is accepted and the marks.
    pub key: bool,
    /// The full working, mark scheme and common slips.
    pub solutions: bool,
}

impl Contents {
    /// The questions alone.
    pub const QUESTIONS: Self = Self { questions: true, key: false, solutions: false };
    /// The key alone.
    pub const KEY: Self = Self { questions: false, key: true, solutions: false };
    /// The worked solutions alone.
    pub const SOLUTIONS: Self = Self { questions: false, key: false, solutions: true };
    /// Everything, in the order questions, key, solutions.
    pub const ALL: Self = Self { questions: true, key: true, solutions: true };

    /// Whether answers are shown in any form.
    pub fn answers(self) -> bool {
        self.key || self.solutions
    }
}

/// One question of a sheet.
#[derive(Clone, Debug)]
pub struct Entry {
    /// The section that begins with this question, if one does.
    pub section: Option<Section>,
    /// A heading beside the number; `None` where it would give the method away.
    pub heading: Option<String>,
    /// The code that rebuilds the problem, for practice sheets.
    pub code: Option<String>,
    /// What the candidate is told.
    pub stem: Vec<Block>,
    /// What is asked, at least one part.
    pub parts: Vec<EntryPart>,
    /// The worked solution, step by step.
    pub working: Vec<WorkedStep>,
    /// The heading over it where there are other methods.
    pub method: Option<String>,
    /// The worked solutions by the other methods.
    pub methods: Lazy<Result<Vec<WorkedMethod>, ComposeProblem>>,
    /// A sentence that says what all methods lead to, where there are several.
    pub agreement: Lazy<Option<String>>,
    /// A sentence that shows the answer to be plausible.
    pub plausible: Lazy<Result<Option<String>, ComposeProblem>>,
    /// A drawing for the worked solution.
    pub drawing: Lazy<Option<Drawing>>,
    /// Known wrong ways and the answers they lead to.
    pub slips: Lazy<Vec<EntrySlip>>,
    /// The sources of this question, where solutions are shown.
    pub sources: Lazy<Vec<Detail>>,
}

/// The head of a section of a paper.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Section {
    /// Its title: `Section A`.
    pub title: String,
    /// One paragraph under it.
    pub note: Option<String>,
}

/// One thing asked.
#[derive(Clone, Debug)]
pub struct EntryPart {
    /// The name of the part in its template, for files that are read by programs.
    pub id: String,
    /// The question.
    pub ask: String,
    /// Marks for this part.
    pub marks: u32,
    /// Room for the answer.
    pub space: AnswerSpace,
    /// The answer and how it is marked.
    pub key: Lazy<PartKey>,
    /// The same for programs, for formats that hand the marking to a platform.
    pub marking: Lazy<Option<PartMarking>>,
}

/// The answer of a part and how it is marked.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct PartKey {
    /// The answer as a candidate would write it: `13.9 g`, `B`, `C, A, B`.
    pub answer: String,
    /// The numbers accepted, where the answer is a number.
    pub accepted: Option<Accepted>,
    /// What the marks are given for.
    pub scheme: Vec<MarkLine>,
    /// Why the answer is right and what is shown beside it is wrong, in sentences.
    pub notes: Vec<String>,
}

/// What the marks of a part are decided by.
#[derive(Clone, Debug)]
pub struct PartMarking {
    /// The key.
    pub response: Response,
    /// The slips whose answers keep the marks for method, as indices into those of the template.
    pub kept: Vec<usize>,
}

/// Which numbers are accepted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Accepted {
    /// The lowest, as digits.
    pub low: String,
    /// The highest, as digits.
    pub high: String,
    /// The unit of both; empty for a count or plain number.
    pub unit: String,
}

impl Accepted {
    /// The range in words: `13.8 to 14.0 g`, or the one number when both ends are the same.
    pub fn text(&self) -> String {
        let mut text = self.low.clone();
        if self.low != self.high {
            text.push_str(" to ");
            text.push_str(&self.high);
        }
        if !self.unit.is_empty() {
            text.push(' ');
            text.push_str(&self.unit);
        }
        text
    }
}

/// One line of a mark scheme.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MarkLine {
    /// What sort of mark it is.
    pub kind: MarkKind,
    /// How many.
    pub marks: u32,
    /// What they are given for.
    pub what: String,
}

/// What a mark is given for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MarkKind {
    /// A right way of working, even with a wrong number carried into it.
    Method,
    /// A right answer.
    Accuracy,
    /// A point made in a written answer.
    Point,
}

impl MarkKind {
    /// The word on the sheet: `method`.
    pub fn name(self) -> &'static str {
        match self {
            Self::Method => "method",
            Self::Accuracy => "accuracy",
            Self::Point => "point",
        }
    }
}

/// A known wrong way.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct EntrySlip {
    /// Its index among the slips of the template.
    pub index: usize,
    /// Its name in the template.
    pub id: String,
    /// What a student who took it is told.
    pub say: String,
    /// The answers it leads to.
    pub answers: Vec<SlipAnswer>,
}

/// The answer a slip leads to in one part.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SlipAnswer {
    /// Which part of the entry, counted from 0.
    pub part: usize,
    /// The wrong answer: `12.1 g`.
    pub answer: String,
    /// The marks for method that it keeps.
    pub marks: u32,
}

impl Sheet {
    /// Whether any answer is a number that is worked out.
    pub fn asks_numbers(&self) -> bool {
        let mut parts = self.entries.iter().flat_map(|entry| &entry.parts);
        parts.any(|part| matches!(part.space, AnswerSpace::Number { .. }))
    }

    /// Makes what solutions hold besides the working, for formats that write all there is.
    ///
    /// # Errors
    /// The first that cannot be shown.
    pub(in crate::export) fn with_whole_solutions(&self) -> Result<&Self, ComposeProblem> {
        for entry in &self.entries {
            entry.other_methods()?;
            entry.plausibility()?;
        }
        Ok(self)
    }

    /// The marks of the whole sheet.
    pub fn marks(&self) -> u32 {
        self.entries.iter().map(|entry| entry.marks()).fold(0, u32::saturating_add)
    }
}

impl Default for Entry {
    /// An entry in which there is nothing.
    fn default() -> Self {
        Self {
            section: None,
            heading: None,
            code: None,
            stem: Vec::new(),
            parts: Vec::new(),
            working: Vec::new(),
            method: None,
            methods: Ok(Vec::new()).into(),
            agreement: Lazy::default(),
            plausible: Ok(None).into(),
            drawing: Lazy::default(),
            slips: Lazy::default(),
            sources: Lazy::default(),
        }
    }
}

impl Entry {
    /// The worked solutions by the other methods.
    ///
    /// # Errors
    /// When one of them cannot be shown.
    pub fn other_methods(&self) -> Result<&[WorkedMethod], ComposeProblem> {
        self.methods.as_deref().map_err(Clone::clone)
    }

    /// The sentence that shows the answer to be plausible.
    ///
    /// # Errors
    /// When it cannot be shown.
    pub fn plausibility(&self) -> Result<Option<&str>, ComposeProblem> {
        self.plausible.as_ref().map(Option::as_deref).map_err(Clone::clone)
    }

    /// The marks of all parts.
    pub fn marks(&self) -> u32 {
        self.parts.iter().map(|part| part.marks).fold(0, u32::saturating_add)
    }

    /// The letter of a part, counted from 0; empty when there is only one part.
    pub fn part_letter(&self, part: usize) -> String {
        if self.parts.len() < 2 { String::new() } else { letter(part, 'a') }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_range_of_one_number_is_written_once() {
        let range = |low: &str, high: &str, unit: &str| {
            Accepted { low: low.into(), high: high.into(), unit: unit.into() }.text()
        };
        assert_eq!(range("13.8", "14.0", "g"), "13.8 to 14.0 g");
        assert_eq!(range("12", "12", ""), "12");
    }
}
