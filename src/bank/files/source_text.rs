//! A file of a bank, by its name.

use std::borrow::Cow;
use std::fmt;

use serde::{Deserialize, Serialize};

/// A file of the bank, with the name it is called by.
#[derive(Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SourceText {
    /// The path, as messages show it.
    pub path: String,
    /// The text; that of a file which comes with the program lies in the program.
    pub text: Cow<'static, str>,
}

/// What a file holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(in crate::bank) enum Sort {
    /// Sources, in a file of a name that begins so in a folder `facts`.
    Sources,
    /// Topics, in a file `topics.yaml`.
    Topics,
    /// A facts table, in a folder `facts`.
    Table,
    /// A template, anywhere else.
    Template,
}

impl SourceText {
    /// A file of that path and text.
    pub fn new(path: impl Into<String>, text: impl Into<Cow<'static, str>>) -> Self {
        Self { path: path.into(), text: text.into() }
    }

    /// The file by its name alone, to be kept: where it lay is nobody's business.
    #[must_use]
    pub fn without_folder(&self) -> Self {
        Self::new(self.name().to_owned(), self.text.clone())
    }

    /// The file without the byte-order mark that some editors write before the text.
    pub(in crate::bank) fn without_mark(mut self) -> Self {
        if self.text.starts_with('\u{feff}') {
            self.text.to_mut().remove(0);
        }
        self
    }

    /// What the file holds, by its path.
    pub(in crate::bank) fn sort(&self) -> Sort {
        let mut folders = self.path.rsplit(['/', '\\']).skip(1);
        if !folders.any(|folder| folder == "facts") {
            return if self.stem() == "topics" { Sort::Topics } else { Sort::Template };
        }
        if self.stem().starts_with("sources") { Sort::Sources } else { Sort::Table }
    }

    /// The name of the file without its folder and ending.
    pub(in crate::bank) fn stem(&self) -> &str {
        self.name().split('.').next().unwrap_or_default()
    }

    /// The name of the file without its folder.
    pub fn name(&self) -> &str {
        self.path.rsplit(['/', '\\']).next().unwrap_or_default()
    }
}

impl fmt::Debug for SourceText {
    /// The path alone: the text would bury everything around it.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("SourceText").field("path", &self.path).finish_non_exhaustive()
    }
}
