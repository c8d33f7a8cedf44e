//! Where attempts are kept.

use std::collections::BTreeMap;
use std::fmt;

use super::{Attempt, Progress, Settings, Unfinished, day_of};

/// The attempts of a student, wherever they are kept.
///
/// An attempt is safe when [`add`](Self::add) returns; only then is the student given a verdict.
pub trait Record {
    /// Adds an attempt and returns the progress of its topic after it. An attempt that ends its
    /// problem takes it from the unfinished ones.
    ///
    /// # Errors
    /// Returns an error if the record cannot be written; then nothing was added.
    fn add(&mut self, attempt: &Attempt, settings: &Settings) -> Result<Progress, RecordError>;

    /// Returns the progress of every topic tried, in the order of their ids.
    ///
    /// # Errors
    /// Returns an error if the record cannot be read.
    fn progress(&mut self, settings: &Settings) -> Result<Vec<Progress>, RecordError>;

    /// Returns the number of attempts.
    ///
    /// # Errors
    /// Returns an error if the record cannot be read.
    fn count(&self) -> Result<u64, RecordError>;

    /// Passes every attempt, oldest first, to a function.
    ///
    /// # Errors
    /// Returns an error if the record cannot be read.
    fn each(&self, take: &mut dyn FnMut(Attempt)) -> Result<(), RecordError>;

    /// Returns how many problems ended on each day.
    ///
    /// # Errors
    /// Returns an error if the record cannot be read.
    fn ended_by_day(&self) -> Result<BTreeMap<i64, usize>, RecordError> {
        let mut days = BTreeMap::new();
        self.each(&mut |attempt| {
            if attempt.ended.is_some() {
                *days.entry(day_of(attempt.at)).or_default() += 1;
            }
        })?;
        Ok(days)
    }

    /// Returns the problems that were begun and not ended, oldest first, each with what was answered so
    /// far. Two sessions on one record may each have one on the table.
    ///
    /// # Errors
    /// Returns an error if the record cannot be read.
    fn unfinished(&self) -> Result<Vec<Unfinished>, RecordError>;

    /// Notes that a problem is begun, so that it can be continued after a stop at any moment.
    ///
    /// # Errors
    /// Returns an error if the record cannot be written.
    fn begin(&mut self, code: &str, missing: u32) -> Result<(), RecordError>;

    /// Notes how many hints were read for the question that is next.
    ///
    /// # Errors
    /// Returns an error if the record cannot be written.
    fn note_hints(&mut self, code: &str, hints: u32) -> Result<(), RecordError>;

    /// Keeps a written answer until it has been marked point by point and can be added.
    ///
    /// # Errors
    /// Returns an error if the record cannot be written.
    fn note_written(&mut self, code: &str, answer: &str) -> Result<(), RecordError>;

    /// Takes a problem from the unfinished ones without an attempt.
    ///
    /// # Errors
    /// Returns an error if the record cannot be written.
    fn leave(&mut self, code: &str) -> Result<(), RecordError>;
}

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
