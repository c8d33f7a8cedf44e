//! A file that is written either completely or not at all.

use std::fs::{self, File, OpenOptions};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use fs4::FileExt;

use super::super::outcome::Failure;
use super::paths::{clear_drafts, own_draft, real_path, sync_folder};
use super::reading::plainly;

/// Who may read a file that is new. A file that is replaced keeps its permissions.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in super::super) enum Readers {
    /// Whoever the system lets read new files.
    Usual,
    /// Only the owner: the file holds answers or marks.
    OwnerOnly,
}

/// A file that will be written either completely or not at all.
///
/// The place is checked at once, so that a missing folder or a file that must not be replaced is
/// reported before the work and not after it.
#[derive(Debug)]
pub(in super::super) struct Target {
    path: PathBuf,
    draft: PathBuf,
    file: Option<File>,
    /// The permissions of the file that is replaced.
    permissions: Option<fs::Permissions>,
}

impl Target {
    /// Prepares to write a file; what a link points to is written, and the link stays.
    ///
    /// # Errors
    /// When nothing can be written there, or something other than a plain file is there.
    pub(in super::super) fn prepare(path: &Path, readers: Readers) -> Result<Self, Failure> {
        let shown = path.display();
        let path = real_path(path)?;
        if path.file_name().is_none() || path.is_dir() {
            return Err(Failure::unusable(format!(
                "`{shown}` is a folder; give the name of a file"
            )));
        }
        let permissions = match fs::metadata(&path) {
            Err(_) => None,
            Ok(there) if !there.is_file() => {
                return Err(Failure::unusable(format!(
                    "`{shown}` is a device or a pipe, not a file; give the name of a file, or leave \
                     the option out and redirect the output"
                )));
            }
            Ok(there) if there.permissions().readonly() => {
                return Err(Failure::unusable(format!(
                    "`{shown}` is read-only; give another name, or allow writing to it"
                )));
            }
            Ok(there) => Some(there.permissions()),
        };
        clear_drafts(&path);
        let draft = own_draft(&path);
        let file = open_new(&draft, readers).map_err(|error| {
            Failure::unusable(format!("`{shown}` cannot be written: {}", plainly(&error)))
        })?;
        // A lock is only there to tell a living writer from a dead one.
        let _ = FileExt::try_lock(&file);
        Ok(Self { path, draft, file: Some(file), permissions })
    }

    /// Writes the bytes and puts the file in its place.
    ///
    /// # Errors
    /// When writing fails; the file that was there before is then still there.
    pub(in super::super) fn write(mut self, bytes: &[u8]) -> Result<(), Failure> {
        let written = self.file.take().map_or(Ok(()), |mut file| {
            file.write_all(bytes)?;
            if let Some(permissions) = self.permissions.take() {
                file.set_permissions(permissions)?;
            }
            file.sync_all()?;
            fs::rename(&self.draft, &self.path)?;
            sync_folder(self.path.parent().unwrap_or(Path::new("")))
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

/// Writes a new file that only its owner can read; a crash leaves either all of it or nothing.
///
/// # Errors
/// When the file is there already or cannot be written.
pub(in super::super) fn keep_privately(path: &Path, bytes: &[u8]) -> io::Result<()> {
    clear_drafts(path);
    let draft = own_draft(path);
    let kept = write_privately(&draft, bytes).and_then(|()| {
        // Unlike a rename, a link never replaces a file that somebody else has just put there. Where
        // there are no links, the lock on the folder must do.
        fs::hard_link(&draft, path).or_else(|error| match error.kind() {
            io::ErrorKind::AlreadyExists => Err(error),
            _ if path.exists() => Err(io::ErrorKind::AlreadyExists.into()),
            _ => fs::rename(&draft, path),
        })
    });
    let _ = fs::remove_file(&draft);
    kept?;
    sync_folder(path.parent().unwrap_or(Path::new("")))
}

/// Writes a new file that only its owner can read.
///
/// # Errors
/// When the file is there already or cannot be written.
fn write_privately(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let mut file = open_new(path, Readers::OwnerOnly)?;
    file.write_all(bytes)?;
    file.sync_all()
}

fn open_new(path: &Path, readers: Readers) -> io::Result<File> {
    let mut options = OpenOptions::new();
    options.write(true).create_new(true);
    #[cfg(unix)]
    if readers == Readers::OwnerOnly {
        std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    }
    #[cfg(not(unix))]
    let _ = readers;
    options.open(path)
}

#[cfg(test)]
mod tests {
    use super::super::super::outcome::text_of;
    use super::*;

    fn names(folder: &Path) -> Vec<String> {
        let entries = fs::read_dir(folder).unwrap();
        let mut names: Vec<String> =
            entries.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
        names.sort();
        names
    }

    fn prepare(path: &Path) -> Result<Target, Failure> {
        Target::prepare(path, Readers::Usual)
    }

    #[test]
    fn a_file_is_written_whole() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("sheet.txt");
        prepare(&path).unwrap().write(b"one").unwrap();
        prepare(&path).unwrap().write(b"two").unwrap();
        assert_eq!(fs::read(&path).unwrap(), b"two");
        assert_eq!(names(folder.path()), ["sheet.txt"]);
    }

    #[test]
    fn a_run_that_does_not_finish_leaves_the_old_file_alone() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("sheet.txt");
        fs::write(&path, "old").unwrap();
        drop(prepare(&path).unwrap());
        assert_eq!(fs::read_to_string(&path).unwrap(), "old");
        assert_eq!(names(folder.path()), ["sheet.txt"]);
    }

    #[test]
    fn the_draft_of_a_run_that_was_killed_is_removed_and_that_of_a_living_one_is_not() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("sheet.txt");
        fs::write(folder.path().join(".sheet.txt.draft-1.castmark"), "half a k").unwrap();
        let living = folder.path().join(".sheet.txt.draft-2.castmark");
        fs::write(&living, "half").unwrap();
        let held = File::open(&living).unwrap();
        FileExt::try_lock(&held).unwrap();
        prepare(&path).unwrap().write(b"new").unwrap();
        assert_eq!(names(folder.path()), [".sheet.txt.draft-2.castmark", "sheet.txt"]);
    }

    #[test]
    fn refuses_to_replace_a_folder_or_to_write_into_a_missing_one() {
        let folder = tempfile::tempdir().unwrap();
        let shown = folder.path().display();
        assert_eq!(
            text_of(prepare(folder.path()).unwrap_err()),
            format!("`{shown}` is a folder; give the name of a file")
        );
        let missing = folder.path().join("none").join("sheet.txt");
        assert_eq!(
            text_of(prepare(&missing).unwrap_err()),
            format!(
                "`{}` cannot be written: there is no such file or folder; check the name",
                missing.display()
            )
        );
    }

    #[test]
    fn a_file_that_is_there_is_never_replaced_by_a_secret() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("papers.secret");
        keep_privately(&path, b"first").unwrap();
        let again = keep_privately(&path, b"second").unwrap_err();
        assert_eq!(again.kind(), io::ErrorKind::AlreadyExists);
        assert_eq!(fs::read(&path).unwrap(), b"first");
        assert_eq!(names(folder.path()), ["papers.secret"]);
    }

