//! The folder of a set of papers, written whole or not at all.

use std::collections::BTreeSet;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use castmark::export::{Document, Exporter};
use castmark::paper::PaperSet;

use super::super::disk::{self, Draft};
use super::super::outcome::Failure;
use super::read_manifest;

/// The name of the manifest in the folder.
pub(super) const MANIFEST: &str = "manifest.jsonl";

/// What is written there, for messages.
const WHAT: &str = "papers";

/// The folder, as it is before papers are made.
#[derive(Debug)]
pub(super) struct Folder {
    path: PathBuf,
    /// The set that is in it already.
    pub set: Option<PaperSet>,
}

impl Folder {
    /// Looks what is there. What an interrupted run left behind is put right.
    ///
    /// # Errors
    /// When something else than papers is there, or the place cannot be looked at.
    pub(super) fn look(path: &Path) -> Result<Self, Failure> {
        let shown = path.display();
        if !disk::find(path, WHAT)? {
            return Ok(Self { path: path.to_owned(), set: None });
        }
        let manifest = path.join(MANIFEST);
        if !path.is_dir() || !manifest.exists() {
            return Err(Failure::unusable(format!(
                "`{shown}` already exists and does not hold castmark papers; choose another name"
            )));
        }
        let set = read_manifest(&manifest)?;
        let strange = strangers(path, &set).map_err(|error| disk::cannot(path, WHAT, &error))?;
        if let Some(first) = strange.first() {
            return Err(Failure::unusable(format!(
                "`{shown}` would be written anew, but holds `{first}`, which castmark did not put \
                 there; move it to another place"
            )));
        }
        Ok(Self { path: path.to_owned(), set: Some(set) })
    }

    /// The endings of the papers that are there.
    pub(super) fn endings(&self) -> BTreeSet<String> {
        let names = |folder: &Path| {
            let names = fs::read_dir(folder).into_iter().flatten().flatten();
            names.map(|entry| entry.file_name().to_string_lossy().into_owned())
        };
        // Packages are not bound.
        let packages = names(&self.path.join(Document::Package.name()));
        let packages = packages.filter_map(|name| Some(name.split_once('.')?.1.to_owned()));
        // A folder of bound files alone has them at its top.
        let bound = names(&self.path);
        bound
            .filter_map(|name| {
                let bound = name.strip_prefix(Document::Questions.name())?;
                let ending =
                    bound.strip_prefix("-large-print").unwrap_or(bound).strip_prefix('.')?;
                Some(if ending == "jsonl" { "json" } else { ending }.to_owned())
            })
            .chain(packages)
            .collect()
    }

    /// Begins to write the folder anew, beside the place where it will stand; without room for the
    /// files of each candidate when only bound ones come, and for those of no format.
    ///
    /// # Errors
    /// When nothing can be written there.
    pub(super) fn draft(
        &self,
        formats: &[&dyn Exporter],
        bound_only: bool,
    ) -> Result<Draft, Failure> {
        let is_made =
            |document: &Document| formats.iter().any(|format| document.is_made_by(*format));
        let made = Document::OF_CANDIDATES.into_iter().filter(is_made);
        let folders: Vec<&str> = made.filter(|_| !bound_only).map(Document::name).collect();
        Draft::begin(&self.path, &folders, WHAT)
    }
}

/// The name of a candidate's files, without ending. A number may hold anything, so what cannot stand
/// in a name is left out, and the place in the manifest keeps names apart.
pub(in super::super) fn file_name(place: usize, number: &str) -> String {
    let plain: String = number
        .chars()
        .map(|letter| if letter.is_ascii_alphanumeric() { letter } else { '-' })
        .collect();
    let plain = plain.trim_matches('-');
    let dash = if plain.is_empty() { "" } else { "-" };
    format!("{:04}{dash}{plain}", place + 1)
}

/// What stands in the folder of a set and is none of its files.
fn strangers(path: &Path, set: &PaperSet) -> io::Result<Vec<String>> {
    let papers = set.papers.iter().enumerate();
    let stems: BTreeSet<String> =
        papers.map(|(place, paper)| file_name(place, &paper.candidate.number)).collect();
    let folders = Document::OF_CANDIDATES.map(Document::name);
    let mut strange = Vec::new();
    for entry in fs::read_dir(path)? {
        let entry = entry?;
        let name = entry.file_name().to_string_lossy().into_owned();
        let stem = name.split('.').next().unwrap_or_default();
        let bound = stem.strip_suffix("-large-print").unwrap_or(stem);
        if entry.path().is_dir() && folders.contains(&name.as_str()) {
            for inner in fs::read_dir(entry.path())? {
                let inner = inner?.file_name().to_string_lossy().into_owned();
                if !stems.contains(inner.split('.').next().unwrap_or_default()) {
                    strange.push(format!("{name}/{inner}"));
                }
            }
        } else if name != MANIFEST
            && bound != Document::Moderation.name()
            && !folders.contains(&bound)
        {
            strange.push(name);
        }
    }
    strange.sort();
    Ok(strange)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_that_holds_anything_leads_to_no_other_folder() {
        assert_eq!(file_name(0, "0101"), "0001-0101");
        assert_eq!(file_name(11, "../../etc/x"), "0012-etc-x");
        assert_eq!(file_name(2, "..\\<b>\u{202e}"), "0003-b");
        assert_eq!(file_name(3, "é"), "0004");
    }
}
