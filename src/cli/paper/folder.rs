//! The folder of a set of papers, written whole or not at all.

use std::collections::BTreeSet;
use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use castmark::export::Document;
use castmark::paper::PaperSet;

use super::super::files::plainly;
use super::super::outcome::Failure;
use super::{read_manifest, secrets};

/// The name of the manifest in the folder.
const MANIFEST: &str = "manifest.jsonl";

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
        if path.file_name().is_none() {
            return Err(Failure::unusable(format!("`{shown}` is no name for a folder; give one")));
        }
        let old = beside(path, "replaced");
        if old.exists() && !path.exists() {
            // The run stopped between taking the old papers away and putting the new ones there.
            fs::rename(&old, path).map_err(|error| cannot(path, &error))?;
        }
        if !path.exists() {
            return Ok(Self { path: path.to_owned(), set: None });
        }
        let manifest = path.join(MANIFEST);
        if !path.is_dir() || !manifest.exists() {
            return Err(Failure::unusable(format!(
                "`{shown}` is there already and holds no papers of castmark; give another name"
            )));
        }
        let set = read_manifest(&manifest)?;
        let strange = strangers(path, &set).map_err(|error| cannot(path, &error))?;
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
        let papers = self.path.join(Document::Questions.name());
        let names = fs::read_dir(papers).into_iter().flatten().flatten();
        names
            .filter_map(|entry| Some(entry.path().extension()?.to_string_lossy().into_owned()))
            .collect()
    }

    /// Begins to write the folder anew, beside the place where it will stand.
    ///
    /// # Errors
    /// When nothing can be written there.
    pub(super) fn draft(&self) -> Result<Draft, Failure> {
        let draft = beside(&self.path, "draft");
        let begin = || {
            if draft.exists() {
                fs::remove_dir_all(&draft)?;
            }
            let mut folder = fs::DirBuilder::new();
            // Keys are not for everybody with an account on the machine.
            #[cfg(unix)]
            std::os::unix::fs::DirBuilderExt::mode(&mut folder, 0o700);
            folder.create(&draft)?;
            for document in Document::OF_CANDIDATES {
                fs::create_dir(draft.join(document.name()))?;
            }
            Ok(())
        };
        begin().map_err(|error| cannot(&self.path, &error))?;
        Ok(Draft { path: self.path.clone(), beside: draft, finished: false })
    }
}

/// The name of a candidate's files, without ending. A number may hold anything, so what cannot stand
/// in a name is left out, and the place in the manifest keeps names apart.
pub(super) fn file_name(place: usize, number: &str) -> String {
    let plain: String = number
        .chars()
        .map(|letter| if letter.is_ascii_alphanumeric() { letter } else { '-' })
        .collect();
    let plain = plain.trim_matches('-');
    let dash = if plain.is_empty() { "" } else { "-" };
    format!("{:04}{dash}{plain}", place + 1)
}

/// The folder while it is written. When it is dropped unfinished, nothing of it stays.
#[derive(Debug)]
pub(super) struct Draft {
    path: PathBuf,
    beside: PathBuf,
    finished: bool,
}

impl Draft {
    /// Writes a file of the folder.
    ///
    /// # Errors
    /// When it cannot be written.
    pub(super) fn write(&mut self, name: &str, bytes: &[u8]) -> Result<(), Failure> {
        fs::write(self.beside.join(name), bytes).map_err(|error| cannot(&self.path, &error))
    }

    /// Writes on at the end of a file of the folder.
    ///
    /// # Errors
    /// When it cannot be written.
    pub(super) fn append(&mut self, name: &str, bytes: &[u8]) -> Result<(), Failure> {
        let file = fs::OpenOptions::new().create(true).append(true).open(self.beside.join(name));
        file.and_then(|mut file| file.write_all(bytes)).map_err(|error| cannot(&self.path, &error))
    }

    /// Writes the manifest, which only the owner can read.
    ///
    /// # Errors
    /// When it cannot be written.
    pub(super) fn write_manifest(&mut self, set: &PaperSet) -> Result<(), Failure> {
        secrets::write_privately(&self.beside.join(MANIFEST), set.write().as_bytes())
            .map_err(|error| cannot(&self.path, &error))
    }

    /// Puts the folder in its place.
    ///
    /// # Errors
    /// When that fails; what was there before is then still there.
    pub(super) fn finish(mut self) -> Result<(), Failure> {
        let old = beside(&self.path, "replaced");
        let change = || {
            if old.exists() {
                fs::remove_dir_all(&old)?;
            }
            if self.path.exists() {
                fs::rename(&self.path, &old)?;
            }
            if let Err(error) = fs::rename(&self.beside, &self.path) {
                if old.exists() {
                    fs::rename(&old, &self.path)?;
                }
                return Err(error);
            }
            Ok(())
        };
        change().map_err(|error| cannot(&self.path, &error))?;
        self.finished = true;
        // The papers are there; what they took the place of may stay if it must.
        let _ = fs::remove_dir_all(&old);
        Ok(())
    }
}

impl Drop for Draft {
    fn drop(&mut self) {
        if !self.finished {
            let _ = fs::remove_dir_all(&self.beside);
        }
    }
}

/// A hidden neighbour of the folder.
fn beside(path: &Path, what: &str) -> PathBuf {
    let mut name = std::ffi::OsString::from(".");
    name.push(path.file_name().unwrap_or_default());
    name.push(format!(".castmark-{what}"));
    path.with_file_name(name)
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

fn cannot(path: &Path, error: &io::Error) -> Failure {
    let shown = path.display();
    Failure::unusable(format!("the papers cannot be written to `{shown}`: {}", plainly(error)))
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
