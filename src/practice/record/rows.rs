//! Attempts and progress as rows of the file.

use rusqlite::{OptionalExtension, Row, Transaction};

use crate::practice::{Attempt, Fade, Mastery, Place, Progress, Settings, day_of};

pub(super) const SELECT_ATTEMPTS: &str = "SELECT at, objective, topic, template, code, part, \
     answer, right, marks, of, slips, hints, missing, steps, solved FROM attempts";

pub(super) const SELECT_PROGRESS: &str =
    "SELECT objective, topic, attempts, right, known, box, last_day, missing FROM progress";

/// Writes an attempt down.
pub(super) fn insert(change: &Transaction<'_>, attempt: &Attempt) -> rusqlite::Result<()> {
    change
        .prepare_cached(
            "INSERT INTO attempts (at, objective, topic, template, code, part, answer, right,
             marks, of, slips, hints, missing, steps, solved)
             VALUES (?,?,?,?,?,?,?,?,?,?,?,?,?,?,?)",
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
            attempt.solved,
        ))?;
    Ok(())
}

/// Moves the progress of the attempt's topic one attempt on.
pub(super) fn advance(
    change: &Transaction<'_>,
    attempt: &Attempt,
    settings: &Settings,
) -> rusqlite::Result<Progress> {
    let before = change
        .prepare_cached(&format!("{SELECT_PROGRESS} WHERE objective = ? AND topic = ?"))?
        .query_row((&attempt.objective, &attempt.topic), progress_from)
        .optional()?;
    let after = moved(before, attempt, settings);
    keep(change, &after)?;
    Ok(after)
}

/// Writes the progress of a topic down in place of what was known before.
pub(super) fn keep(change: &Transaction<'_>, after: &Progress) -> rusqlite::Result<()> {
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
    Ok(())
}

/// The progress after an attempt.
///
/// Every attempt is counted, but only the one that ends a problem moves anything else, so that a
/// problem of five parts weighs no more than one of a single part. Worked examples with steps left
/// out move how much is shown next time; only a whole problem tells of mastery and moves the box.
pub(super) fn moved(before: Option<Progress>, attempt: &Attempt, settings: &Settings) -> Progress {
    let mut progress = before.unwrap_or_else(|| Progress {
        objective: attempt.objective.clone(),
        topic: attempt.topic.clone(),
        attempts: 0,
        right: 0,
        known: Mastery::start(settings).chance(),
        box_number: 0,
        last_day: day_of(attempt.at),
        missing: 0,
    });
    progress.attempts += 1;
    progress.right += u64::from(attempt.right);
    let Some(solved) = attempt.solved else { return progress };
    if attempt.steps > 0 {
        // Who did more alone than was planned goes on from there; who failed, from what was planned.
        let from = if solved { attempt.missing } else { attempt.missing.min(progress.missing) };
        let fade = Fade::with_missing(from as usize).next(solved, attempt.steps as usize);
        progress.missing = u32::try_from(fade.missing()).unwrap_or(u32::MAX);
    }
    if attempt.missing >= attempt.steps {
        progress.known = Mastery::from_chance(progress.known).next(settings, solved).chance();
        let place = Place { number: progress.box_number as usize, last: progress.last_day };
        let place = place.next(settings, solved, day_of(attempt.at));
        progress.box_number = u32::try_from(place.number).unwrap_or(u32::MAX);
        progress.last_day = place.last;
    }
    progress
}

pub(super) fn attempt_from(row: &Row<'_>) -> rusqlite::Result<Attempt> {
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
        solved: row.get(14)?,
    })
}

pub(super) fn progress_from(row: &Row<'_>) -> rusqlite::Result<Progress> {
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
