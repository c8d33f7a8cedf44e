//! What a page holds.

use std::collections::BTreeSet;

use serde::{Deserialize, Serialize};

use crate::bank::{Bank, SourceText};

/// What a page holds: a few facts about it, and the files of its bank.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Contents {
    /// The version of this form, [`Contents::FORM`].
    pub form: u32,
    /// The title of the page.
    pub title: String,
    /// The day on which the page was made, such as `2026-11-29`.
    pub made: String,
    /// The day of the exam that the page plans for, if whoever made it gave one.
    #[serde(default)]
    pub exam: Option<String>,
    /// A number that chooses the problems; without one, the page brings its own.
    #[serde(default)]
    pub seed: Option<u64>,
    /// The settings of practice, as their file has them; empty for the usual ones.
    #[serde(default)]
    pub settings: String,
    /// The rules of marking, as their file has them; empty for the usual ones.
    #[serde(default)]
    pub rules: String,
    /// The files of the bank.
    pub files: Vec<SourceText>,
    /// The files that whoever made the page added, of which rows replace those of the bank. All files
    /// were found to be sound when the page was made; a template is read when it is first practised.
    #[serde(default)]
    pub own: Vec<SourceText>,
    /// The sources that the bank names, by id, so that no template need be read to list them.
    #[serde(default)]
    pub cited: Vec<String>,
}

impl Contents {
    /// The version of the form in which contents are written.
    pub const FORM: u32 = 1;

    /// Notes the sources of the bank, and leaves out the files of all templates but these; topics, facts
    /// and sources stay.
    pub fn keep(&mut self, bank: &Bank, templates: &BTreeSet<&str>) {
        self.cited = bank.cited().into_iter().map(str::to_owned).collect();
        let unwanted: BTreeSet<&str> = bank
            .templates()
            .iter()
            .filter(|template| !templates.contains(template.id.as_str()))
            .map(|template| template.file.as_str())
            .collect();
        for files in [&mut self.files, &mut self.own] {
            files.retain(|file| !unwanted.contains(file.path.as_str()));
        }
    }
}
