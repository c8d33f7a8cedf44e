//! The record of attempts: one SQLite file on the student's own machine.

use std::fmt;
use std::path::Path;
use std::time::Duration;

use rusqlite::{Connection, ErrorCode, OptionalExtension, Row, Transaction, TransactionBehavior};

use super::{Attempt, Fade, Mastery, Place, Progress, Settings, day_of};

/// Marks the file as ours: "cast" in ASCII.
const APPLICATION: i32 = 0x6361_7374;

/// How the file came to its present form, one step a version. Never change a step that was
/// released; add one.
const MIGRATIONS: &[&str] = &[
    "CREATE TABLE attempts (
        id INTEGER PRIMARY KEY,
        at INTEGER NOT NULL,
        objective TEXT NOT NULL,
        topic TEXT NOT NULL,
        template TEXT NOT NULL,
        code TEXT NOT NULL,
        part TEXT NOT NULL,
        answer TEXT NOT NULL,
        right INTEGER NOT NULL,
        marks INTEGER NOT NULL,
        of INTEGER NOT NULL,
        slips TEXT NOT NULL,
        hints INTEGER NOT NULL,
        missing INTEGER NOT NULL,
        steps INTEGER NOT NULL
    ) STRICT;
    CREATE INDEX attempts_by_topic ON attempts (objective, topic, id);",
    "CREATE TABLE progress (
        objective TEXT NOT NULL,
        topic TEXT NOT NULL,
        attempts INTEGER NOT NULL,
        right INTEGER NOT NULL,
        known REAL NOT NULL,
        box INTEGER NOT NULL,
        last_day INTEGER NOT NULL,
        missing INTEGER NOT NULL,
        PRIMARY KEY (objective, topic)
    ) STRICT;
    CREATE TABLE kept (name TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT;",
];

/// The record of attempts.
///
/// An attempt is on the disk when [`Record::add`] returns: the file is written ahead and synced for
/// each, so a process killed at any moment loses nothing that was added. Two processes may write to
/// one record; the second waits.
#[derive(Debug)]
pub struct Record {
    connection: Connection,
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

impl Record {
    /// Opens the record at the path, making it when there is none.
    ///
    /// # Errors
    /// When the file is damaged, foreign, newer, held by another process, or not to be opened.
    pub fn open(path: &Path) -> Result<Self, RecordError> {
        Self::prepare(Connection::open(path)?)
    }

    /// A record in memory, for trying things out.
    pub fn in_memory() -> Result<Self, RecordError> {
        Self::prepare(Connection::open_in_memory()?)
    }

    fn prepare(connection: Connection) -> Result<Self, RecordError> {
        connection.busy_timeout(Duration::from_secs(10))?;
        let number =
            |name: &str| connection.pragma_query_value(None, name, |row| row.get::<_, i32>(0));
        let (application, version) = (number("application_id")?, number("user_version")?);
        let tables: i64 =
            connection.query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get(0))?;
        if application != APPLICATION && (application != 0 || tables > 0) {
            return Err(RecordError::Damaged("it belongs to another program".to_owned()));
        }
        connection.pragma_update(None, "journal_mode", "WAL")?;
        // FULL syncs the write-ahead log at every commit: a recorded attempt survives a power cut.
        connection.pragma_update(None, "synchronous", "FULL")?;
        let mut record = Self { connection };
        record.migrate(usize::try_from(version).unwrap_or(usize::MAX))?;
        Ok(record)
    }

    fn migrate(&mut self, version: usize) -> Result<(), RecordError> {
        let newer = |found| RecordError::Newer { found, known: MIGRATIONS.len() };
        if version > MIGRATIONS.len() {
            return Err(newer(version));
        }
        if version == MIGRATIONS.len() {
            return Ok(());
        }
        let change = self.connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        // Another process may have migrated while this one waited for the file.
        let version: i32 = change.pragma_query_value(None, "user_version", |row| row.get(0))?;
        let version = usize::try_from(version).unwrap_or(usize::MAX);
        let steps = MIGRATIONS.get(version..).ok_or_else(|| newer(version))?;
        for step in steps {
            change.execute_batch(step)?;
        }
        change.pragma_update(None, "application_id", APPLICATION)?;
        change.pragma_update(
            None,
            "user_version",
            i32::try_from(MIGRATIONS.len()).unwrap_or(i32::MAX),
        )?;
        change.commit()?;
        Ok(())
    }

