//! From an answer to a verdict.
//!
//! A typed answer is read, brought into the unit of the part and compared with the numbers that
//! are accepted. Most answers end there. Only an answer that is not accepted is looked into
//! further: what it tells about how it came about is a list of [`Reason`]s, and whether any marks
//! are kept follows from them.
//!
//! # Marks
//! The rules are those of examination boards, applied to what a number alone can show:
//! * A right answer has all marks, however it was worked (full marks for a correct final answer).
//! * A moved decimal point, a wrong unit and too coarse a rounding lose the mark for accuracy and
//!   keep those for method. Boards code power-of-ten and rounding errors apart from errors of
//!   method (GCE physics, June 2015), and a wrong unit loses the final answer mark and no other
//!   (GCE physics, June 2010).
//! * A number that a known wrong method leads to shows no right method, so it has no marks. That
//!   goes for a coarse number too that could have come from either.
//! * An answer of the wrong sign has no marks: no mass, volume or count is below zero, so the
//!   result was not looked at.
//! * A wrong number from an earlier part, carried on rightly, keeps the marks for method of the later
//!   part.
//! * A wrong unit costs marks once in a question, a wrong rounding once in a paper.
//! * Steps of the working may be written down too. They earn no marks of their own, but a wrong step
//!   that is carried on rightly rescues the marks for method.
//! * Marks are given, never taken away, and a missing unit costs nothing, because the sheet prints
//!   the unit beside the answer space.
//!
//! Boards differ, so most of these rules are [`Settings`], which name their sources.

mod settings;
mod entry;
mod verdict;
mod finding;
mod pieces;
mod award;
mod number;
mod letters;
mod theory;
mod conclusion;
mod unit;
mod diagnosis;
mod open;
mod follow;
mod pairs;
mod single;
mod counting;
mod together;
mod words;
mod explain;
mod rule;
mod account;

pub use account::{Account, AccountLine};
pub(crate) use account::{out_of, worth};
pub use award::Award;
pub use entry::{Entry, Item, Marked, MarkedEntry};
pub use explain::{Explanation, explain};
pub use finding::{Carry, Cause, Fault, Finding, How, Lies, Note, Wait, Why};
pub use number::mark_number;
pub use pieces::{Pieces, ReasonFound};
pub use rule::{Rule, own_rules};
pub use settings::{Cost, Counts, FollowThrough, Settings};
pub(crate) use together::home;
pub use together::{mark_paper, mark_problem, mark_together};
pub use verdict::{Standing, Understood, Verdict};

use crate::problem::Problem;

/// Marks one answer to one part, counted from 0.
///
/// Nothing an answer holds makes this fail: an answer that cannot be read, or a part that the
/// problem does not have, is a verdict as well.
pub fn mark(problem: &Problem, part: usize, answer: &str) -> Verdict {
    let verdicts = mark_together(problem, &[(part, answer)]);
    verdicts.into_iter().next().map_or_else(Verdict::none, |(_, verdict)| verdict)
}
