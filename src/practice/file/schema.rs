//! The form of the file, and how it came to be.

use std::fs::OpenOptions;
use std::path::Path;
use std::time::Duration;

use rusqlite::{Connection, OpenFlags, TransactionBehavior};

use crate::practice::RecordError;

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
    // Until here progress was kept for topics alone. What blind guessing of an older problem came to
    // is not known; a typed answer is the commonest.
    "ALTER TABLE attempts ADD COLUMN luck INTEGER NOT NULL DEFAULT 50;
    DELETE FROM kept WHERE name = 'settings';
    DROP TABLE progress;
    CREATE TABLE progress (topic TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT;",
];

/// How often a file is tried that another process is just making, closing or mending; SQLite does
/// not wait for all of these by itself.
const TRIES: u32 = 20;

/// Makes an empty file that only its owner can read, if there is none; a file that cannot be made is
/// for the opening to report.
fn make_private(path: &Path) {
    let mut options = OpenOptions::new();
    options.write(true).create_new(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    drop(options.open(path));
}

/// Opens a file and makes it ready: sees that it is ours, and brings it up to date.
pub(super) fn open(path: &Path) -> Result<Connection, RecordError> {
    make_private(path);
    for _ in 1..TRIES {
        match prepare(Connection::open(path)?) {
            Err(RecordError::Busy) => std::thread::sleep(Duration::from_millis(50)),
            done => return done,
        }
    }
    prepare(Connection::open(path)?)
}

/// Opens a file that is there, to read only: nothing of it is changed, so it must be up to date.
pub(super) fn open_to_read(path: &Path) -> Result<Connection, RecordError> {
    // The log of an open record cannot be read from a folder that cannot be written; then the file is
    // taken as it is.
    for way in ["mode=ro", "mode=ro&immutable=1"] {
        let name = uri(path, way);
        let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_URI;
        let mut connection = Connection::open_with_flags(name, flags)?;
        match look(&mut connection) {
            Ok((APPLICATION, version, _)) if usize::try_from(version) == Ok(MIGRATIONS.len()) => {
                return Ok(connection);
            }
            Ok((APPLICATION, ..)) => {
                return Err(RecordError::Failed(
                    "it was written by another version and cannot be brought up to date where it is"
                        .to_owned(),
                ));
            }
            Ok(_) => return Err(foreign()),
            Err(_) if way == "mode=ro" => {}
            Err(error) => return Err(error),
        }
    }
    Err(foreign())
}

/// The address of a file, with the letters that have a meaning in addresses written as numbers.
fn uri(path: &Path, way: &str) -> String {
    let mut name = String::from("file:");
    for letter in path.to_string_lossy().chars() {
        match letter {
            '%' => name.push_str("%25"),
            '?' => name.push_str("%3f"),
            '#' => name.push_str("%23"),
            letter => name.push(letter),
        }
    }
    format!("{name}?{way}")
}

fn foreign() -> RecordError {
    RecordError::Damaged("it belongs to another program".to_owned())
}

/// Makes a connection ready.
pub(super) fn prepare(mut connection: Connection) -> Result<Connection, RecordError> {
    connection.busy_timeout(Duration::from_millis(500))?;
    let (application, version, tables) = look(&mut connection)?;
    if application != APPLICATION && (application != 0 || tables > 0) {
        return Err(foreign());
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
