//! The record in a file: saved, loaded, deleted.

use serde::{Deserialize, Serialize};

use crate::practice::{Attempt, AttemptList, attempts_json, day_of, day_text, read_attempts};
use crate::words::{counted, is_or_are};

use super::fault::{Fault, FaultKind};
use super::talk::{Answered, Asked};

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct With {
    record: AttemptList,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct WithText {
    record: AttemptList,
    text: String,
}

#[derive(Serialize)]
struct Saved {
    name: String,
    text: String,
    sentence: String,
}

#[derive(Serialize)]
struct Joined {
    record: AttemptList,
    new: usize,
    sentence: String,
}

/// The record as a file, as `castmark practise --export json` writes it.
pub(super) fn export(asked: &Asked<'_>) -> Result<Answered, Fault> {
    let With { record } = asked.with()?;
    let name = format!("castmark-record-{}.json", day_text(day_of(asked.at)));
    let count = record.attempts.len();
    let holds = match count {
        1 => "the one answer".to_owned(),
        2 => "both answers".to_owned(),
        count => format!("all {}", counted(count, "answer")),
    };
    let sentence = format!("Saved. The file {name} holds {holds}.");
    asked.say(&Saved {
        name,
        text: attempts_json(&record.attempts).map_err(Fault::failed)?,
        sentence,
    })
}

/// The record with the answers of a file.
pub(super) fn import(asked: &Asked<'_>) -> Result<Answered, Fault> {
    let WithText { mut record, text } = asked.with()?;
    let others: Vec<Attempt> = read_attempts(&text).map_err(|error| {
        Fault::new(
            FaultKind::Record,
            format!(
                "expected a record that this page or castmark saved, found {error}; choose another \
                 file"
            ),
        )
    })?;
    let held = others.len();
    let new = record.join(others);
    let were = |count: usize| if count == 1 { "was" } else { "were" };
    let sentence = format!(
        "Loaded. The file held {}: {} {} already here, {new} {} new. Your record now holds {}.",
        counted(held, "answer"),
        held - new,
        were(held - new),
        is_or_are(new),
        counted(record.attempts.len(), "answer")
    );
    asked.say(&Joined { record, new, sentence })
}

/// An empty record.
pub(super) fn delete(asked: &Asked<'_>) -> Result<Answered, Fault> {
    let With { record } = asked.with()?;
    let sentence = match record.attempts.len() {
        0 => "There was nothing to delete.".to_owned(),
        1 => "The one answer was deleted.".to_owned(),
        2 => "Both answers were deleted.".to_owned(),
        count => format!("All {} were deleted.", counted(count, "answer")),
    };
    asked.say(&Joined { record: AttemptList::default(), new: 0, sentence })
}
