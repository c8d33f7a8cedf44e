//! Papers for a class.

mod class_list;
mod secret;

pub use class_list::{Candidate, ClassList, ListProblem, Need};
pub use secret::{Secret, SecretProblem};