    #[cfg(unix)]
    mod on_unix {
        use std::os::unix::fs::{PermissionsExt, symlink};

        use super::*;

        fn mode(path: &Path) -> u32 {
            fs::metadata(path).unwrap().permissions().mode() & 0o777
        }

        #[test]
        fn what_a_link_points_to_is_written_and_the_link_stays() {
            let folder = tempfile::tempdir().unwrap();
            let (real, link) = (folder.path().join("real.txt"), folder.path().join("link.txt"));
            fs::write(&real, "old").unwrap();
            symlink("real.txt", &link).unwrap();
            prepare(&link).unwrap().write(b"new").unwrap();
            assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
            assert_eq!(fs::read(&real).unwrap(), b"new");
            let circle = folder.path().join("circle");
            symlink("circle", &circle).unwrap();
            assert_eq!(
                text_of(prepare(&circle).unwrap_err()),
                format!("`{}` is a link that leads to itself; remove it", circle.display())
            );
        }

        #[test]
        fn permissions_are_kept_and_a_new_key_is_for_its_owner() {
            let folder = tempfile::tempdir().unwrap();
            let path = folder.path().join("key.txt");
            let key = Target::prepare(&path, Readers::OwnerOnly).unwrap();
            assert_eq!(mode(&key.draft), 0o600);
            key.write(b"A").unwrap();
            assert_eq!(mode(&path), 0o600);
            fs::set_permissions(&path, fs::Permissions::from_mode(0o640)).unwrap();
            prepare(&path).unwrap().write(b"B").unwrap();
            assert_eq!(mode(&path), 0o640);
        }

        #[test]
        fn devices_pipes_and_read_only_files_are_refused() {
            let device = text_of(prepare(Path::new("/dev/null")).unwrap_err());
            assert_eq!(
                device,
                "`/dev/null` is a device or a pipe, not a file; give the name of a file, or leave \
                 the option out and redirect the output"
            );
            let folder = tempfile::tempdir().unwrap();
            let path = folder.path().join("sheet.txt");
            fs::write(&path, "old").unwrap();
            fs::set_permissions(&path, fs::Permissions::from_mode(0o444)).unwrap();
            assert_eq!(
                text_of(prepare(&path).unwrap_err()),
                format!(
                    "`{}` is read-only; give another name, or allow writing to it",
                    path.display()
                )
            );
        }
    }
}
