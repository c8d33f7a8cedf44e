//! The file that holds the secret of a set of papers.

use std::fs;
use std::path::{Path, PathBuf};

use castmark::paper::{Secret, SecretFile};
use rand::TryRng;
use rand::rngs::SysRng;

use super::super::disk::{Readers, Target, keep_privately, plainly, read_text};
use super::super::outcome::Failure;

/// Where the secret of the papers in a folder lies when nobody says otherwise: beside the folder, not
/// among what is printed.
pub(super) fn usual_path(folder: &Path) -> PathBuf {
    let mut name = folder.file_name().unwrap_or_default().to_os_string();
    name.push(".secret");
    folder.with_file_name(name)
}

/// The secret of the file; nothing when there is no such file.
///
/// # Errors
/// When the file cannot be read or holds no secret.
pub(super) fn read(path: &Path) -> Result<Option<SecretFile>, Failure> {
    if !path.exists() {
        return Ok(None);
    }
    let secret = SecretFile::read(&read_text(path)?);
    let shown = path.display();
    secret.map(Some).map_err(|problem| Failure::unusable(format!("`{shown}`: {problem}")))
}

/// A new secret from the random numbers of the operating system.
///
/// # Errors
/// When the system has none.
pub(super) fn new() -> Result<SecretFile, Failure> {
    let mut bytes = [0; 32];
    SysRng.try_fill_bytes(&mut bytes).map_err(|error| {
        Failure::unusable(format!(
            "the operating system gave no random numbers: {error}; try again later"
        ))
    })?;
    Ok(SecretFile::new(Secret::new(bytes)))
}

/// Keeps a secret in its file: a new one that only its owner can read, or the one that it was read
/// from.
///
/// # Errors
/// When a new file is there already, or nothing can be written.
pub(super) fn keep(path: &Path, secret: &SecretFile, is_new: bool) -> Result<(), Failure> {
    if !is_new {
        return Target::prepare(path, Readers::OwnerOnly)?.write(secret.write().as_bytes());
    }
    keep_privately(path, secret.write().as_bytes()).map_err(|error| {
        let shown = path.display();
        Failure::unusable(format!("the secret cannot be kept in `{shown}`: {}", plainly(&error)))
    })
}

/// Whether others on the machine can read the file.
pub(super) fn is_open_to_others(path: &Path) -> bool {
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        fs::metadata(path).is_ok_and(|metadata| metadata.permissions().mode() & 0o077 != 0)
    }
    #[cfg(not(unix))]
    {
        let _ = path;
        false
    }
}
