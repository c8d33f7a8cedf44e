//! The cover page of a paper.

use crate::bank::written::blueprint::CoverText;

use super::{is_true, string, strings};

/// The cover page of a paper.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Cover {
    /// The institution.
    pub institution: Option<String>,
    /// What candidates must know before they begin.
    pub rubric: Vec<String>,
    /// What candidates may use.
    pub materials: Vec<String>,
    /// What candidates sign.
    pub declaration: Option<String>,
    /// Whether it says that the paper must not be opened yet.
    pub sealed: bool,
}

impl Cover {
    /// The cover that a blueprint describes.
    pub(super) fn of(text: &CoverText) -> Self {
        Self {
            institution: string(text.institution.as_ref()),
            rubric: strings(text.rubric.as_ref()),
            materials: strings(text.materials.as_ref()),
            declaration: string(text.declaration.as_ref()),
            sealed: is_true(text.sealed),
        }
    }
}
