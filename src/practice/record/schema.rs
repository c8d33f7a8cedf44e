//! The form of the file, and how it came to be.

use std::path::Path;
use std::time::Duration;

use rusqlite::{Connection, TransactionBehavior};

use super::RecordError;

/// Marks the file as ours: "cast" in ASCII.
pub(super) const APPLICATION: i32 = 0x6361_7374;

/// How the file came to its present form, one step a version. Never change a step that was
/// released; add one.
pub(super) const MIGRATIONS: &[&str] = &[
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
    // Until here every attempt counted for itself. Forgetting the settings has the progress worked
    // out again by the rule of today.
    "ALTER TABLE attempts ADD COLUMN solved INTEGER;
    UPDATE attempts SET solved = right;
    DELETE FROM kept WHERE name = 'settings';
    CREATE TABLE unfinished (
        id INTEGER PRIMARY KEY,
        code TEXT NOT NULL UNIQUE,
        missing INTEGER NOT NULL,
        hints INTEGER NOT NULL,
        written TEXT,
        after INTEGER NOT NULL
    ) STRICT;",
];

/// How often a file is tried that another process is just making, closing or mending; SQLite does
/// not wait for all of these by itself.
const TRIES: u32 = 20;

/// Opens a file and makes it ready: sees that it is ours, and brings it up to date.
pub(super) fn open(path: &Path) -> Result<Connection, RecordError> {
    for _ in 1..TRIES {
        match prepare(Connection::open(path)?) {
            Err(RecordError::Busy) => std::thread::sleep(Duration::from_millis(50)),
            done => return done,
        }
    }
    prepare(Connection::open(path)?)
}

/// Makes a connection ready.
pub(super) fn prepare(mut connection: Connection) -> Result<Connection, RecordError> {
    connection.busy_timeout(Duration::from_millis(500))?;
    let (application, version, tables) = look(&mut connection)?;
    if application != APPLICATION && (application != 0 || tables > 0) {
        return Err(RecordError::Damaged("it belongs to another program".to_owned()));
    }
    connection.pragma_update(None, "journal_mode", "WAL")?;
    // FULL syncs the write-ahead log at every commit: a recorded attempt survives a power cut.
    connection.pragma_update(None, "synchronous", "FULL")?;
    let connection = migrate(connection, usize::try_from(version).unwrap_or(usize::MAX))?;
    connection.busy_timeout(Duration::from_secs(10))?;
    Ok(connection)
}

/// The mark, the version and the number of tables, read at one moment: another process may be making
/// the file right now.
fn look(connection: &mut Connection) -> Result<(i32, i32, i64), RecordError> {
    let moment = connection.transaction()?;
    let number = |name: &str| moment.pragma_query_value(None, name, |row| row.get::<_, i32>(0));
    let tables = moment.query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get(0))?;
    Ok((number("application_id")?, number("user_version")?, tables))
}

fn migrate(mut connection: Connection, version: usize) -> Result<Connection, RecordError> {
    let newer = |found| RecordError::Newer { found, known: MIGRATIONS.len() };
    if version > MIGRATIONS.len() {
        return Err(newer(version));
    }
    if version == MIGRATIONS.len() {
        return Ok(connection);
    }
    let change = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
    // Another process may have migrated while this one waited for the file.
    let version: i32 = change.pragma_query_value(None, "user_version", |row| row.get(0))?;
    let version = usize::try_from(version).unwrap_or(usize::MAX);
    let steps = MIGRATIONS.get(version..).ok_or_else(|| newer(version))?;
    for step in steps {
        change.execute_batch(step)?;
    }
    change.pragma_update(None, "application_id", APPLICATION)?;
    let latest = i32::try_from(MIGRATIONS.len()).unwrap_or(i32::MAX);
    change.pragma_update(None, "user_version", latest)?;
    change.commit()?;
    Ok(connection)
}
