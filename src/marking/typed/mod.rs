//! What a person typed in answer to a question that asks for no number, understood.
//!
//! The readers here say what was meant, never what it is worth: that is marked elsewhere. Each takes
//! what may be meant (how many lines, the words of the options) and gives indices counted from 0, or
//! nothing where an answer is open to two readings.

mod words;
mod letters;
mod named;
mod options;
mod judgement;
mod pairs;
mod lines;
mod ends;
mod terms;

pub(super) use ends::read_range;
pub(super) use judgement::read_judgement;
pub(super) use lines::read_order;
pub(super) use options::read_options;
pub(super) use pairs::read_pairs;
pub(super) use terms::{Likeness, TermFound, find_term};
