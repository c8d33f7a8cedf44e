//! One thing asked, and the key to it.

use crate::quantity::{Exact, Rounding, Unit};

/// One thing asked.
#[derive(Clone, Debug)]
pub struct Part {
    /// The name of the part in its template.
    pub id: String,
    /// The question.
    pub ask: String,
    /// Marks for this part.
    pub marks: u32,
    /// What is wanted, with its key.
    pub response: Response,
}

/// What a part wants, with its key.
#[derive(Clone, Debug)]
pub enum Response {
    /// A number with a unit.
    Number(NumberKey),
}

/// The key to a numeric part. All numbers are in `unit`.
#[derive(Clone, Debug)]
pub struct NumberKey {
    /// The answer without rounding anywhere.
    pub exact: Exact,
    /// The answer rounded as asked.
    pub shown: Exact,
    /// The unit asked for.
    pub unit: Unit,
    /// The rounding asked for.
    pub rounding: Rounding,
    /// The lowest number accepted.
    pub low: Exact,
    /// The highest number accepted.
    pub high: Exact,
    /// The lowest number that legal early rounding leads to.
    pub legal_low: Exact,
    /// The highest number that legal early rounding leads to.
    pub legal_high: Exact,
    /// The known wrong answers.
    pub slips: Vec<SlipValue>,
    /// How many of the marks are for the method.
    pub method_marks: u32,
}

/// The number that a slip leads to.
#[derive(Clone, Debug)]
pub struct SlipValue {
    /// The slip, as an index into the slips of the template.
    pub slip: usize,
    /// The number without rounding.
    pub value: Exact,
    /// The lowest number that the slip and rounding lead to.
    pub low: Exact,
    /// The highest.
    pub high: Exact,
}
