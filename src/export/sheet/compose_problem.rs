//! Why a problem cannot be put on a sheet.

use std::fmt;

/// A problem that cannot be put on a sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ComposeProblem {
    /// The template of the problem.
    pub template: String,
    /// Why its working cannot be shown.
    pub why: String,
}

impl fmt::Display for ComposeProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "template {}: {}", self.template, self.why)
    }
}

impl std::error::Error for ComposeProblem {}
