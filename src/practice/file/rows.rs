//! Attempts and progress as rows of the file.

use rusqlite::{OptionalExtension, Row, Transaction, types::Type};

use crate::practice::{Attempt, Ending, Progress, Settings};

pub(super) const SELECT_ATTEMPTS: &str = "SELECT at, objective, topic, template, code, part, \
     answer, right, marks, of, slips, hints, missing, steps, solved, luck, id FROM attempts";

/// How a problem ended, as the column `solved` has it; the first two numbers are those of versions
/// that knew no others.
const ENDINGS: [(Ending, i64); 3] =
    [(Ending::NotSolved, 0), (Ending::Alone, 1), (Ending::Helped, 2)];

/// Writes an attempt down and returns its number.
pub(super) fn insert(change: &Transaction<'_>, attempt: &Attempt) -> rusqlite::Result<u64> {
    let number = |ending: Ending| ENDINGS.iter().find(|(one, _)| *one == ending).map(|one| one.1);
    change
        .prepare_cached(
            "INSERT INTO attempts (at, objective, topic, template, code, part, answer, right,
             marks, of, slips, hints, missing, steps, solved, luck)
             VALUES (?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?)",
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
            attempt.ended.and_then(number),
            attempt.luck,
        ))?;
    Ok(u64::try_from(change.last_insert_rowid()).unwrap_or(0))
}

/// Moves the progress of the attempt's topic one attempt on.
pub(super) fn advance(
    change: &Transaction<'_>,
    attempt: &Attempt,
    number: u64,
    settings: &Settings,
) -> rusqlite::Result<Progress> {
    let before = change
        .prepare_cached("SELECT value FROM progress WHERE topic = ?")?
        .query_row([&attempt.topic], progress_from)
        .optional()?;
    let after = Progress::after(before, attempt, number, settings);
    keep(change, &after)?;
    Ok(after)
}

/// Writes the progress of a topic down in place of what was known before.
pub(super) fn keep(change: &Transaction<'_>, after: &Progress) -> rusqlite::Result<()> {
    let value = serde_json::to_string(after)
        .map_err(|error| rusqlite::Error::ToSqlConversionFailure(Box::new(error)))?;
    change
        .prepare_cached("INSERT OR REPLACE INTO progress VALUES (?, ?)")?
        .execute((&after.topic, value))?;
    Ok(())
}

/// An attempt and its number.
pub(super) fn attempt_from(row: &Row<'_>) -> rusqlite::Result<(u64, Attempt)> {
    let slips: String = row.get(10)?;
    let solved: Option<i64> = row.get(14)?;
    let ended = ENDINGS.iter().find(|(_, number)| Some(*number) == solved);
    let attempt = Attempt {
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
        luck: row.get(15)?,
        ended: ended.map(|(ending, _)| *ending),
    };
    Ok((u64::try_from(row.get::<_, i64>(16)?).unwrap_or(0), attempt))
}

/// The progress of a topic, from the only column of the row.
pub(super) fn progress_from(row: &Row<'_>) -> rusqlite::Result<Progress> {
    let value: String = row.get(0)?;
    serde_json::from_str(&value)
        .map_err(|error| rusqlite::Error::FromSqlConversionFailure(0, Type::Text, Box::new(error)))
}
