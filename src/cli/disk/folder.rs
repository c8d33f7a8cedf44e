//! A folder that is written either completely or not at all.

use std::fs::{self, File, OpenOptions};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use super::super::outcome::Failure;
use super::super::workers;
use super::paths::{beside, exchange, own_draft, sync_folder};
use super::reading::plainly;

/// Whether the folder is there, after undoing what an interrupted run left behind. Call it with the
/// folder locked.
///
/// # Errors
/// When the folder cannot be put back, or must not be replaced.
pub(in super::super) fn find(path: &Path, what: &str) -> Result<bool, Failure> {
    let old = beside(path, "replaced");
    if old.exists() && !path.exists() {
        // The run stopped between moving the old folder away and putting the new one there.
        fs::rename(&old, path).map_err(|error| cannot(path, what, &error))?;
    }
    let there = fs::metadata(path);
    if there.as_ref().is_ok_and(|there| there.permissions().readonly()) {
        let shown = path.display();
        return Err(Failure::unusable(format!(
            "`{shown}` is read-only; give another name, or allow writing to it"
        )));
    }
    Ok(there.is_ok())
}

/// The folder while it is written. When it is dropped unfinished, nothing of it stays.
#[derive(Debug)]
pub(in super::super) struct Draft {
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
    pub(in super::super) fn begin<F: AsRef<Path>>(
        path: &Path,
        folders: &[F],
        what: &'static str,
    ) -> Result<Self, Failure> {
        let draft = own_draft(path);
        let begin = || {
            let mut whole = fs::DirBuilder::new();
            // Keys and marks are not for everybody with an account on the machine.
            #[cfg(unix)]
            std::os::unix::fs::DirBuilderExt::mode(&mut whole, 0o700);
            whole.create(&draft)?;
            for folder in folders {
                whole.create(draft.join(folder))?;
            }
            Ok(())
        };
        begin().map_err(|error| cannot(path, what, &error))?;
        Ok(Self { path: path.to_owned(), beside: draft, what, finished: false })
    }

    /// Writes a file of the folder.
    ///
    /// # Errors
    /// When it is there already or cannot be written.
    pub(in super::super) fn write(&mut self, name: &str, bytes: &[u8]) -> Result<(), Failure> {
        self.put_into(name, bytes, OpenOptions::new().write(true).create_new(true))
    }

    /// Puts a file there as it is in the folder that is replaced.
    ///
    /// # Errors
    /// When it cannot be copied.
    pub(in super::super) fn keep(&mut self, from: &Path, name: &str) -> Result<(), Failure> {
        let to = self.beside.join(name);
        // The same file under two names costs nothing; not every file system can do it.
        fs::hard_link(from, &to)
            .or_else(|_| fs::copy(from, &to).map(|_| ()))
            .map_err(|error| cannot(&self.path, self.what, &error))
    }

    /// Writes on at the end of a file of the folder.
    ///
    /// # Errors
    /// When it cannot be written.
    pub(in super::super) fn append(&mut self, name: &str, bytes: &[u8]) -> Result<(), Failure> {
        self.put_into(name, bytes, OpenOptions::new().append(true).create(true))
    }

    /// Writes into a file. Like the folder, it is for its owner alone, also when it is copied elsewhere.
    fn put_into(&self, name: &str, bytes: &[u8], options: &mut OpenOptions) -> Result<(), Failure> {
        #[cfg(unix)]
        std::os::unix::fs::OpenOptionsExt::mode(options, 0o600);
        let file = options.open(self.beside.join(name));
        file.and_then(|mut file| file.write_all(bytes))
            .map_err(|error| cannot(&self.path, self.what, &error))
    }

    /// Puts the folder in its place.
    ///
    /// # Errors
    /// When that fails; what was there before is then still there.
    pub(in super::super) fn finish(mut self) -> Result<(), Failure> {
        let old = self.put().map_err(|error| cannot(&self.path, self.what, &error))?;
        self.finished = true;
        // The new folder is in place; the old one may stay if it must.
        let _ = fs::remove_dir_all(old);
        Ok(())
    }

    /// Puts the folder in its place, and says where the old one is now, if there was any.
    fn put(&self) -> io::Result<PathBuf> {
        let old = beside(&self.path, "replaced");
        let parent = self.path.parent().unwrap_or(Path::new(""));
        // What is renamed into place must be on the disk before its name is.
        sync_all(&self.beside)?;
        if old.exists() {
            fs::remove_dir_all(&old)?;
        }
        let there = self.path.exists();
        if there && exchange(&self.beside, &self.path).is_ok() {
            return match sync_folder(parent) {
                Ok(()) => Ok(self.beside.clone()),
                Err(error) => {
                    exchange(&self.beside, &self.path)?;
                    Err(error)
                }
            };
        }
        // Between these two strokes there is no folder; `find` puts it back when the run ends there.
        if there {
            fs::rename(&self.path, &old)?;
        }
        if let Err(error) = fs::rename(&self.beside, &self.path) {
            if old.exists() {
                fs::rename(&old, &self.path)?;
            }
            return Err(error);
        }
        sync_folder(parent)?;
        Ok(old)
    }
}

impl Drop for Draft {
    fn drop(&mut self) {
        if !self.finished {
            let _ = fs::remove_dir_all(&self.beside);
        }
    }
}

/// Syncs every file and folder of a folder, and the folder itself.
fn sync_all(folder: &Path) -> io::Result<()> {
    let mut files = Vec::new();
    let mut folders = vec![folder.to_owned()];
    let mut next = 0;
    while let Some(folder) = folders.get(next) {
        let entries = fs::read_dir(folder)?.collect::<io::Result<Vec<_>>>()?;
        for entry in entries {
            let found = if entry.file_type()?.is_dir() { &mut folders } else { &mut files };
            found.push(entry.path());
        }
        next += 1;
    }
    // Many at a time are written together by the file system.
    let synced = workers::each(&files, |file| File::open(file)?.sync_all());
    synced.into_iter().collect::<io::Result<()>>()?;
    folders.iter().rev().try_for_each(|folder| sync_folder(folder))
}

/// The failure to write what there is to the folder.
pub(in super::super) fn cannot(path: &Path, what: &str, error: &io::Error) -> Failure {
    let shown = path.display();
    Failure::unusable(format!("the {what} cannot be written to `{shown}`: {}", plainly(error)))
}
