//! Why a record could not be read or written.

use std::fmt;

use rusqlite::ErrorCode;

/// Why a record could not be read or written.
#[derive(Debug)]
pub enum RecordError {
    /// The file is no record of ours, or is damaged.
    Damaged(String),
    /// The file was written by a later version of the program.
    Newer {
        /// The version of the file.
        found: usize,
        /// The latest version this program knows.
        known: usize,
    },
    /// Another process held the file for too long.
    Busy,
    /// The file could not be opened, read or written.
    Failed(String),
}

impl fmt::Display for RecordError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Damaged(why) => write!(
                f,
                "expected a record of attempts, found a damaged or foreign file ({why}); it was left \
                 as it is: move it away to begin a new record, or bring back a copy of it"
            ),
            Self::Newer { found, known } => write!(
                f,
                "expected a record of version {known} or earlier, found version {found}; use the \
                 newer program that wrote it"
            ),
            Self::Busy => f.write_str(
                "another program holds the record; close it, or wait a moment and try again",
            ),
            Self::Failed(why) => {
                write!(f, "the record could not be used: {why}; check the folder and free space")
            }
        }
    }
}

impl std::error::Error for RecordError {}

impl From<rusqlite::Error> for RecordError {
    fn from(error: rusqlite::Error) -> Self {
        match error.sqlite_error_code() {
            Some(ErrorCode::DatabaseCorrupt | ErrorCode::NotADatabase) => {
                Self::Damaged(error.to_string())
            }
            Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => Self::Busy,
            _ => Self::Failed(error.to_string()),
        }
    }
}
