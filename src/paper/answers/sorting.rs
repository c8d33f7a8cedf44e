//! Putting answers where they belong.

use std::collections::BTreeMap;
use std::fmt;

use super::super::{ListProblem, PaperCode};
use super::heading::Heading;
use super::{Answers, Asked, LONGEST_ANSWER, PaperAnswers, problem, shown};
use crate::marking::Item;
use crate::marks::Status;
use crate::words::Complaints;

/// One cell of a row.
pub(super) struct Cell<'a> {
    /// The heading as written.
    pub column: &'a str,
    /// What it holds.
    pub heading: &'a Heading,
    /// The text.
    pub text: &'a str,
}

/// Answers on the way to their places.
pub(super) struct Sorting<'a> {
    asked: &'a Asked,
    papers: Vec<Option<PaperAnswers>>,
    /// The lines of candidates with one row for all answers.
    whole: BTreeMap<usize, u64>,
    /// Why candidates have no answers, with the line that says so.
    without: BTreeMap<usize, (Without, u64)>,
    /// What is wrong so far.
    pub problems: Complaints<ListProblem>,
}

impl<'a> Sorting<'a> {
    /// Begins with no answers.
    pub(super) fn new(asked: &'a Asked) -> Self {
        Self {
            asked,
            papers: vec![None; asked.len()],
            whole: BTreeMap::new(),
            without: BTreeMap::new(),
            problems: Complaints::new(),
        }
    }

    /// Whether rows with these headings can be read; what is wrong is noted.
    pub(super) fn headings(
        &mut self,
        line: u64,
        columns: &[String],
        known: &[Option<Heading>],
    ) -> bool {
        let before = self.problems.count();
        for (index, (column, heading)) in columns.iter().zip(known).enumerate() {
            let Some(heading) = heading else {
                let what = "expected `candidate`, `paper`, `question`, `part`, `answer`, `name`, \
                            `group`, or a question with its part such as `1a`, found another heading; \
                            rename or remove the column";
                self.problems.push(problem(line, Some(column), what));
                continue;
            };
            let twice = known[..index].contains(&Some(heading.clone()));
            if twice && *heading != Heading::Beside {
                let what = "expected the heading once, found it twice; remove or rename one";
                self.problems.push(problem(line, Some(column), what));
            }
        }
        let has = |wanted: &Heading| known.contains(&Some(wanted.clone()));
        let mut missing = Vec::new();
        if !has(&Heading::Candidate) {
            missing.push("candidate");
        }
        let by_part = known.iter().any(|it| matches!(it, Some(Heading::Of(..))));
        let long = [Heading::Question, Heading::Part, Heading::Answer].iter().any(has);
        match (long, by_part) {
            (true, true) => {
                let what = "expected `question`, `part` and `answer`, or a column for each part such \
                            as `1a`, found both; keep one of the two";
                self.problems.push(problem(line, None, what));
            }
            (true, false) => {
                missing.extend((!has(&Heading::Question)).then_some("question"));
                missing.extend((!has(&Heading::Answer)).then_some("answer"));
            }
            (false, true) => {}
            (false, false) => missing.extend(["question", "part", "answer"]),
        }
        if !missing.is_empty() {
            let what = format!(
                "expected the headings {}, found none; the headings are `candidate,question,part,\
                 answer`, or `candidate,1a,1b,2` with a column for each part",
                missing.iter().map(|it| format!("`{it}`")).collect::<Vec<_>>().join(", ")
            );
            self.problems.push(problem(line, None, what));
        }
        self.problems.count() == before
    }

