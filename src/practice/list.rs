//! Attempts in a list that the caller holds.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::{Attempt, Progress, Record, RecordError, Settings, Unfinished};

/// A record as plain data in the hands of the caller, such as a page that keeps it in a browser.
///
/// The attempts are written as [`Attempt`] says, which is also the form in which a record in a file is
/// exported.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AttemptList {
    /// The attempts, oldest first.
    pub attempts: Vec<Attempt>,
    /// The problems that were begun and not ended, oldest first, each with what was answered so far.
    #[serde(default)]
    pub unfinished: Vec<Unfinished>,
}

impl AttemptList {
    /// Takes in the attempts of another record that are not here yet, in the order of their moments,
    /// and returns how many they were.
    pub fn join(&mut self, others: Vec<Attempt>) -> usize {
        let before = self.attempts.len();
        self.attempts = joined(std::mem::take(&mut self.attempts), others);
        self.attempts.len() - before
    }

    fn begun(&mut self, code: &str) -> Option<&mut Unfinished> {
        self.unfinished.iter_mut().find(|one| one.code == code)
    }
}

/// Reads attempts from a file: a list of them, or a record as a page keeps it.
///
/// # Errors
/// Why it is neither.
pub fn read_attempts(text: &str) -> serde_json::Result<Vec<Attempt>> {
    if text.trim_start().starts_with('[') {
        return serde_json::from_str(text);
    }
    serde_json::from_str::<AttemptList>(text).map(|list| list.attempts)
}

/// Writes attempts for a file, one on a line, as [`read_attempts`] reads them.
///
/// # Errors
/// Never; an attempt is made of texts and numbers, which can be written.
pub fn attempts_json(attempts: &[Attempt]) -> serde_json::Result<String> {
    let mut text = "[".to_owned();
    for (index, attempt) in attempts.iter().enumerate() {
        text.push_str(if index == 0 { "\n" } else { ",\n" });
        text.push_str(&serde_json::to_string(attempt)?);
    }
    text.push_str("\n]\n");
    Ok(text)
}

/// The attempts of two records in the order of their moments, each once. An attempt is known by its
/// moment, problem, part and answer; as often as it is in one of the two it is kept.
pub fn joined(one: Vec<Attempt>, other: Vec<Attempt>) -> Vec<Attempt> {
    let key = |attempt: &Attempt| {
        (attempt.at, attempt.code.clone(), attempt.part.clone(), attempt.answer.clone())
    };
    let mut here: BTreeMap<_, usize> = BTreeMap::new();
    for attempt in &one {
        *here.entry(key(attempt)).or_default() += 1;
    }
    let mut all = one;
    for attempt in other {
        match here.get_mut(&key(&attempt)) {
            Some(count) if *count > 0 => *count -= 1,
            _ => all.push(attempt),
        }
    }
    all.sort_by_key(|attempt| attempt.at);
    all
}

impl Record for AttemptList {
    fn add(&mut self, attempt: &Attempt, settings: &Settings) -> Result<Progress, RecordError> {
        self.attempts.push(attempt.clone());
        if attempt.ended.is_some() {
            self.unfinished.retain(|one| one.code != attempt.code);
        } else if let Some(begun) = self.begun(&attempt.code) {
            begun.hints = 0;
            begun.written = None;
            begun.attempts.push(attempt.clone());
        }
        let mut numbered = (1..).zip(&self.attempts);
        let of_topic = numbered.by_ref().filter(|(_, each)| each.topic == attempt.topic);
        let progress = of_topic.fold(None, |before, (number, each)| {
            Some(Progress::after(before, each, number, settings))
        });
        progress.ok_or_else(|| RecordError::Failed("the attempt was not kept".to_owned()))
    }

    fn progress(&mut self, settings: &Settings) -> Result<Vec<Progress>, RecordError> {
        let mut topics: BTreeMap<&str, Progress> = BTreeMap::new();
        for (number, attempt) in (1..).zip(&self.attempts) {
            let before = topics.remove(attempt.topic.as_str());
            topics.insert(&attempt.topic, Progress::after(before, attempt, number, settings));
        }
        Ok(topics.into_values().collect())
    }

    fn count(&self) -> Result<u64, RecordError> {
        Ok(self.attempts.len() as u64)
    }

    fn each(&self, take: &mut dyn FnMut(Attempt)) -> Result<(), RecordError> {
        self.attempts.iter().cloned().for_each(take);
        Ok(())
    }

    fn unfinished(&self) -> Result<Vec<Unfinished>, RecordError> {
        Ok(self.unfinished.clone())
    }

    fn begin(&mut self, code: &str, missing: u32) -> Result<(), RecordError> {
        self.leave(code)?;
        let code = code.to_owned();
        let attempts = Vec::new();
        self.unfinished.push(Unfinished { code, missing, hints: 0, written: None, attempts });
        Ok(())
    }

    fn note_hints(&mut self, code: &str, hints: u32) -> Result<(), RecordError> {
        if let Some(begun) = self.begun(code) {
            begun.hints = hints;
        }
        Ok(())
    }

    fn note_written(&mut self, code: &str, answer: &str) -> Result<(), RecordError> {
        if let Some(begun) = self.begun(code) {
            begun.written = Some(answer.to_owned());
        }
        Ok(())
    }

    fn leave(&mut self, code: &str) -> Result<(), RecordError> {
        self.unfinished.retain(|one| one.code != code);
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::super::progress::tests::attempt;
    use super::*;
    use crate::practice::Ending;

    #[test]
    fn two_records_are_joined_without_doubling_what_both_hold() {
        let [first, second, third] =
            [0, 1, 2].map(|day| attempt("mean-capacity", Ending::Alone, day));
        let mut list =
            AttemptList { attempts: vec![first.clone(), third.clone()], ..AttemptList::default() };
        assert_eq!(list.join(vec![second.clone(), third.clone()]), 1);
        assert_eq!(list.attempts, [first, second, third]);
    }

    #[test]
    fn a_list_is_written_and_read_as_json() {
        let mut list = AttemptList::default();
        list.begin("capacity-from-total.aaaa-aaaaa", 2).unwrap();
        let going_on = Attempt { ended: None, ..attempt("mean-capacity", Ending::Alone, 1) };
        list.add(&going_on, &Settings::default()).unwrap();
        let text = serde_json::to_string(&list).unwrap();
        assert!(text.contains("\"at\":\"1970-01-02T00:00:00Z\""), "{text}");
        assert_eq!(serde_json::from_str::<AttemptList>(&text).unwrap(), list);
        assert_eq!(list.unfinished().unwrap()[0].attempts, [going_on]);
    }

    #[test]
    fn a_moment_that_is_not_one_is_refused_when_a_list_is_read() {
        let error = serde_json::from_str::<AttemptList>(
            "{\"attempts\": [{\"at\": \"yesterday\", \"objective\": \"theory\"}]}",
        );
        let error = error.unwrap_err().to_string();
        assert!(error.contains("expected a moment such as"), "{error}");
    }
}
