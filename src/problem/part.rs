//! One thing asked, and the key to it.

use crate::bank::{Choice, RangeCase, TextCase, WrittenCase};
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
    /// One or several of lettered options.
    Choice(ChoiceKey),
    /// Whether a statement is true, and why.
    Judgement(JudgementKey),
    /// A letter for each numbered line.
    Matching(MatchingKey),
    /// The letters of the items in the right order.
    Ordering(OrderingKey),
    /// A word or two.
    Text(TextCase),
    /// Two numbers.
    Range(RangeCase),
    /// A written answer, marked by hand.
    Written(WrittenCase),
}

/// The key to options, which are lettered A, B, C in their order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ChoiceKey {
    /// The options as shown.
    pub options: Vec<Choice>,
    /// For each option whether it is right.
    pub right: Vec<bool>,
    /// Whether more than one may be chosen.
    pub several: bool,
    /// Whether the options are the lines of a procedure, of which the one with the error is sought.
    pub is_procedure: bool,
}

/// The key to a statement and its reasons, which are lettered A, B, C in their order; without any,
/// only true or false is asked.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct JudgementKey {
    /// The statement.
    pub statement: String,
    /// Whether it is true.
    pub truth: bool,
    /// The id of the source that says or denies it.
    pub source: String,
    /// The reasons as shown.
    pub reasons: Vec<Choice>,
    /// Which of them is the reason.
    pub right: Option<usize>,
}

/// The key to things to match or to group: the left side is numbered 1, 2, 3, the right side lettered
/// A, B, C.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MatchingKey {
    /// The things.
    pub left: Vec<String>,
    /// What may go with them.
    pub right: Vec<String>,
    /// For each thing the place of what goes with it.
    pub answers: Vec<usize>,
    /// For each thing the id of the source.
    pub sources: Vec<String>,
    /// Whether several things may go with the same.
    pub shared: bool,
}

/// The key to lines to put in order, which are lettered A, B, C as shown.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OrderingKey {
    /// The lines as shown.
    pub items: Vec<String>,
    /// The places of the items in a right order, the one of the source.
    pub order: Vec<usize>,
    /// The pairs of items, by place, of which the first comes before the second in every right order.
    /// Whatever keeps to them all is right.
    pub before: Vec<(usize, usize)>,
    /// The id of the source.
    pub source: String,
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
