//! The record of attempts: one SQLite file on the student's own machine.

mod schema;
mod rows;
mod begun;
#[cfg(test)]
mod tests;

use std::collections::BTreeMap;
use std::path::Path;

use rusqlite::{Connection, ErrorCode, OptionalExtension, TransactionBehavior};

use begun::{begin, begin_again, unfinished};
use rows::{SELECT_ATTEMPTS, advance, attempt_from, insert, keep, progress_from};

use super::{Attempt, Progress, Record, RecordError, Settings, Unfinished, joined};

/// A record in a file.
///
/// An attempt is on the disk when [`add`](Record::add) returns: the file is written ahead and synced
/// for each, so a process killed at any moment loses nothing that was added. Two processes may write
/// to one record; the second waits.
#[derive(Debug)]
pub struct RecordFile {
    connection: Connection,
}

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

impl RecordFile {
    /// Opens the record at the path, making it when there is none.
    ///
    /// # Errors
    /// When the file is damaged, foreign, newer, held by another process, or not to be opened.
    pub fn open(path: &Path) -> Result<Self, RecordError> {
        Ok(Self { connection: schema::open(path)? })
    }

    /// Opens a record that is there to read it; nothing of it is changed, so that it may be in a place
    /// that cannot be written.
    ///
    /// # Errors
    /// When the file is damaged, foreign, of another version, or not to be opened.
    pub fn open_to_read(path: &Path) -> Result<Self, RecordError> {
        Ok(Self { connection: schema::open_to_read(path)? })
    }

    /// A record in memory, for trying things out.
    pub fn in_memory() -> Result<Self, RecordError> {
        Ok(Self { connection: schema::prepare(Connection::open_in_memory()?)? })
    }

    fn rebuild(&mut self, settings: &Settings, wanted: &str) -> Result<Vec<Progress>, RecordError> {
        let topics = self.worked_out(settings)?;
        if self.connection.is_readonly(rusqlite::MAIN_DB)? {
            return Ok(topics);
        }
        let change = self.connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        change.execute("DELETE FROM progress", [])?;
        for progress in &topics {
            keep(&change, progress)?;
        }
        change.execute("INSERT OR REPLACE INTO kept VALUES ('settings', ?)", [wanted])?;
        change.commit()?;
        Ok(topics)
    }

    /// The progress of every topic, from all attempts.
    fn worked_out(&self, settings: &Settings) -> Result<Vec<Progress>, RecordError> {
        let mut topics: BTreeMap<String, Progress> = BTreeMap::new();
        let mut statement = self.connection.prepare(&format!("{SELECT_ATTEMPTS} ORDER BY id"))?;
        let mut rows = statement.query([])?;
        while let Some(row) = rows.next()? {
            let (number, attempt) = attempt_from(row)?;
            let before = topics.remove(&attempt.topic);
            let after = Progress::after(before, &attempt, number, settings);
            topics.insert(attempt.topic, after);
        }
        Ok(topics.into_values().collect())
    }

    /// Takes in the attempts of another record that are not here yet, in the order of their moments,
    /// and returns how many they were.
    ///
    /// # Errors
    /// Returns an error if the record cannot be read or written; then it is as it was.
    pub fn join(&mut self, others: Vec<Attempt>) -> Result<usize, RecordError> {
        let change = self.connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let here = {
            let mut statement = change.prepare(&format!("{SELECT_ATTEMPTS} ORDER BY id"))?;
            let rows = statement.query_map([], attempt_from)?;
            rows.map(|row| row.map(|(_, attempt)| attempt)).collect::<rusqlite::Result<Vec<_>>>()?
        };
        let begun = unfinished(&change)?;
        let before = here.len();
        let all = joined(here, others);
        let new = all.len() - before;
        if new > 0 {
            // The number of an attempt is its place in time, so all are written again.
            change
                .execute_batch("DELETE FROM attempts; DELETE FROM kept; DELETE FROM unfinished;")?;
            for attempt in &all {
                insert(&change, attempt)?;
            }
            for begun in &begun {
                begin_again(&change, begun)?;
            }
        }
        change.commit()?;
        Ok(new)
    }

