//! Reading what a person typed.

use super::{Exact, Unit};

/// The longest answer that is read, in bytes.
pub const LONGEST_ANSWER: usize = 80;
/// What a person typed, understood.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Typed {
    /// The number as written.
    pub number: Exact,
    /// The unit, when one was written.
    pub unit: Option<Unit>,
}
/// Why what was typed is no number.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ReadProblem;
/// Reads a number with an optional unit.
pub fn read_quantity(_text: &str) -> Result<Typed, ReadProblem> {
    Err(ReadProblem)
}
/// Reads a number.
pub fn read_number(_text: &str) -> Result<Exact, ReadProblem> {
    Err(ReadProblem)
}
