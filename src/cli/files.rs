//! Reading and writing files.

use std::fs;
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};

use super::outcome::Failure;

/// Files larger than this are not read: no layout or template comes near it.
const LARGEST: u64 = 4 * 1024 * 1024;

/// Reads a text file.
///
/// # Errors
/// When it cannot be opened, is larger than anything useful, or is no text in UTF-8.
pub(super) fn read_text(path: &Path) -> Result<String, Failure> {
    let shown = path.display();
    let cannot = |error: &io::Error| {
        Failure::unusable(format!("`{shown}` cannot be read: {}", plainly(error)))
    };
    let file = fs::File::open(path).map_err(|error| cannot(&error))?;
    if file.metadata().is_ok_and(|metadata| metadata.is_dir()) {
        return Err(Failure::unusable(format!("`{shown}` is a folder; give a file")));
    }
    let mut bytes = Vec::new();
    file.take(LARGEST + 1).read_to_end(&mut bytes).map_err(|error| cannot(&error))?;
    if u64::try_from(bytes.len()).unwrap_or(u64::MAX) > LARGEST {
        return Err(Failure::unusable(format!(
            "`{shown}` is larger than {} MB; is it the right file?",
            LARGEST / 1024 / 1024
        )));
    }
    String::from_utf8(bytes).map_err(|error| {
        let line = 1 + error
            .as_bytes()
            .iter()
            .take(error.utf8_error().valid_up_to())
            .filter(|byte| **byte == b'\n')
            .count();
        Failure::unusable(format!("`{shown}` is no text in UTF-8 (line {line}); save it as UTF-8"))
    })
}

/// A file that will be written whole or not at all.
///
/// The place is tried out at once, so that a folder that is missing or may not be written to is
/// told before the work and not after it.
#[derive(Debug)]
pub(super) struct Target {
    path: PathBuf,
    draft: PathBuf,
    file: Option<fs::File>,
}

impl Target {
    /// Prepares to write a file.
    ///
    /// # Errors
    /// When nothing can be written there.
    pub(super) fn prepare(path: &Path) -> Result<Self, Failure> {
        let shown = path.display();
        let Some(name) = path.file_name().filter(|_| !path.is_dir()) else {
            return Err(Failure::unusable(format!(
                "`{shown}` is a folder; give the name of a file"
            )));
        };
        let mut draft = name.to_os_string();
        draft.push(format!(".{}.draft", std::process::id()));
        let draft = path.with_file_name(draft);
        let file = fs::OpenOptions::new().write(true).create_new(true).open(&draft);
        let file = file.map_err(|error| {
            Failure::unusable(format!("`{shown}` cannot be written: {}", plainly(&error)))
        })?;
        Ok(Self { path: path.to_owned(), draft, file: Some(file) })
    }

    /// Writes the bytes and puts the file in its place.
    ///
    /// # Errors
    /// When writing fails; the file that was there before is then still there.
    pub(super) fn write(mut self, bytes: &[u8]) -> Result<(), Failure> {
        let written = self.file.take().map_or(Ok(()), |mut file| {
            file.write_all(bytes)?;
            file.sync_all()?;
            fs::rename(&self.draft, &self.path)
        });
        written.map_err(|error| {
            let shown = self.path.display();
            let _ = fs::remove_file(&self.draft);
            Failure::unusable(format!("`{shown}` cannot be written: {}", plainly(&error)))
        })
    }
}

impl Drop for Target {
    /// A run that could not finish leaves nothing behind.
    fn drop(&mut self) {
        if self.file.take().is_some() {
            let _ = fs::remove_file(&self.draft);
        }
    }
}

/// Writes a new file that only its owner can read.
pub(super) fn write_privately(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let mut options = fs::OpenOptions::new();
    options.write(true).create_new(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    let mut file = options.open(path)?;
    file.write_all(bytes)?;
    file.sync_all()
}

/// What the system said, in words that tell what to do where there are any.
pub(super) fn plainly(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::NotFound => "there is no such file or folder; look at the name".into(),
        io::ErrorKind::PermissionDenied => "it may not be opened; look at its permissions".into(),
        _ => error.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn text(failure: Failure) -> String {
        match failure {
            Failure::Unusable(text) => text,
            Failure::NobodyReads => String::new(),
        }
    }

    fn names(folder: &Path) -> Vec<String> {
        let entries = fs::read_dir(folder).unwrap();
        entries.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect()
    }

    #[test]
    fn a_file_is_written_whole() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("sheet.txt");
        Target::prepare(&path).unwrap().write(b"one").unwrap();
        Target::prepare(&path).unwrap().write(b"two").unwrap();
        assert_eq!(read_text(&path).unwrap(), "two");
        assert_eq!(names(folder.path()), ["sheet.txt"]);
    }

    #[test]
    fn a_run_that_does_not_finish_leaves_the_old_file_alone() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("sheet.txt");
        fs::write(&path, "old").unwrap();
        drop(Target::prepare(&path).unwrap());
        assert_eq!(fs::read_to_string(&path).unwrap(), "old");
        assert_eq!(names(folder.path()), ["sheet.txt"]);
    }

    #[test]
    fn refuses_to_write_over_a_folder_or_into_a_missing_one() {
        let folder = tempfile::tempdir().unwrap();
        let shown = folder.path().display();
        assert_eq!(
            text(Target::prepare(folder.path()).unwrap_err()),
            format!("`{shown}` is a folder; give the name of a file")
        );
        let missing = folder.path().join("none").join("sheet.txt");
        assert_eq!(
            text(Target::prepare(&missing).unwrap_err()),
            format!(
                "`{}` cannot be written: there is no such file or folder; look at the name",
                missing.display()
            )
        );
    }

    #[test]
    fn refuses_to_read_what_is_no_text() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("layout.txt");
        fs::write(&path, b"fine\nnot \xff fine").unwrap();
        assert_eq!(
            text(read_text(&path).unwrap_err()),
            format!("`{}` is no text in UTF-8 (line 2); save it as UTF-8", path.display())
        );
    }
}