    /// Removes every attempt and all progress, and gives the space back.
    pub fn forget(&mut self) -> Result<(), RecordError> {
        let change = self.connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        change.execute_batch(
            "DELETE FROM attempts; DELETE FROM progress; DELETE FROM kept; DELETE FROM unfinished;",
        )?;
        change.commit()?;
        // The log still holds what was deleted until it is folded into the rewritten file.
        self.connection.execute_batch("VACUUM; PRAGMA wal_checkpoint(TRUNCATE);")?;
        Ok(())
    }

    /// Reads the whole file and reports damage.
    pub fn verify(&self) -> Result<(), RecordError> {
        let answer: String =
            self.connection.query_row("PRAGMA integrity_check", [], |row| row.get(0))?;
        if answer == "ok" { Ok(()) } else { Err(RecordError::Damaged(answer)) }
    }
}

impl Record for RecordFile {
    fn add(&mut self, attempt: &Attempt, settings: &Settings) -> Result<Progress, RecordError> {
        let change = self.connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let number = insert(&change, attempt)?;
        let progress = advance(&change, attempt, number, settings)?;
        // What was read for this question is in the attempt; the next begins without hints.
        change
            .prepare_cached("UPDATE unfinished SET hints = 0, written = NULL WHERE code = ?")?
            .execute([&attempt.code])?;
        if attempt.ended.is_some() {
            change
                .prepare_cached("DELETE FROM unfinished WHERE code = ?")?
                .execute([&attempt.code])?;
        }
        change.commit()?;
        Ok(progress)
    }

    fn progress(&mut self, settings: &Settings) -> Result<Vec<Progress>, RecordError> {
        // Progress is kept beside the attempts so that a long record opens quickly; when the settings
        // have changed since, it is worked out again from all attempts.
        let wanted = settings.written();
        let kept: Option<String> = self
            .connection
            .query_row("SELECT value FROM kept WHERE name = 'settings'", [], |row| row.get(0))
            .optional()?;
        if kept.as_deref() != Some(wanted.as_str()) {
            return self.rebuild(settings, &wanted);
        }
        let mut statement = self.connection.prepare("SELECT value FROM progress ORDER BY topic")?;
        let rows = statement.query_map([], progress_from)?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    fn count(&self) -> Result<u64, RecordError> {
        let count: i64 =
            self.connection.query_row("SELECT count(*) FROM attempts", [], |row| row.get(0))?;
        Ok(u64::try_from(count).unwrap_or(0))
    }

    fn each(&self, take: &mut dyn FnMut(Attempt)) -> Result<(), RecordError> {
        let mut statement = self.connection.prepare(&format!("{SELECT_ATTEMPTS} ORDER BY id"))?;
        let mut rows = statement.query([])?;
        while let Some(row) = rows.next()? {
            take(attempt_from(row)?.1);
        }
        Ok(())
    }

    fn unfinished(&self) -> Result<Vec<Unfinished>, RecordError> {
        Ok(unfinished(&self.connection)?)
    }

    fn begin(&mut self, code: &str, missing: u32) -> Result<(), RecordError> {
        begin(&self.connection, code, missing)?;
        Ok(())
    }

    fn note_hints(&mut self, code: &str, hints: u32) -> Result<(), RecordError> {
        self.connection.execute("UPDATE unfinished SET hints = ? WHERE code = ?", (hints, code))?;
        Ok(())
    }

    fn note_written(&mut self, code: &str, answer: &str) -> Result<(), RecordError> {
        self.connection
            .execute("UPDATE unfinished SET written = ? WHERE code = ?", (answer, code))?;
        Ok(())
    }

    fn leave(&mut self, code: &str) -> Result<(), RecordError> {
        self.connection.execute("DELETE FROM unfinished WHERE code = ?", [code])?;
        Ok(())
    }
}
