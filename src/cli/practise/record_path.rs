//! Where the record of attempts lies.

use std::env;
use std::fs;
use std::path::{Path, PathBuf};

use castmark::practice::{RecordError, RecordFile};

use crate::cli::disk::plainly;
use crate::cli::outcome::Failure;

/// The variable that names the record when no option does.
const VARIABLE: &str = "CASTMARK_RECORD";

/// The name of the file in the folder for data.
const FILE: &str = "record.sqlite";

/// The file of the record: the one of the option, that of the variable, or the one in the folder in
/// which this machine keeps the data of programs.
///
/// # Errors
/// When the machine tells no such folder.
pub(super) fn find(option: Option<&Path>) -> Result<PathBuf, Failure> {
    let told = option.map(Path::to_path_buf);
    let set = || filled(VARIABLE).map(PathBuf::from);
    told.or_else(set).or_else(|| Some(data_folder()?.join("castmark").join(FILE))).ok_or_else(|| {
        Failure::unusable(
            "this machine tells no folder for the data of programs; say where the record of your \
             answers is to be kept with --record FILE",
        )
    })
}

/// Opens the record, making it and its folder where there is none.
///
/// # Errors
/// When it is damaged, foreign or cannot be opened, with what to do.
pub(super) fn open(path: &Path) -> Result<RecordFile, Failure> {
    plain_file(path)?;
    if let Some(folder) = path.parent().filter(|folder| !folder.as_os_str().is_empty()) {
        fs::create_dir_all(folder).map_err(|error| {
            let shown = folder.display();
            Failure::unusable(format!("the folder `{shown}` cannot be made: {}", plainly(&error)))
        })?;
    }
    RecordFile::open(path).map_err(|error| about(path, &error))
}

/// Opens a record that is there already; `None` when there is none.
///
/// # Errors
/// When it is damaged, foreign or cannot be opened, with what to do.
pub(super) fn open_old(path: &Path) -> Result<Option<RecordFile>, Failure> {
    if path.exists() { open(path).map(Some) } else { Ok(None) }
}

/// Opens a record that is there already to read it, even where it cannot be written; `None` when
/// there is none. One of an older version is brought up to date first.
///
/// # Errors
/// When it is damaged, foreign or cannot be opened, with what to do.
pub(super) fn open_to_read(path: &Path) -> Result<Option<RecordFile>, Failure> {
    if !path.exists() {
        return Ok(None);
    }
    plain_file(path)?;
    match RecordFile::open_to_read(path) {
        Ok(record) => Ok(Some(record)),
        Err(RecordError::Failed(_) | RecordError::Busy) => open(path).map(Some),
        Err(error) => Err(about(path, &error)),
    }
}

/// Refuses what is no plain file: nobody may ever write to a pipe.
fn plain_file(path: &Path) -> Result<(), Failure> {
    if fs::metadata(path).is_ok_and(|there| !there.is_file()) {
        return Err(Failure::unusable(format!(
            "`{}` is a folder, a device or a pipe, not a record; give the name of a file",
            path.display()
        )));
    }
    Ok(())
}

/// A mistake of the record with the file it is about.
pub(super) fn about(path: &Path, error: &RecordError) -> Failure {
    Failure::unusable(format!("`{}`: {error}", path.display()))
}

/// The folder for the data of programs: what the platform's own rules name.
fn data_folder() -> Option<PathBuf> {
    if cfg!(windows) {
        return filled("APPDATA").map(PathBuf::from);
    }
    let home = || filled("HOME").map(PathBuf::from);
    if cfg!(target_os = "macos") {
        return Some(home()?.join("Library").join("Application Support"));
    }
    // A relative path there is to be taken for none (XDG base directory specification).
    let named = filled("XDG_DATA_HOME").map(PathBuf::from).filter(|folder| folder.is_absolute());
    named.or_else(|| Some(home()?.join(".local").join("share")))
}

fn filled(variable: &str) -> Option<std::ffi::OsString> {
    env::var_os(variable).filter(|value| !value.is_empty())
}
