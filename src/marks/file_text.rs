//! A file that is kept within another.

use serde::{Deserialize, Serialize};

use crate::bank::SourceText;

/// A file of someone's own, such as a layout, kept with what was made by it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct FileText {
    /// Its name.
    pub file: String,
    /// What stands in it.
    pub text: String,
}

impl From<SourceText> for FileText {
    fn from(source: SourceText) -> Self {
        Self { file: source.path, text: source.text.into_owned() }
    }
}

impl From<FileText> for SourceText {
    fn from(kept: FileText) -> Self {
        Self::new(kept.file, kept.text)
    }
}