    /// Adds an attempt, and brings the progress of its topic up to date, in one step.
    pub fn add(&mut self, attempt: &Attempt, settings: &Settings) -> Result<Progress, RecordError> {
        let change = self.connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        change
            .prepare_cached(
                "INSERT INTO attempts (at, objective, topic, template, code, part, answer, right,
                 marks, of, slips, hints, missing, steps) VALUES (?,?,?,?,?,?,?,?,?,?,?,?,?,?)",
            )?
            .execute((
                attempt.at,
                &attempt.objective,
                &attempt.topic,
                &attempt.template,
                &attempt.code,
                &attempt.part,
                &attempt.answer,
                attempt.right,
                attempt.marks,
                attempt.of,
                attempt.slips.join(" "),
                attempt.hints,
                attempt.missing,
                attempt.steps,
            ))?;
        let progress = advance(&change, attempt, settings)?;
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
        let mut statement = self.connection.prepare(
            "SELECT objective, topic, attempts, right, known, box, last_day, missing
             FROM progress ORDER BY objective, topic",
        )?;
        let rows = statement.query_map([], progress_from)?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    fn rebuild(&mut self, settings: &Settings, wanted: &str) -> Result<(), RecordError> {
        let change = self.connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        change.execute("DELETE FROM progress", [])?;
        {
            let mut statement = change.prepare(&format!("{SELECT_ATTEMPTS} ORDER BY id"))?;
            let mut rows = statement.query([])?;
            while let Some(row) = rows.next()? {
                advance(&change, &attempt_from(row)?, settings)?;
            }
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

    /// The last attempt, to go on where a session was left.
    pub fn last(&self) -> Result<Option<Attempt>, RecordError> {
        let query = format!("{SELECT_ATTEMPTS} ORDER BY id DESC LIMIT 1");
        Ok(self.connection.query_row(&query, [], attempt_from).optional()?)
    }

    /// Removes every attempt and all progress, and gives the space back.
    pub fn forget(&mut self) -> Result<(), RecordError> {
        let change = self.connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        change.execute_batch("DELETE FROM attempts; DELETE FROM progress; DELETE FROM kept;")?;
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

const SELECT_ATTEMPTS: &str = "SELECT at, objective, topic, template, code, part, answer, right, \
     marks, of, slips, hints, missing, steps FROM attempts";

/// Moves the progress of the attempt's topic one attempt on.
fn advance(
    change: &Transaction<'_>,
    attempt: &Attempt,
    settings: &Settings,
) -> rusqlite::Result<Progress> {
    let before = change
        .prepare_cached(
            "SELECT objective, topic, attempts, right, known, box, last_day, missing
             FROM progress WHERE objective = ? AND topic = ?",
        )?
        .query_row((&attempt.objective, &attempt.topic), progress_from)
        .optional()?;
    let day = day_of(attempt.at);
    let mastery = before
        .as_ref()
        .map_or(Mastery::start(settings), |before| Mastery::from_chance(before.known));
    let place = before.as_ref().map_or_else(Place::default, |before| Place {
        number: before.box_number as usize,
        last: before.last_day,
    });
    let fade = Fade::with_missing(before.as_ref().map_or(0, |before| before.missing as usize));
    let place = place.next(settings, attempt.right, day);
    let after = Progress {
        objective: attempt.objective.clone(),
        topic: attempt.topic.clone(),
        attempts: before.as_ref().map_or(0, |before| before.attempts) + 1,
        right: before.as_ref().map_or(0, |before| before.right) + u64::from(attempt.right),
        known: mastery.next(settings, attempt.right).chance(),
        box_number: u32::try_from(place.number).unwrap_or(u32::MAX),
        last_day: place.last,
        missing: u32::try_from(fade.next(attempt.right, attempt.steps as usize).missing())
            .unwrap_or(u32::MAX),
    };
    change.prepare_cached("INSERT OR REPLACE INTO progress VALUES (?,?,?,?,?,?,?,?)")?.execute(
        (
            &after.objective,
            &after.topic,
            i64::try_from(after.attempts).unwrap_or(i64::MAX),
            i64::try_from(after.right).unwrap_or(i64::MAX),
            after.known,
            after.box_number,
            after.last_day,
            after.missing,
        ),
    )?;
    Ok(after)
}

fn attempt_from(row: &Row<'_>) -> rusqlite::Result<Attempt> {
    let slips: String = row.get(10)?;
    Ok(Attempt {
        at: row.get(0)?,
        objective: row.get(1)?,
        topic: row.get(2)?,
        template: row.get(3)?,
        code: row.get(4)?,
        part: row.get(5)?,
        answer: row.get(6)?,
        right: row.get(7)?,
        marks: row.get(8)?,
        of: row.get(9)?,
        slips: slips.split_whitespace().map(str::to_owned).collect(),
        hints: row.get(11)?,
        missing: row.get(12)?,
        steps: row.get(13)?,
    })
}

fn progress_from(row: &Row<'_>) -> rusqlite::Result<Progress> {
    Ok(Progress {
        objective: row.get(0)?,
        topic: row.get(1)?,
        attempts: u64::try_from(row.get::<_, i64>(2)?).unwrap_or(0),
        right: u64::try_from(row.get::<_, i64>(3)?).unwrap_or(0),
        known: row.get(4)?,
        box_number: row.get(5)?,
        last_day: row.get(6)?,
        missing: row.get(7)?,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn attempt(topic: &str, right: bool, at: i64) -> Attempt {
        Attempt {
            at,
            objective: "calibration".to_owned(),
            topic: topic.to_owned(),
            template: "mean-from-total".to_owned(),
            code: "mean-from-total.aaaa-aaaaa".to_owned(),
            part: "capacity".to_owned(),
            answer: "1.02 g".to_owned(),
            right,
            marks: u32::from(right),
            of: 1,
            slips: vec!["one".to_owned(), "two".to_owned()],
            hints: 0,
            missing: 0,
            steps: 3,
        }
    }

    fn all(record: &Record) -> Vec<Attempt> {
        let mut found = Vec::new();
        record
            .each(|attempt| {
                found.push(attempt);
                Ok::<(), RecordError>(())
            })
            .unwrap();
        found
    }

    #[test]
    fn gives_back_what_was_added_in_order() {
        let mut record = Record::in_memory().unwrap();
        let attempts = [attempt("total", true, 10), attempt("listed", false, 20)];
        for attempt in &attempts {
            record.add(attempt, &Settings::default()).unwrap();
        }
        assert_eq!(all(&record), attempts);
        assert_eq!(record.last().unwrap().as_ref(), Some(&attempts[1]));
        assert_eq!(record.count().unwrap(), 2);
    }

    #[test]
    fn progress_is_what_the_attempts_say() {
        let settings = Settings::default();
        let mut record = Record::in_memory().unwrap();
        record.progress(&settings).unwrap();
        for (right, day) in [(true, 0), (false, 1), (true, 2)] {
            record.add(&attempt("total", right, day * 86_400), &settings).unwrap();
        }
        let kept = record.progress(&settings).unwrap();
        assert_eq!(kept[0].attempts, 3);
        assert_eq!(kept[0].right, 2);
        assert_eq!(kept[0].box_number, 1);
        assert_eq!(kept[0].last_day, 2);
        let known = Mastery::after(&settings, [true, false, true]).chance();
        assert!((kept[0].known - known).abs() < 1e-15);
    }

    #[test]
    fn progress_is_worked_out_again_when_the_settings_change() {
        let mut record = Record::in_memory().unwrap();
        record.add(&attempt("total", true, 0), &Settings::default()).unwrap();
        let other = Settings { lucky: 0.2, ..Settings::default() };
        let known = record.progress(&other).unwrap()[0].known;
        assert!((known - Mastery::after(&other, [true]).chance()).abs() < 1e-15);
    }

    #[test]
    fn forgets_everything() {
        let mut record = Record::in_memory().unwrap();
        record.add(&attempt("total", true, 0), &Settings::default()).unwrap();
        record.forget().unwrap();
        assert_eq!(record.count().unwrap(), 0);
        assert_eq!(record.progress(&Settings::default()).unwrap(), []);
    }

    #[test]
    fn leaves_a_damaged_or_foreign_file_as_it_is() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("record");
        let rubbish = "this is no record ".repeat(100);
        std::fs::write(&path, &rubbish).unwrap();
        assert!(matches!(Record::open(&path), Err(RecordError::Damaged(_))));
        assert_eq!(std::fs::read_to_string(&path).unwrap(), rubbish);

        let foreign = folder.path().join("foreign");
        Connection::open(&foreign).unwrap().execute_batch("CREATE TABLE a (b);").unwrap();
        assert!(matches!(Record::open(&foreign), Err(RecordError::Damaged(_))));
    }

    #[test]
    fn refuses_a_record_of_a_later_version() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("record");
        drop(Record::open(&path).unwrap());
        Connection::open(&path).unwrap().pragma_update(None, "user_version", 99).unwrap();
        let error = Record::open(&path).unwrap_err().to_string();
        assert_eq!(
            error,
            "expected a record of version 2 or earlier, found version 99; use the newer program that \
             wrote it"
        );
    }

    #[test]
    fn brings_a_record_of_the_first_version_up_to_date() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("record");
        let old = Connection::open(&path).unwrap();
        old.execute_batch(MIGRATIONS[0]).unwrap();
        old.pragma_update(None, "application_id", APPLICATION).unwrap();
        old.pragma_update(None, "user_version", 1).unwrap();
        old.execute_batch(
            "INSERT INTO attempts VALUES (1, 0, 'calibration', 'total', 't', 'c', 'p', '1', 1, 1, 1,
             '', 0, 0, 3);",
        )
        .unwrap();
        drop(old);
        let mut record = Record::open(&path).unwrap();
        assert_eq!(record.progress(&Settings::default()).unwrap()[0].attempts, 1);
        record.verify().unwrap();
    }

    #[test]
    fn two_openings_of_one_record_take_turns() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("record");
        drop(Record::open(&path).unwrap());
        let writers: Vec<_> = ["total", "listed"]
            .into_iter()
            .map(|topic| {
                let path = path.clone();
                std::thread::spawn(move || {
                    let mut record = Record::open(&path).unwrap();
                    for at in 0..25 {
                        record.add(&attempt(topic, true, at), &Settings::default()).unwrap();
                    }
                })
            })
            .collect();
        for writer in writers {
            writer.join().unwrap();
        }
        let mut record = Record::open(&path).unwrap();
        assert_eq!(record.count().unwrap(), 50);
        let progress = record.progress(&Settings::default()).unwrap();
        assert!(progress.iter().all(|topic| topic.attempts == 25));
    }
}
