//! The sheet as plain data, and how problems are composed into one.

mod lazy;
mod compose_problem;
mod data;
pub(in crate::export) mod theory;
pub(in crate::export) mod compose;
mod worked;

pub use compose_problem::ComposeProblem;
pub use data::{
    Accepted, CandidateField, Contents, Detail, Entry, EntryPart, EntrySlip, Front, MarkKind,
    MarkLine, PartKey, PartMarking, Section, Sheet, SlipAnswer,
};
pub use lazy::Lazy;
pub use theory::rule;
