//! The marks of a class, as marking wrote them: JSON Lines.
//!
//! What the lines hold is defined by [`crate::marks`]. What the statistics need of them is kept in
//! [`Lines`].

use std::collections::BTreeSet;
use std::fmt;

use crate::marks::{Line, MarksHead, Status, StatusLine};
use crate::words::{Complaint, Complaints};

use super::{Lines, MarkLine};

/// The marks of a class.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Marks {
    /// The head: the title of the paper, its questions and its grading.
    pub head: MarksHead,
    /// The lines, in the order of the file.
    pub lines: Lines,
    /// The candidates without answers.
    pub without: Vec<StatusLine>,
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
        Self::read_lines(text.lines())
    }

    /// Reads the lines of a file of marks one after the other, so that a file of gigabytes need not be
    /// held.
    ///
    /// # Errors
    /// Everything that is wrong, all at once, each with its line.
    pub fn read_lines<T: AsRef<str>>(
        lines: impl IntoIterator<Item = T>,
    ) -> Result<Self, Vec<MarksProblem>> {
        let mut texts = (1..).zip(lines);
        let first = texts.next().map(|(_, first)| first);
        let first = first.as_ref().map_or("", AsRef::as_ref);
        let head = MarksHead::read(first.strip_prefix('\u{feff}').unwrap_or(first));
        let head = head.map_err(|what| vec![MarksProblem { line: 1, what }])?;
        let (mut lines, mut without) = (Lines::default(), Vec::new());
        let mut problems = Complaints::new();
        for (line, text) in texts {
            let text = text.as_ref();
            if text.trim().is_empty() {
                continue;
            }
            if problems.is_enough() {
                break;
            }
            match Line::read(line, text) {
                Ok(Line::Mark(mark)) => lines.push(&mark),
                Ok(Line::Status(status)) => without.push(status),
                Err(whats) => {
                    problems.extend(whats.into_iter().map(|what| MarksProblem { line, what }));
                }
            }
        }
        problems.extend(twice(&lines).into_iter().map(|(mark, first)| twice_problem(mark, first)));
        problems.extend(both(&lines, &without));
        if problems.is_empty() && lines.is_empty() {
            let what = "expected a mark under the head, found none; mark a class first".to_owned();
            problems.push(MarksProblem { line: 1, what });
        }
        if problems.is_empty() {
            return Ok(Self { head, lines, without });
        }
        Err(problems.sorted_by_key(|problem| problem.line))
    }
}

/// The candidates who are said to have no answers and have marks, or are said so twice.
fn both(lines: &Lines, without: &[StatusLine]) -> Vec<MarksProblem> {
    let mut seen = BTreeSet::new();
    let mut problems = Vec::new();
    for StatusLine { candidate, line, .. } in without {
        if lines.has(candidate) || !seen.insert(candidate.as_str()) {
            let what = format!(
                "candidate {candidate} is said to be absent, and is on another line too; keep one of \
                 them"
            );
            problems.push(MarksProblem { line: *line, what });
        }
    }
    problems
}

/// The marks for parts that the candidate has marks for already, in the order of the file, each with the
/// first line of the part.
fn twice(lines: &Lines) -> Vec<(MarkLine<'_>, usize)> {
    let sorted = lines.sorted_by(spot);
    let mut marks = sorted.iter().filter_map(|place| lines.get(*place as usize));
    let mut twice = Vec::new();
    let Some(mut first) = marks.next() else { return twice };
    for mark in marks {
        if spot(mark) == spot(first) {
            twice.push((mark, first.line()));
        } else {
            first = mark;
        }
    }
    twice.sort_by_key(|(mark, _)| mark.line());
    twice
}

/// The part of a candidate that a mark is for.
fn spot(mark: MarkLine<'_>) -> (usize, u64, &str) {
    (mark.row(), mark.question(), mark.part())
}

fn twice_problem(mark: MarkLine<'_>, first: usize) -> MarksProblem {
    let what = format!(
        "candidate {} has marks for question {}{} already on line {first}; keep one of them",
        mark.candidate(),
        mark.question(),
        mark.part()
    );
    MarksProblem { line: mark.line(), what }
}
