//! The state of practice between two requests.

use serde::{Deserialize, Serialize};
use sha2::{Digest as _, Sha256};

use crate::practice::{Digest, EndedShown, Phase, Session};

use super::fault::{Fault, FaultKind};

/// The state of practice between two requests. The caller keeps it as a text and gives it back.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub(super) struct State {
    /// The day of the exam.
    pub(super) exam: Option<i64>,
    /// What the record comes to.
    pub(super) record: Digest,
    /// The session, if one was begun.
    pub(super) session: Option<Session>,
    /// Why the problem is on the table, in words.
    pub(super) place: String,
    /// How the problem on the table ended.
    pub(super) ended: Option<EndedShown>,
}

/// How many letters of a hash stand before a state.
const LETTERS: usize = 16;

impl State {
    /// Reads a state as it was given out.
    pub(super) fn read(text: &str) -> Result<Self, Fault> {
        let known = text.get(..LETTERS).zip(text.get(LETTERS..));
        let sound = known.filter(|(mark, text)| *mark == self::mark(text));
        let read = sound.and_then(|(_, text)| serde_json::from_str(text).ok());
        read.ok_or_else(|| {
            Fault::new(
                FaultKind::State,
                "expected the state of the last reply, found none or another text; begin again",
            )
        })
    }

    /// Whether the session goes on with a record: with its own, and with one that has grown elsewhere
    /// while nothing happened to the problem on the table.
    pub(super) fn goes_on_with(&self, record: &Digest) -> bool {
        let Some(session) = &self.session else { return self.record == *record };
        let is_open = !matches!(session.phase(), Phase::Fresh | Phase::Between | Phase::Over);
        let left = session.left().filter(|_| is_open);
        self.record == *record
            || left.is_none_or(|left| {
                let there = record.begun().iter().find(|begun| begun.code == left.code);
                there.is_some_and(|begun| begun.attempts == left.attempts)
            })
    }

    /// The state as a text, with a mark by which it is known again.
    pub(super) fn written(&self) -> Result<String, Fault> {
        let text = serde_json::to_string(self).map_err(Fault::failed)?;
        Ok(mark(&text) + &text)
    }
}

/// The first letters of a hash: what is no state of ours, or is torn, does not get in.
fn mark(text: &str) -> String {
    let hash = Sha256::digest(text.as_bytes());
    hash.iter().take(LETTERS / 2).map(|byte| format!("{byte:02x}")).collect()
}
