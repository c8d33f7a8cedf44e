//! The record of attempts: one SQLite file on the student's own machine.

mod error;
mod schema;
mod rows;
#[cfg(test)]
mod tests;

pub use error::RecordError;

use std::collections::BTreeMap;
use std::path::Path;

use rusqlite::{Connection, OptionalExtension, TransactionBehavior};

use rows::{
    SELECT_ATTEMPTS, SELECT_PROGRESS, advance, attempt_from, insert, keep, moved, progress_from,
};

use super::{Attempt, Progress, Settings, Unfinished};

/// The record of attempts.
///
/// An attempt is on the disk when [`Record::add`] returns: the file is written ahead and synced for
/// each, so a process killed at any moment loses nothing that was added. Two processes may write to
/// one record; the second waits.
#[derive(Debug)]
pub struct Record {
    connection: Connection,
}

impl Record {
    /// Opens the record at the path, making it when there is none.
    ///
    /// # Errors
    /// When the file is damaged, foreign, newer, held by another process, or not to be opened.
    pub fn open(path: &Path) -> Result<Self, RecordError> {
        Ok(Self { connection: schema::open(path)? })
    }

    /// A record in memory, for trying things out.
    pub fn in_memory() -> Result<Self, RecordError> {
        Ok(Self { connection: schema::prepare(Connection::open_in_memory()?)? })
    }

    /// Adds an attempt, and brings the progress of its topic up to date, in one step. An attempt that
    /// ends its problem takes it from the unfinished ones.
    pub fn add(&mut self, attempt: &Attempt, settings: &Settings) -> Result<Progress, RecordError> {
        let change = self.connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        insert(&change, attempt)?;
        let progress = advance(&change, attempt, settings)?;
        // What was read for this question is in the attempt; the next begins without hints.
        change
            .prepare_cached("UPDATE unfinished SET hints = 0, written = NULL WHERE code = ?")?
            .execute([&attempt.code])?;
        if attempt.solved.is_some() {
            change
                .prepare_cached("DELETE FROM unfinished WHERE code = ?")?
                .execute([&attempt.code])?;
        }
        change.commit()?;
        Ok(progress)
    }

    /// The progress of every topic tried, in order of objective and topic.
    ///
    /// Progress is kept beside the attempts so that a long record opens at once; when the settings
    /// have changed since, it is worked out again from all attempts first.
    pub fn progress(&mut self, settings: &Settings) -> Result<Vec<Progress>, RecordError> {
        let wanted = format!("{settings:?}");
        let kept: Option<String> = self
            .connection
            .query_row("SELECT value FROM kept WHERE name = 'settings'", [], |row| row.get(0))
            .optional()?;
        if kept.as_deref() != Some(wanted.as_str()) {
            self.rebuild(settings, &wanted)?;
        }
        let mut statement =
            self.connection.prepare(&format!("{SELECT_PROGRESS} ORDER BY objective, topic"))?;
        let rows = statement.query_map([], progress_from)?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    fn rebuild(&mut self, settings: &Settings, wanted: &str) -> Result<(), RecordError> {
        let change = self.connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        change.execute("DELETE FROM progress", [])?;
        let mut topics: BTreeMap<(String, String), Progress> = BTreeMap::new();
        {
            let mut statement = change.prepare(&format!("{SELECT_ATTEMPTS} ORDER BY id"))?;
            let mut rows = statement.query([])?;
            while let Some(row) = rows.next()? {
                let attempt = attempt_from(row)?;
                let topic = (attempt.objective.clone(), attempt.topic.clone());
                let before = topics.remove(&topic);
                topics.insert(topic, moved(before, &attempt, settings));
            }
        }
        for progress in topics.values() {
            keep(&change, progress)?;
        }
        change.execute("INSERT OR REPLACE INTO kept VALUES ('settings', ?)", [wanted])?;
        change.commit()?;
        Ok(())
    }

    /// Hands every attempt, oldest first, to a function; stops when it fails.
    ///
    /// # Errors
    /// The function's error, or why the record could not be read.
    pub fn each<E: From<RecordError>>(
        &self,
        mut take: impl FnMut(Attempt) -> Result<(), E>,
    ) -> Result<(), E> {
        let failed = |error: rusqlite::Error| E::from(RecordError::from(error));
        let mut statement =
            self.connection.prepare(&format!("{SELECT_ATTEMPTS} ORDER BY id")).map_err(failed)?;
        let mut rows = statement.query([]).map_err(failed)?;
        while let Some(row) = rows.next().map_err(failed)? {
            take(attempt_from(row).map_err(failed)?)?;
        }
        Ok(())
    }

    /// How many attempts there are.
    pub fn count(&self) -> Result<u64, RecordError> {
        let count: i64 =
            self.connection.query_row("SELECT count(*) FROM attempts", [], |row| row.get(0))?;
        Ok(u64::try_from(count).unwrap_or(0))
    }

    /// The last attempt, to turn to something else next.
    pub fn last(&self) -> Result<Option<Attempt>, RecordError> {
        let query = format!("{SELECT_ATTEMPTS} ORDER BY id DESC LIMIT 1");
        Ok(self.connection.query_row(&query, [], attempt_from).optional()?)
    }

    /// Notes that a problem is begun, so that it can be gone on with after a stop at any moment.
    pub fn begin(&mut self, code: &str, missing: u32) -> Result<(), RecordError> {
        self.connection.execute(
            "INSERT OR REPLACE INTO unfinished (code, missing, hints, after)
             VALUES (?, ?, 0, (SELECT coalesce(max(id), 0) FROM attempts))",
            (code, missing),
        )?;
        Ok(())
    }

    /// Notes how many hints were read for the question that is next.
    pub fn note_hints(&mut self, code: &str, hints: u32) -> Result<(), RecordError> {
        self.connection.execute("UPDATE unfinished SET hints = ? WHERE code = ?", (hints, code))?;
        Ok(())
    }

    /// Keeps a written answer until it has been marked point by point and can be added.
    pub fn note_written(&mut self, code: &str, answer: &str) -> Result<(), RecordError> {
        self.connection
            .execute("UPDATE unfinished SET written = ? WHERE code = ?", (answer, code))?;
        Ok(())
    }

    /// Takes a problem from the unfinished ones without an attempt.
    pub fn leave(&mut self, code: &str) -> Result<(), RecordError> {
        self.connection.execute("DELETE FROM unfinished WHERE code = ?", [code])?;
        Ok(())
    }

    /// The problem that was begun last and not ended, with what was answered so far.
    pub fn unfinished(&self) -> Result<Option<Unfinished>, RecordError> {
        let found = self
            .connection
            .query_row(
                "SELECT code, missing, hints, written, after FROM unfinished ORDER BY id DESC LIMIT 1",
                [],
                |row| {
                    let unfinished = Unfinished {
                        code: row.get(0)?,
                        missing: row.get(1)?,
                        hints: row.get(2)?,
                        written: row.get(3)?,
                        attempts: Vec::new(),
                    };
                    Ok((unfinished, row.get::<_, i64>(4)?))
                },
            )
            .optional()?;
        let Some((mut unfinished, after)) = found else { return Ok(None) };
        let mut statement = self
            .connection
            .prepare(&format!("{SELECT_ATTEMPTS} WHERE id > ? AND code = ? ORDER BY id"))?;
        let rows = statement.query_map((after, &unfinished.code), attempt_from)?;
        unfinished.attempts = rows.collect::<Result<_, _>>()?;
        Ok(Some(unfinished))
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
