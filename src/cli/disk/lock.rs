//! One run at a time on a folder.

use std::fs::{self, File, OpenOptions};
use std::io::{self, Read, Seek, Write};
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};
use std::{process, thread};

use fs4::{FileExt, TryLockError};

use super::super::outcome::Failure;
use super::super::terminal::Terminal;
use super::paths::{beside, clear_drafts};
use super::reading::plainly;

/// How long another run is waited for.
const PATIENCE: Duration = Duration::from_secs(10);

/// How long to wait between two looks.
const PAUSE: Duration = Duration::from_millis(50);

/// An exclusive lock on a folder, held from reading its old state until the new one is in place. The
/// operating system lets go of it when the process ends, however it ends.
#[derive(Debug)]
pub(in super::super) struct Lock {
    path: PathBuf,
    file: File,
}

impl Lock {
    /// Locks a folder, which need not be there yet. Another run is waited for, for a short while.
    /// What runs that were stopped have left beside the folder is removed.
    ///
    /// # Errors
    /// When another run keeps the folder, or nothing can be written beside it.
    pub(in super::super) fn take(folder: &Path, terminal: &mut Terminal) -> Result<Self, Failure> {
        if folder.file_name().is_none() {
            let shown = folder.display();
            return Err(Failure::unusable(format!(
                "`{shown}` is not the name of a folder; give one"
            )));
        }
        Self::within(folder, PATIENCE, &mut |text| terminal.note(text))
    }

    fn within(
        folder: &Path,
        patience: Duration,
        note: &mut dyn FnMut(String),
    ) -> Result<Self, Failure> {
        let shown = folder.display();
        let path = beside(folder, "lock");
        let cannot = |error: &io::Error| {
            Failure::unusable(format!("`{shown}` cannot be written: {}", plainly(error)))
        };
        let begin = Instant::now();
        let mut waiting = false;
        loop {
            let mut file = open(&path).map_err(|error| cannot(&error))?;
            match FileExt::try_lock(&file) {
                Ok(()) if !is_at(&file, &path) => {}
                Ok(()) => {
                    if let Some(dead) = writer(&mut file) {
                        note(format!(
                            "an earlier run on {shown} (process {dead}) stopped before it had \
                             finished; its unfinished files are removed"
                        ));
                    }
                    clear_drafts(folder);
                    sign(&mut file).map_err(|error| cannot(&error))?;
                    return Ok(Self { path, file });
                }
                Err(TryLockError::WouldBlock) => {
                    let other = writer(&mut file)
                        .map(|number| format!(" (process {number})"))
                        .unwrap_or_default();
                    if begin.elapsed() >= patience {
                        return Err(Failure::unusable(format!(
                            "another run of castmark{other} is still writing `{shown}`; wait until \
                             it has finished, then run this command again"
                        )));
                    }
                    if !waiting {
                        note(format!(
                            "another run of castmark{other} is writing {shown}; waiting for it"
                        ));
                        waiting = true;
                    }
                    thread::sleep(PAUSE);
                }
                Err(TryLockError::Error(error)) => return Err(cannot(&error)),
            }
        }
    }
}

impl Drop for Lock {
    fn drop(&mut self) {
        // The name goes before the lock does: whoever waits for the lock sees that the file they
        // opened is no longer the one of that name, and opens the next one.
        let _ = self.file.set_len(0);
        let _ = fs::remove_file(&self.path);
        let _ = FileExt::unlock(&self.file);
    }
}

fn open(path: &Path) -> io::Result<File> {
    let mut options = OpenOptions::new();
    options.read(true).write(true).create(true).truncate(false);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    options.open(path)
}

/// Whether the file that was locked is still the one of that name.
fn is_at(file: &File, path: &Path) -> bool {
    #[cfg(unix)]
    {
        use std::os::unix::fs::MetadataExt;
        let (Ok(mine), Ok(there)) = (file.metadata(), fs::metadata(path)) else { return false };
        (mine.dev(), mine.ino()) == (there.dev(), there.ino())
    }
    #[cfg(not(unix))]
    {
        // There a file cannot be removed while somebody has it open.
        let _ = file;
        path.exists()
    }
}

/// The process that has written its number into the file.
fn writer(file: &mut File) -> Option<u32> {
    let mut text = String::new();
    file.rewind().ok()?;
    file.take(20).read_to_string(&mut text).ok()?;
    text.trim().parse().ok()
}

fn sign(file: &mut File) -> io::Result<()> {
    file.set_len(0)?;
    file.rewind()?;
    write!(file, "{}", process::id())
}

#[cfg(test)]
mod tests {
    use super::super::super::outcome::text_of;
    use super::*;

    fn take(folder: &Path) -> Result<Lock, Failure> {
        Lock::within(folder, Duration::from_millis(120), &mut |_| {})
    }

    #[test]
    fn a_second_run_is_refused_with_who_and_what() {
        let folder = tempfile::tempdir().unwrap();
        let papers = folder.path().join("papers");
        let first = take(&papers).unwrap();
        assert_eq!(
            text_of(take(&papers).unwrap_err()),
            format!(
                "another run of castmark (process {}) is still writing `{}`; wait until it has \
                 finished, then run this command again",
                process::id(),
                papers.display()
            )
        );
        drop(first);
        drop(take(&papers).unwrap());
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 0);
    }

    #[test]
    fn the_lock_and_the_drafts_of_a_dead_run_are_taken_over() {
        let folder = tempfile::tempdir().unwrap();
        let papers = folder.path().join("papers");
        fs::write(beside(&papers, "lock"), "4000000").unwrap();
        let draft = beside(&papers, "draft-4000000");
        fs::create_dir(&draft).unwrap();
        fs::write(draft.join("manifest.jsonl"), "half").unwrap();
        drop(take(&papers).unwrap());
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 0);
    }

    #[test]
    fn whoever_waits_gets_the_lock_when_it_is_free_and_never_two_at_once() {
        let folder = tempfile::tempdir().unwrap();
        let papers = folder.path().join("papers");
        let inside = std::sync::atomic::AtomicUsize::new(0);
        thread::scope(|scope| {
            for _ in 0..8 {
                scope.spawn(|| {
                    use std::sync::atomic::Ordering::SeqCst;
                    let lock = Lock::within(&papers, PATIENCE, &mut |_| {}).unwrap();
                    assert_eq!(inside.fetch_add(1, SeqCst), 0);
                    thread::sleep(Duration::from_millis(5));
                    inside.fetch_sub(1, SeqCst);
                    drop(lock);
                });
            }
        });
    }
}
