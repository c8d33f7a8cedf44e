//! What a student does.

use serde::{Deserialize, Serialize};

/// What a student does.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "event", content = "with", rename_all = "kebab-case")]
pub enum Event {
    /// Begins, or begins again where the record says.
    Start,
    /// Opens the problem of this code, whole; one that was begun stays in the record.
    Open(String),
    /// Answers the question asked.
    Answer(String),
    /// Marks the answer given: for each point whether it is made.
    Points(Vec<bool>),
    /// Asks for a hint.
    Hint,
    /// Asks for the question again, with the problem it belongs to.
    Question,
    /// Asks for the worked solution; while a question is open, this gives the problem up.
    Solution,
    /// Leaves the question without a correct answer.
    Pass,
    /// Leaves the problem for another.
    Skip,
    /// Wants the same kind of problem with new numbers.
    NewNumbers,
    /// Goes on after reading.
    GoOn,
    /// Stops for now.
    Stop,
}