    /// Puts the answers of a row in their places.
    pub(super) fn row(&mut self, line: u64, cells: &[Cell<'_>]) {
        let cell = |wanted: &Heading| cells.iter().find(|cell| cell.heading == wanted);
        let text = |wanted: &Heading| cell(wanted).map_or("", |cell| cell.text);
        let candidate = cell(&Heading::Candidate);
        let paper = match self.asked.paper(candidate.map_or("", |cell| cell.text)) {
            Ok(paper) => paper,
            Err(what) => {
                self.problems.push(problem(line, candidate.map(|cell| cell.column), what));
                return;
            }
        };
        if let Some(code) = cell(&Heading::Paper).filter(|cell| !cell.text.is_empty()) {
            self.code(line, paper, code);
        }
        if let Some(cell) = cell(&Heading::Status).filter(|cell| !cell.text.is_empty()) {
            self.status(line, paper, cell, cells);
            return;
        }
        if let Some(answer) = cell(&Heading::Answer) {
            let (question, part) = (text(&Heading::Question), text(&Heading::Part));
            match self.asked.item(paper, question, part) {
                Ok(index) => self.put(line, answer, paper, index),
                Err(misplaced) => {
                    let to_blame = if misplaced.part && cell(&Heading::Part).is_some() {
                        cell(&Heading::Part)
                    } else {
                        cell(&Heading::Question)
                    };
                    let column = to_blame.map(|cell| cell.column);
                    self.problems.push(problem(line, column, misplaced.what));
                }
            }
            return;
        }
        if let Some(first) = self.whole.insert(paper, line) {
            let number = self.asked.candidate(paper);
            let what = format!(
                "candidate {number} is already on line {first}; remove one of the two lines"
            );
            self.problems.push(problem(line, candidate.map(|cell| cell.column), what));
            return;
        }
        if !self.has_answers(line, paper, cells) {
            return;
        }
        self.open(paper);
        for cell in cells {
            let Heading::Of(question, part) = cell.heading else { continue };
            match self.asked.item(paper, question, part) {
                Ok(index) => self.put(line, cell, paper, index),
                // Where the order of questions differs, a column need not be there for everybody.
                Err(_) if cell.text.is_empty() => {}
                Err(misplaced) => {
                    self.problems.push(problem(line, Some(cell.column), misplaced.what));
                }
            }
        }
    }

    /// The answers, or everything that is wrong.
    pub(super) fn finish(mut self) -> Result<Answers, Vec<ListProblem>> {
        for (paper, (without, line)) in &self.without {
            if self.papers[*paper].is_some() {
                let what = format!(
                    "candidate {} is said to {without} on this line, and has answers on another; \
                     remove one of the two",
                    self.asked.candidate(*paper)
                );
                self.problems.push(problem(*line, None, what));
            }
        }
        let none = self.papers.iter().all(Option::is_none) && self.without.is_empty();
        if self.problems.is_empty() && none {
            let what = "expected at least one row of answers, found none; add one a line";
            self.problems.push(problem(1, None, what));
        }
        if !self.problems.is_empty() {
            return Err(self.problems.sorted_by_key(|problem| problem.line));
        }
        let mut statuses = BTreeMap::new();
        for (paper, (without, _)) in std::mem::take(&mut self.without) {
            match without {
                Without::Blank => {
                    self.open(paper);
                }
                Without::Status(status) => {
                    statuses.insert(paper, status);
                }
            }
        }
        Ok(Answers { papers: self.papers, statuses })
    }

    /// Notes the status of a candidate, whose row has nothing else.
    fn status(&mut self, line: u64, paper: usize, cell: &Cell<'_>, cells: &[Cell<'_>]) {
        let Some(without) = Without::parse(cell.text) else {
            let what = format!(
                "expected `absent`, `excused`, `withdrawn`, `blank` or nothing, found `{}`; write one \
                 of these",
                shown(cell.text)
            );
            self.problems.push(problem(line, Some(cell.column), what));
            return;
        };
        // The same word in the only cell for answers says it once more.
        let said_again = only(cells).and_then(Without::parse) == Some(without);
        if answers(cells).any(|cell| !cell.text.is_empty()) && !said_again {
            let what = format!(
                "candidate {} is said to {without}, and has answers in the same row; remove one of \
                 the two",
                self.asked.candidate(paper)
            );
            self.problems.push(problem(line, Some(cell.column), what));
            return;
        }
        self.say(line, paper, without);
    }

