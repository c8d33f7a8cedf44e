//! A package of the open standard QTI (1EdTech, Question and Test Interoperability), with which a
//! course's own platform asks the questions and marks the answers.
//!
//! A package is a ZIP archive: a manifest, a test with its sections, one item for each question, and
//! the drawings. The item is one tree in both versions of the standard; the writer alone knows what
//! they call things. How near the marking comes to the program's own is in the manual,
//! `exports/exchange/README.md`, and what is left out is [told](Exporter::left_out).
//!
//! The files in reading order: the versions, identifiers, the tree of XML, the archive; patterns of
//! numbers and units; response processing, the answers, how numbers and theory are marked; the
//! interactions, the solution, the item, the test and the manifest.

mod identifier;
mod version;
mod xml;
mod zip;
mod answer;
mod scoring;
mod interaction;
mod solution;
mod item;
mod test;
mod manifest;
mod left_out;

use super::{Entry, ExportError, Exporter, Options, Sheet};
use identifier::{Identifiers, identifier};
use item::Item;
use manifest::{MANIFEST, TEST};
use version::Version;
use zip::Archive;

/// The exporter of packages.
#[derive(Clone, Copy, Debug)]
pub struct Qti {
    version: Version,
}

impl Qti {
    /// The exporter of version 3.0.
    pub const V3: Self = Self { version: Version::V3 };
    /// The exporter of version 2.2.
    pub const V2: Self = Self { version: Version::V2 };
}

impl Exporter for Qti {
    fn name(&self) -> &'static str {
        self.version.words().format
    }

    fn about(&self) -> &'static str {
        self.version.words().about
    }

    fn extension(&self) -> &'static str {
        self.version.words().extension
    }

    fn media(&self) -> &'static str {
        "application/zip"
    }

    fn is_text(&self) -> bool {
        false
    }

    fn is_package(&self) -> bool {
        true
    }

    fn left_out(&self, sheet: &Sheet) -> Vec<String> {
        left_out::left_out(sheet)
    }

    fn export(&self, sheet: &Sheet, options: &Options) -> Result<Vec<u8>, ExportError> {
        options.without_layout(self.name())?;
        let mut identifiers = Identifiers::default();
        let paper = sheet.mark.as_deref().map(identifier);
        let test = identifiers.take(paper.as_deref().unwrap_or("test"));
        let rules = (sheet.contents, &sheet.rules);
        let items: Vec<Item> = sheet
            .with_whole_solutions()?
            .entries
            .iter()
            .enumerate()
            .map(|(index, entry)| {
                let wanted = named(entry, index, paper.as_deref());
                // On a paper the title would tell the method.
                let heading = entry.heading.clone().filter(|_| paper.is_none());
                let title = heading.unwrap_or_else(|| format!("Question {}", index + 1));
                Item::of(entry, (identifiers.take(&wanted), title), rules, self.version)
            })
            .collect();
        let mut archive = Archive::default();
        archive.add(MANIFEST, &manifest::manifest(&test, &items, self.version));
        archive.add(TEST, &test::test(sheet, &test, &items, self.version));
        for item in &items {
            archive.add(&item.file(), &item.document);
            if let Some(drawing) = &item.drawing {
                archive.add(&item.drawing_file(), drawing.as_bytes());
            }
        }
        Ok(archive.end())
    }
}

/// The identifier wanted for a question: the code of a practice problem, which stays the same in every
/// package, or the code of the paper and the number of the question.
fn named(entry: &Entry, index: usize, paper: Option<&str>) -> String {
    match (entry.code.as_deref(), paper) {
        (Some(code), _) => identifier(code),
        (None, Some(paper)) => format!("{paper}-q{:02}", index + 1),
        (None, None) => format!("q{:02}", index + 1),
    }
}
