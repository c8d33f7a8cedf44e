//! Why a request could not be answered.

use std::fmt;

use serde::Serialize;

use crate::export::ComposeProblem;
use crate::practice::{RecordError, SessionProblem};
use crate::problem::{DrawProblem, WorkProblem};

/// Why a request could not be answered.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Fault {
    /// The name of it, for programs.
    pub kind: FaultKind,
    /// What was expected, what was found, and what to do, for people.
    pub text: String,
    /// What is wrong with each of one's own numbers, by the name of the value.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub problems: Vec<NumberProblem>,
}

/// The name of a fault.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum FaultKind {
    /// The request is no JSON.
    NotJson,
    /// The request is of another version of the talk.
    Version,
    /// Nothing of that name can be asked.
    UnknownAsk,
    /// Something in the request is missing or is not what it should be.
    Request,
    /// The contents of the page cannot be used.
    Contents,
    /// The state is none that was given out: it has to be begun again.
    State,
    /// A text is no code of a problem.
    Code,
    /// The page does not hold the problem.
    NoSuchProblem,
    /// The page has nothing of what was asked for.
    Nothing,
    /// A text is no record.
    Record,
    /// One's own numbers cannot be worked with.
    Numbers,
    /// Something that was expected to go well did not.
    Failed,
}

/// What is wrong with one of one's own numbers.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct NumberProblem {
    /// The name of the value; empty where it is about all of them.
    pub name: String,
    /// What was expected, what was found, and what to do.
    pub text: String,
}

impl Fault {
    pub(super) fn new(kind: FaultKind, text: impl fmt::Display) -> Self {
        Self { kind, text: text.to_string(), problems: Vec::new() }
    }

    /// Something that does not fail in a page that was opened.
    pub(super) fn failed(text: impl fmt::Display) -> Self {
        Self::new(FaultKind::Failed, text)
    }
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text)
    }
}

impl std::error::Error for Fault {}

impl From<SessionProblem> for Fault {
    fn from(problem: SessionProblem) -> Self {
        match problem {
            SessionProblem::Record(error) => error.into(),
            SessionProblem::Code(error) => Self::new(FaultKind::Code, error),
            SessionProblem::Draw(error) => error.into(),
            SessionProblem::Work(error) => error.into(),
            SessionProblem::NothingToPractise => Self::new(
                FaultKind::Nothing,
                "this page holds nothing of what was asked for; choose another topic",
            ),
        }
    }
}

impl From<DrawProblem> for Fault {
    fn from(problem: DrawProblem) -> Self {
        match &problem {
            DrawProblem::NoTemplate(id) => Self::new(
                FaultKind::NoSuchProblem,
                format!("this page does not hold the problem `{id}`; ask for a page that does"),
            ),
            _ => Self::failed(problem),
        }
    }
}

impl From<RecordError> for Fault {
    fn from(error: RecordError) -> Self {
        Self::failed(error)
    }
}

impl From<WorkProblem> for Fault {
    fn from(problem: WorkProblem) -> Self {
        Self::failed(problem)
    }
}

impl From<ComposeProblem> for Fault {
    fn from(problem: ComposeProblem) -> Self {
        Self::failed(problem)
    }
}
