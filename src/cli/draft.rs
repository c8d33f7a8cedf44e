//! A folder that is written whole or not at all.

use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use super::files::{plainly, write_privately};
use super::outcome::Failure;

/// Looks whether the folder is there, after putting right what an interrupted run left behind.
///
/// # Errors
/// When the path is no name for a folder, or the place cannot be looked at.
pub(super) fn find(path: &Path, what: &str) -> Result<bool, Failure> {
    if path.file_name().is_none() {
        let shown = path.display();
        return Err(Failure::unusable(format!("`{shown}` is no name for a folder; give one")));
    }
    let old = beside(path, "replaced");
    if old.exists() && !path.exists() {
        // The run stopped between taking the old folder away and putting the new one there.
        fs::rename(&old, path).map_err(|error| cannot(path, what, &error))?;
    }
    Ok(path.exists())
}

/// The folder while it is written. When it is dropped unfinished, nothing of it stays.
#[derive(Debug)]
pub(super) struct Draft {
    path: PathBuf,
    beside: PathBuf,
    what: &'static str,
    finished: bool,
}

impl Draft {
    /// Begins to write a folder anew with these folders in it, beside the place where it will stand.
    ///
    /// # Errors
    /// When nothing can be written there.
    pub(super) fn begin(
        path: &Path,
        folders: &[&str],
        what: &'static str,
    ) -> Result<Self, Failure> {
        let draft = beside(path, "draft");
        let begin = || {
            if draft.exists() {
                fs::remove_dir_all(&draft)?;
            }
            fs::create_dir(&draft)?;
            for folder in folders {
                fs::create_dir(draft.join(folder))?;
            }
            Ok(())
        };
        begin().map_err(|error| cannot(path, what, &error))?;
        Ok(Self { path: path.to_owned(), beside: draft, what, finished: false })
    }

    /// Writes a file of the folder.
    ///
    /// # Errors
    /// When it cannot be written.
    pub(super) fn write(&mut self, name: &str, bytes: &[u8]) -> Result<(), Failure> {
        fs::write(self.beside.join(name), bytes)
            .map_err(|error| cannot(&self.path, self.what, &error))
    }

    /// Writes on at the end of a file of the folder.
    ///
    /// # Errors
    /// When it cannot be written.
    pub(super) fn append(&mut self, name: &str, bytes: &[u8]) -> Result<(), Failure> {
        let file = fs::OpenOptions::new().create(true).append(true).open(self.beside.join(name));
        file.and_then(|mut file| file.write_all(bytes))
            .map_err(|error| cannot(&self.path, self.what, &error))
    }

    /// Writes a file of the folder that only the owner can read.
    ///
    /// # Errors
    /// When it cannot be written.
    pub(super) fn write_privately(&mut self, name: &str, bytes: &[u8]) -> Result<(), Failure> {
        write_privately(&self.beside.join(name), bytes)
            .map_err(|error| cannot(&self.path, self.what, &error))
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
        change().map_err(|error| cannot(&self.path, self.what, &error))?;
        self.finished = true;
        // The new folder is there; what it took the place of may stay if it must.
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

/// The failure to write what there is to the folder.
pub(super) fn cannot(path: &Path, what: &str, error: &io::Error) -> Failure {
    let shown = path.display();
    Failure::unusable(format!("the {what} cannot be written to `{shown}`: {}", plainly(error)))
}
