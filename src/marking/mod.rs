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
mod verdict;
mod entry;
mod number;
mod letters;
mod theory;
mod conclusion;
mod unit;
mod diagnosis;
mod words;
mod explain;
mod follow;
mod pairs;
mod counting;
mod together;
mod rule;
mod account;

pub use account::{Account, AccountLine};
pub(crate) use account::{out_of, worth};
pub use entry::{Entry, Item, Marked, MarkedEntry};
pub use explain::{Explanation, explain};
pub use number::{Fault, mark_number};
pub use rule::{Rule, own_rules};
pub use settings::{Cost, Counts, FollowThrough, Settings};
pub(crate) use together::home;
pub use together::{mark_paper, mark_problem, mark_together};
pub use verdict::{Reason, Standing, Verdict};

use crate::problem::{Problem, Response};

use theory::{
    mark_choice, mark_judgement, mark_matching, mark_ordering, mark_range, mark_text, mark_written,
};

/// Marks one answer to one part, counted from 0.
///
/// Nothing an answer holds makes this fail: an answer that cannot be read, or a part that the
/// problem does not have, is a verdict as well.
pub fn mark(problem: &Problem, part: usize, answer: &str) -> Verdict {
    let mut verdict = mark_alone(problem, part, answer, &Settings::default());
    pairs::find_pairs(problem, part, &mut verdict);
    verdict
}

fn mark_alone(problem: &Problem, part: usize, answer: &str, settings: &Settings) -> Verdict {
    let Some(part) = problem.parts.get(part) else {
        return Verdict::unread(0, Reason::NoSuchPart);
    };
    match &part.response {
        Response::Number(key) => number::mark_number_by(key, part.marks, answer, settings),
        Response::Verdict(key) => conclusion::mark_conclusion(key, part.marks, answer),
        Response::Choice(key) => mark_choice(key, part.marks, answer),
        Response::Judgement(key) => mark_judgement(key, part.marks, answer),
        Response::Matching(key) => mark_matching(key, part.marks, answer),
        Response::Ordering(key) => mark_ordering(key, part.marks, answer),
        Response::Text(key) => mark_text(key, part.marks, answer),
        Response::Range(key) => mark_range(key, part.marks, answer),
        Response::Written(_) => mark_written(part.marks),
    }
}
