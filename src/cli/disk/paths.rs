//! Where something is written: links followed, hidden neighbours named, folders synced.

use std::ffi::{OsStr, OsString};
use std::io;
use std::path::{Path, PathBuf};
use std::{fs, process};

use fs4::FileExt;

use super::super::outcome::Failure;

/// How many links are followed before the path counts as a circle.
const MOST_LINKS: usize = 40;

/// The path behind symbolic links, so that what a link points to is written and the link stays.
///
/// # Errors
/// When the links lead nowhere.
pub(in super::super) fn real_path(path: &Path) -> Result<PathBuf, Failure> {
    let mut real = path.to_owned();
    for _ in 0..MOST_LINKS {
        let Ok(next) = fs::read_link(&real) else { return Ok(real) };
        real = match real.parent() {
            Some(parent) => parent.join(next),
            None => next,
        };
    }
    let shown = path.display();
    Err(Failure::unusable(format!("`{shown}` is a link that leads to itself; remove it")))
}

/// A hidden neighbour of a file or folder: `.papers.lock.castmark`.
pub(super) fn beside(path: &Path, what: &str) -> PathBuf {
    let mut name = prefix(path);
    name.push(what);
    name.push(ENDING);
    path.with_file_name(name)
}

/// A hidden neighbour that no other process uses.
pub(super) fn own_draft(path: &Path) -> PathBuf {
    beside(path, &format!("draft-{}", process::id()))
}

/// Removes drafts that runs which are no longer alive have left beside a file or folder. A draft is
/// locked while its writer lives.
pub(super) fn clear_drafts(path: &Path) -> usize {
    let start = prefix(path);
    let start = start.to_string_lossy();
    let start = format!("{start}draft-");
    let folder = match path.parent() {
        Some(parent) if parent != Path::new("") => parent,
        _ => Path::new("."),
    };
    let mut cleared = 0;
    for entry in fs::read_dir(folder).into_iter().flatten().flatten() {
        let name = entry.file_name();
        let name = name.to_string_lossy();
        if !(name.starts_with(&start) && name.ends_with(ENDING)) {
            continue;
        }
        let stale = entry.path();
        let removed = if stale.is_dir() {
            // The lock on the whole folder is held here, so nobody else writes this draft.
            fs::remove_dir_all(&stale)
        } else {
            fs::File::open(&stale).and_then(|file| match FileExt::try_lock(&file) {
                Ok(()) => fs::remove_file(&stale),
                Err(_) => Err(io::Error::from(io::ErrorKind::WouldBlock)),
            })
        };
        cleared += usize::from(removed.is_ok());
    }
    cleared
}

/// Makes sure that the names in a folder survive a power cut.
///
/// # Errors
/// When the system says so.
pub(super) fn sync_folder(folder: &Path) -> io::Result<()> {
    let folder = if folder == Path::new("") { Path::new(".") } else { folder };
    // Only there can a folder be opened like a file.
    if cfg!(unix) { fs::File::open(folder)?.sync_all() } else { Ok(()) }
}

/// Lets two folders change places at one stroke, so that at no moment either name is without one.
///
/// # Errors
/// When the system or the file system has no such stroke.
#[cfg(target_os = "linux")]
pub(super) fn exchange(one: &Path, other: &Path) -> io::Result<()> {
    use rustix::fs::{CWD, RenameFlags, renameat_with};
    Ok(renameat_with(CWD, one, CWD, other, RenameFlags::EXCHANGE)?)
}

/// Lets two folders change places at one stroke, which is not known to be possible here.
///
/// # Errors
/// Always.
#[cfg(not(target_os = "linux"))]
pub(super) fn exchange(_: &Path, _: &Path) -> io::Result<()> {
    Err(io::ErrorKind::Unsupported.into())
}

/// How the names of hidden neighbours end.
const ENDING: &str = ".castmark";

/// How the names of hidden neighbours begin.
fn prefix(path: &Path) -> OsString {
    let mut name = OsString::from(".");
    name.push(path.file_name().unwrap_or(OsStr::new("")));
    name.push(".");
    name
}
