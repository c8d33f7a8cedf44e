//! Papers for a class.
//!
//! A blueprint (see [`crate::bank::Blueprint`]) and a [`ClassList`] become a [`PaperSet`]: for every
//! candidate a [`Paper`], whose problems no other candidate has. They are drawn under a [`Secret`],
//! so that nobody can find them from what is printed. The [manifest](PaperSet::read) keeps the set,
//! and the papers can be made again from it without the secret. A [`Plan`] looks at a blueprint
//! before any paper is made.

mod candidate;
mod class_list;
mod bundle;
mod secret;
mod ledger;
mod problem;
mod code;
mod difficulty;
mod places;
mod check;
#[allow(clippy::module_inception, reason = "the paper is the noun of this folder")]
mod paper;
mod set;
mod manifest;
mod plan;
mod answers;
mod hand_columns;
mod hand;
mod step;
mod marking;

pub use answers::{Answers, Asked, PaperAnswers};
pub use bundle::{Bundle, Together};
pub use candidate::{Candidate, Need};
pub use class_list::{ClassList, ListProblem};
pub use code::PaperCode;
pub use difficulty::{Band, Difficulty, Spread};
pub use hand::{HandMark, HandMarks};
pub use ledger::SecretFile;
pub use manifest::ManifestProblem;
pub use marking::{Chosen, ClassMarking, PaperMarks, PartMarks, QuestionMarks};
pub use paper::{Paper, PaperQuestion};
pub use plan::{ENOUGH_KEYS, Plan, Specification, Supply};
pub use problem::PaperProblem;
pub use secret::{Secret, SecretProblem};
pub use set::PaperSet;
pub use step::StepMarks;
