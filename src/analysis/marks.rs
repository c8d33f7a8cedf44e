//! The marks of a class, as marking wrote them: JSON Lines.
//!
//! What the lines hold is defined by [`crate::marks`]. Here is kept what the statistics need, in
//! numbers that can be averaged.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;

use crate::marking::Standing;
use crate::marks::{self, Line, Mark, MarksHead, Status, StatusLine};
use crate::words::{Complaint, Complaints};

/// The marks of a class.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Marks {
    /// The head: the title of the paper, its questions and its grading.
    pub head: MarksHead,
    /// The lines, in the order of the file.
    pub lines: Vec<MarkLine>,
    /// The candidates without answers.
    pub without: Vec<StatusLine>,
}

/// The mark of one candidate on one part.
#[derive(Clone, Debug, PartialEq)]
pub struct MarkLine {
    /// The line of the file, from 1.
    pub line: usize,
    /// The candidate number.
    pub candidate: String,
    /// The number of the question in the blueprint, or on this candidate's paper where that is not
    /// known, from 1.
    pub question: u64,
    /// Whether it is the number in the blueprint.
    pub is_planned: bool,
    /// The group of the candidate.
    pub group: Option<String>,
    /// The letter of the part; empty where a question has one.
    pub part: String,
    /// The template of the question.
    pub template: String,
    /// Which problem of the template.
    pub place: String,
    /// The marks given; nothing while the answer waits to be marked by hand.
    pub marks: Option<f64>,
    /// The marks that could be had.
    pub of: f64,
    /// How the answer stood.
    pub standing: Standing,
    /// The slips that lead to the answer, by their ids in the template.
    pub slips: Vec<String>,
    /// The letters of the options chosen.
    pub chosen: Vec<String>,
    /// How many options there were.
    pub options: u64,
    /// The letters of the right options.
    pub right_options: Vec<String>,
    /// What the options said, in the order of their letters; empty where it is not told.
    pub option_texts: Vec<String>,
    /// The objective of the template.
    pub objective: String,
    /// The topic of the template.
    pub topic: String,
}

/// One thing wrong with a file of marks.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MarksProblem {
    /// The line, from 1.
    pub line: usize,
    /// What was expected, what was found, and what to do.
    pub what: String,
}

impl fmt::Display for MarksProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "line {}: {}", self.line, self.what)
    }
}

impl Complaint for MarksProblem {
    fn saying(self, what: String) -> Self {
        Self { what, ..self }
    }
}

impl From<marks::MarkLine> for MarkLine {
    fn from(line: marks::MarkLine) -> Self {
        Self {
            line: line.line,
            question: line.number(),
            is_planned: line.planned.is_some(),
            group: line.group.clone().filter(|group| !group.trim().is_empty()),
            marks: line.given().map(number),
            of: number(line.of),
            candidate: trimmed(&line.candidate),
            part: trimmed(&line.part),
            template: trimmed(&line.template),
            place: trimmed(&line.place),
            standing: line.standing.unwrap_or(Standing::Blank),
            slips: line.slips,
            chosen: line.chosen,
            options: line.options,
            right_options: line.right_options,
            option_texts: line.option_texts,
            objective: trimmed(&line.objective),
            topic: trimmed(&line.topic),
        }
    }
}

fn trimmed(text: &str) -> String {
    text.trim().to_owned()
}

/// A mark as a number for statistics.
fn number(mark: Mark) -> f64 {
    f64::from(mark.halves()) / 2.0
}

impl MarkLine {
    /// Whether it earned all marks.
    pub fn is_full(&self) -> bool {
        self.marks.is_some_and(|marks| marks >= self.of)
    }
}

impl Marks {
    /// How many candidates have no answers for that reason.
    pub fn count(&self, status: Status) -> usize {
        self.without.iter().filter(|line| line.status() == status).count()
    }

    /// Reads the text of a file of marks.
    ///
    /// # Errors
    /// Everything that is wrong, all at once, each with its line.
    pub fn read(text: &str) -> Result<Self, Vec<MarksProblem>> {
        let text = text.strip_prefix('\u{feff}').unwrap_or(text);
        let mut lines = (1..).zip(text.lines());
        let (_, first) = lines.next().unwrap_or((1, ""));
        let head = MarksHead::read(first).map_err(|what| vec![MarksProblem { line: 1, what }])?;
        let mut marks = Self { head, ..Self::default() };
        let mut problems = Complaints::new();
        for (line, text) in lines.filter(|(_, text)| !text.trim().is_empty()) {
            if problems.is_enough() {
                break;
            }
            match Line::read(line, text) {
                Ok(Line::Mark(mark)) => marks.lines.push((*mark).into()),
                Ok(Line::Status(status)) => marks.without.push(status),
                Err(whats) => {
                    problems.extend(whats.into_iter().map(|what| MarksProblem { line, what }));
                }
            }
        }
        marks.twice(&mut problems);
        marks.both(&mut problems);
        if problems.is_empty() && marks.lines.is_empty() {
            let what = "expected a mark under the head, found none; mark a class first".to_owned();
            problems.push(MarksProblem { line: 1, what });
        }
        if problems.is_empty() {
            return Ok(marks);
        }
        Err(problems.sorted_by_key(|problem| problem.line))
    }

    /// The candidates who are said to have no answers and have marks, or are said so twice.
    fn both(&self, problems: &mut Complaints<MarksProblem>) {
        let marked: BTreeSet<&str> = self.lines.iter().map(|it| it.candidate.as_str()).collect();
        let mut seen = BTreeSet::new();
        for StatusLine { candidate, line, .. } in &self.without {
            if marked.contains(candidate.as_str()) || !seen.insert(candidate.as_str()) {
                let what = format!(
                    "candidate {candidate} is said to be absent, and is on another line too; keep one \
                     of them"
                );
                problems.push(MarksProblem { line: *line, what });
            }
        }
    }

    /// The parts that one candidate was given marks for twice.
    fn twice(&self, problems: &mut Complaints<MarksProblem>) {
        let mut seen: BTreeMap<(&str, u64, &str), usize> = BTreeMap::new();
        for mark in &self.lines {
            let key = (mark.candidate.as_str(), mark.question, mark.part.as_str());
            match seen.get(&key) {
                None => {
                    seen.insert(key, mark.line);
                }
                Some(first) => problems.push(MarksProblem {
                    line: mark.line,
                    what: format!(
                        "candidate {} has marks for question {}{} already on line {first}; keep one \
                         of them",
                        mark.candidate, mark.question, mark.part
                    ),
                }),
            }
        }
    }
}
