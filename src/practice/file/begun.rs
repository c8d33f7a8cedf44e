//! The problems begun and not ended, as rows of the file.

use rusqlite::{Connection, Transaction};

use crate::practice::Unfinished;

use super::rows::{SELECT_ATTEMPTS, attempt_from};

/// The problems begun and not ended, oldest first, each with the attempts at it since it was begun.
pub(super) fn unfinished(connection: &Connection) -> rusqlite::Result<Vec<Unfinished>> {
    let mut statement = connection.prepare_cached(
        "SELECT code, missing, hints, written, after FROM unfinished ORDER BY id",
    )?;
    let rows = statement.query_map([], |row| {
        let begun = Unfinished {
            code: row.get(0)?,
            missing: row.get(1)?,
            hints: row.get(2)?,
            written: row.get(3)?,
            attempts: Vec::new(),
        };
        Ok((begun, row.get::<_, i64>(4)?))
    })?;
    let mut attempts = connection
        .prepare_cached(&format!("{SELECT_ATTEMPTS} WHERE id > ? AND code = ? ORDER BY id"))?;
    rows.map(|row| {
        let (mut begun, after) = row?;
        let rows = attempts.query_map((after, &begun.code), attempt_from)?;
        begun.attempts =
            rows.map(|row| row.map(|(_, attempt)| attempt)).collect::<rusqlite::Result<_>>()?;
        Ok(begun)
    })
    .collect()
}

/// Notes that a problem is begun.
pub(super) fn begin(connection: &Connection, code: &str, missing: u32) -> rusqlite::Result<()> {
    connection.execute(
        "INSERT OR REPLACE INTO unfinished (code, missing, hints, after)
         VALUES (?, ?, 0, (SELECT coalesce(max(id), 0) FROM attempts))",
        (code, missing),
    )?;
    Ok(())
}

/// Notes a problem that was begun, after all attempts were written anew.
pub(super) fn begin_again(change: &Transaction<'_>, begun: &Unfinished) -> rusqlite::Result<()> {
    begin(change, &begun.code, begun.missing)?;
    change.execute(
        "UPDATE unfinished SET hints = ?, written = ? WHERE code = ?",
        (begun.hints, &begun.written, &begun.code),
    )?;
    // Those at it are the last of its code.
    let Some(before) = begun.attempts.len().checked_sub(1) else { return Ok(()) };
    change.execute(
        "UPDATE unfinished SET after = -1 + coalesce(
             (SELECT id FROM attempts WHERE code = ?1 ORDER BY id DESC LIMIT 1 OFFSET ?2), 1)
         WHERE code = ?1",
        (&begun.code, i64::try_from(before).unwrap_or(i64::MAX)),
    )?;
    Ok(())
}
