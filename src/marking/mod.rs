//! From an answer to a verdict.
//!
//! A typed answer is read and brought into the unit of the part: that is what was [`Understood`]. What
//! is found out about it is one [`Finding`]: it is accepted, known causes lead to it, it follows from
//! the candidate's own earlier answers, pieces of it are right, a person decides, or it could not be
//! read. What else is true of it are [`Note`]s, every fault that is present among them. From these and
//! the rules one function makes the [`Award`]; standing, rule and words are read from it.
//!
//! # Marks
//! The rules are those of examination boards, applied to what a number alone can show:
//! * A correct answer earns full marks, however it was worked.
//! * An answer is judged from the true values and from the candidate's own earlier answers, and gets
//!   the better of the two. What comes out of accepted answers is accepted; what comes out of a wrong
//!   one keeps the method marks.
//! * A moved decimal point, a wrong unit and too coarse a rounding lose the accuracy marks and keep
//!   those for method. Boards code power-of-ten and rounding errors apart from errors of method (GCE
//!   physics, June 2015), and a wrong unit loses the final answer mark and no other (GCE physics, June
//!   2010).
//! * A number that a known wrong method leads to shows no right method, so it earns no marks; unless a
//!   single slip was made in a step that is not asked for, which proves the rest of the method. A
//!   coarse number that could have come from either shows none.
//! * An answer of the wrong sign earns no marks: no mass, volume or count is below zero, so the result
//!   was not checked.
//! * A wrong unit costs marks once in a question, a wrong rounding once in a paper, where it costs the
//!   most. A unit wrong a thousandfold and a rounding that changes a mass by more than 2 % cost them
//!   each time.
//! * Steps of the working may be written down too. They earn no marks of their own, but a wrong step
//!   that is carried on correctly rescues the method marks.
//! * Marks are given, never taken away, and a missing unit costs nothing, because the sheet prints
//!   the unit beside the answer space.
//!
//! Boards differ, so most of these rules are [`Settings`], which name their sources.
//!
//! # Diagnoses
//! A slip is named only if its own value, or a legal rounding of it, was typed, and the number lies no
//! nearer to the right answer than to the slip. A moved point needs the figures of the answer or the
//! slip; a count has no point to move.

mod settings;
mod entry;
mod verdict;
mod finding;
mod pieces;
mod award;
mod number;
mod typed;
mod share;
mod order;
mod theory;
mod conclusion;
mod unit;
mod diagnosis;
mod open;
mod follow;
mod pairs;
mod likeliest;
mod single;
mod counting;
mod together;
mod words;
mod explain;
mod rule;
mod account;

pub use account::{Account, AccountLine};
pub use award::Award;
pub use entry::{Entry, Item, Marked, MarkedEntry};
pub use explain::{Explanation, explain};
pub use finding::{Carry, Cause, Fault, Finding, How, Lies, Note, Wait, Why};
pub use number::mark_number;
pub use order::Concordance;
pub use pieces::{Pieces, ReasonFound};
pub use rule::{Rule, own_rules};
pub use settings::{Cost, Counts, FollowThrough, Settings};
pub use share::Sharing;
pub(crate) use together::home;
pub use together::{mark_paper, mark_problem, mark_together};
pub use unit::number_in;
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
