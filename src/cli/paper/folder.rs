//! The folder of a set of papers, written whole or not at all.

use std::collections::BTreeSet;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use castmark::export::Document;
use castmark::paper::PaperSet;

use super::super::disk::{self, Draft};
use super::super::outcome::Failure;
use super::documents::{ANSWERS, BOUND, KEY_TABLE, OfCandidate, ROOM};
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
        // A folder of bound files alone has them at its top, or in folders of rooms or groups.
        let mut folders = vec![self.path.clone()];
        for bound in BOUND {
            let rooms = fs::read_dir(self.path.join(bound)).into_iter().flatten().flatten();
            folders.extend(rooms.map(|room| room.path()));
        }
        let bound_names =
            folders.iter().flat_map(|folder| fs::read_dir(folder).into_iter().flatten());
        // Packages are not bound.
        let packages = names(&self.path.join(Document::Package.name())).unwrap_or_default();
        let packages =
            packages.into_iter().filter_map(|name| Some(name.split_once('.')?.1.to_owned()));
        bound_names
            .flatten()
            .filter_map(|entry| {
                let name = entry.file_name().to_string_lossy().into_owned();
                let mut of_candidates = OfCandidate::ALL.iter();
                let bound = of_candidates.find_map(|it| name.strip_prefix(it.folder()))?;
                let ending =
                    bound.strip_prefix("-large-print").unwrap_or(bound).strip_prefix('.')?;
                Some(if ending == "jsonl" { "json" } else { ending }.to_owned())
            })
            .chain(packages)
            .collect()
    }

    /// Begins to write the folder anew with these folders in it, beside the place where it will stand.
    ///
    /// # Errors
    /// When nothing can be written there.
    pub(super) fn draft(&self, folders: &[String]) -> Result<Draft, Failure> {
        Draft::begin(&self.path, folders, WHAT)
    }

    /// Where it is, or will be.
    pub(super) fn path(&self) -> &Path {
        &self.path
    }

    /// The folder, where it is there already.
    pub(super) fn there(&self) -> Option<&Path> {
        self.set.is_some().then_some(self.path.as_path())
    }

    /// What a file of the folder holds.
    pub(super) fn read(&self, name: &str) -> Option<Vec<u8>> {
        fs::read(self.path.join(name)).ok()
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
    let folders = OfCandidate::ALL.map(OfCandidate::folder);
    let is_bound = |name: &str| {
        let stem = stem(name);
        folders.contains(&stem.strip_suffix("-large-print").unwrap_or(stem))
    };
    let mut strange = Vec::new();
    let mut look = |folder: &str, known: &dyn Fn(&str) -> bool| -> io::Result<()> {
        for name in names(&path.join(folder))? {
            if !known(&name) {
                strange.push(format!("{folder}/{name}"));
            }
        }
        Ok(())
    };
    let mut at_top = Vec::new();
    for name in names(path)? {
        let is_folder = path.join(&name).is_dir();
        if is_folder && folders.contains(&name.as_str()) {
            look(&name, &|inner| stems.contains(stem(inner)))?;
        } else if is_folder && name == ROOM {
            look(&name, &|inner| ROOM_FILES.contains(&stem(inner)))?;
        } else if is_folder && BOUND.contains(&name.as_str()) {
            for room in names(&path.join(&name))? {
                look(&format!("{name}/{room}"), &is_bound)?;
            }
        } else if ![MANIFEST, ANSWERS].contains(&name.as_str())
            && ![Document::Moderation.name(), KEY_TABLE].contains(&stem(&name))
            && !is_bound(&name)
        {
            at_top.push(name);
        }
    }
    strange.extend(at_top);
    strange.sort();
    Ok(strange)
}

/// The files of the room's folder, without endings.
const ROOM_FILES: [&str; 4] = ["attendance", "seats", "invigilator", "labels"];

/// The names in a folder.
fn names(folder: &Path) -> io::Result<Vec<String>> {
    let entries = fs::read_dir(folder)?;
    entries.map(|entry| Ok(entry?.file_name().to_string_lossy().into_owned())).collect()
}

/// A name without its ending.
fn stem(name: &str) -> &str {
    name.split('.').next().unwrap_or_default()
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