    /// Whether a row for all answers has any. One that has none must say why.
    fn has_answers(&mut self, line: u64, paper: usize, cells: &[Cell<'_>]) -> bool {
        match only(cells) {
            Some(word) => match Without::parse(word) {
                Some(without) => {
                    self.say(line, paper, without);
                    false
                }
                None => true,
            },
            None if answers(cells).any(|cell| !cell.text.is_empty()) => true,
            None => {
                let what = format!(
                    "candidate {} has a row but no answer; write `absent`, `excused`, `withdrawn` or \
                     `blank` in it, or remove the row",
                    self.asked.candidate(paper)
                );
                self.problems.push(problem(line, None, what));
                false
            }
        }
    }

    fn say(&mut self, line: u64, paper: usize, without: Without) {
        if let Some((_, first)) = self.without.insert(paper, (without, line)) {
            let number = self.asked.candidate(paper);
            let what = format!(
                "candidate {number} is already on line {first}; remove one of the two lines"
            );
            self.problems.push(problem(line, None, what));
        }
    }

    /// Compares the code of a row with that of the candidate's paper.
    fn code(&mut self, line: u64, paper: usize, cell: &Cell<'_>) {
        let Some(right) = self.asked.code(paper) else { return };
        let read = PaperCode::parse(cell.text);
        if read == Ok(right) {
            return;
        }
        let number = self.asked.candidate(paper);
        let what = format!(
            "expected {right}, the code of the paper of candidate {number}, found `{}`; find out whose \
             answers these are",
            shown(cell.text)
        );
        self.problems.push(problem(line, Some(cell.column), what));
    }

    fn put(&mut self, line: u64, cell: &Cell<'_>, paper: usize, index: (usize, Item)) {
        let (question, item) = index;
        // An answer that is too long is refused, and keeps its place.
        let is_long = cell.text.chars().count() > LONGEST_ANSWER;
        let text = if is_long { "" } else { cell.text };
        if let Err(first) = self.open(paper).add(question, item, text, line) {
            let name = match item {
                Item::Part(part) => crate::problem::letter(part, 'a'),
                Item::Step(step) => format!("step {}", step + 1),
            };
            let what = format!(
                "question {} ({name}) of candidate {} is answered already on line {first}; remove one \
                 of the two",
                question + 1,
                self.asked.candidate(paper)
            );
            self.problems.push(problem(line, Some(cell.column), what));
            return;
        }
        if is_long {
            let what = format!(
                "expected at most {LONGEST_ANSWER} characters, found more; is a quotation mark missing?"
            );
            self.problems.push(problem(line, Some(cell.column), what));
        }
    }

    /// The answers of a paper, begun where there are none.
    fn open(&mut self, paper: usize) -> &mut PaperAnswers {
        let parts = || self.asked.parts(paper);
        self.papers[paper].get_or_insert_with(|| PaperAnswers::with_capacity(parts()))
    }
}

/// The cells of a row that hold answers.
fn answers<'c, 'a>(cells: &'c [Cell<'a>]) -> impl Iterator<Item = &'c Cell<'a>> {
    let holds = |cell: &&Cell<'_>| matches!(cell.heading, Heading::Of(..) | Heading::Answer);
    cells.iter().filter(holds)
}

/// The only thing that is written among the answers of a row.
fn only<'c>(cells: &'c [Cell<'_>]) -> Option<&'c str> {
    let mut written = answers(cells).map(|cell| cell.text).filter(|text| !text.is_empty());
    let first = written.next()?;
    written.next().is_none().then_some(first)
}

/// Why a candidate has no answers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Without {
    /// Nothing is written on the paper.
    Blank,
    /// There is no paper to mark.
    Status(Status),
}

impl Without {
    /// What a cell says, in letters of any size.
    fn parse(text: &str) -> Option<Self> {
        let blank = text.eq_ignore_ascii_case("blank").then_some(Self::Blank);
        blank.or_else(|| Status::parse(text).map(Self::Status))
    }
}

impl fmt::Display for Without {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Blank => f.write_str("have left the paper blank"),
            Self::Status(status) => write!(f, "be {status}"),
        }
    }
}
