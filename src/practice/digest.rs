//! What a record comes to, without its attempts.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::{Attempt, AttemptList, Progress, Record, RecordError, Settings, Unfinished, day_of};

/// A record of which only what the next problem depends on is kept, while the caller holds the
/// attempts: so an answer costs no more after thousands of others than after the first.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Digest {
    /// How many attempts there are.
    count: u64,
    /// The progress in each topic tried.
    progress: BTreeMap<String, Progress>,
    /// How many problems ended on each day.
    ended: BTreeMap<i64, usize>,
    /// The attempts added that the caller has not taken yet, and the problems begun.
    fresh: AttemptList,
}

impl Digest {
    /// What a list of attempts comes to.
    ///
    /// # Errors
    /// Never; a record that is a list can be read.
    pub fn of(list: AttemptList, settings: &Settings) -> Result<Self, RecordError> {
        let progress = AttemptList { unfinished: Vec::new(), ..list.clone() }
            .progress(settings)?
            .into_iter()
            .map(|each| (each.topic.clone(), each));
        Ok(Self {
            count: list.count()?,
            progress: progress.collect(),
            ended: list.ended_by_day()?,
            fresh: AttemptList { attempts: Vec::new(), unfinished: list.unfinished },
        })
    }

    /// The attempts that were added since they were last taken.
    pub fn take_added(&mut self) -> Vec<Attempt> {
        std::mem::take(&mut self.fresh.attempts)
    }

    /// The problems that were begun and not ended, oldest first.
    pub fn begun(&self) -> &[Unfinished] {
        &self.fresh.unfinished
    }

    /// The progress in each topic tried, in the order of their ids.
    pub fn topics(&self) -> Vec<Progress> {
        self.progress.values().cloned().collect()
    }

    /// How many problems ended on a day.
    pub fn ended_on(&self, day: i64) -> usize {
        self.ended.get(&day).copied().unwrap_or(0)
    }
}

impl Record for Digest {
    fn add(&mut self, attempt: &Attempt, settings: &Settings) -> Result<Progress, RecordError> {
        self.fresh.add(attempt, settings)?;
        self.count += 1;
        if attempt.ended.is_some() {
            *self.ended.entry(day_of(attempt.at)).or_default() += 1;
        }
        let before = self.progress.remove(&attempt.topic);
        let after = Progress::after(before, attempt, self.count, settings);
        self.progress.insert(attempt.topic.clone(), after.clone());
        Ok(after)
    }

    fn progress(&mut self, _: &Settings) -> Result<Vec<Progress>, RecordError> {
        Ok(self.topics())
    }

    fn count(&self) -> Result<u64, RecordError> {
        Ok(self.count)
    }

    fn each(&self, _: &mut dyn FnMut(Attempt)) -> Result<(), RecordError> {
        Err(RecordError::Failed("the attempts are not in it".to_owned()))
    }

    fn ended_by_day(&self) -> Result<BTreeMap<i64, usize>, RecordError> {
        Ok(self.ended.clone())
    }

    fn unfinished(&self) -> Result<Vec<Unfinished>, RecordError> {
        self.fresh.unfinished()
    }

    fn begin(&mut self, code: &str, missing: u32) -> Result<(), RecordError> {
        self.fresh.begin(code, missing)
    }

    fn note_hints(&mut self, code: &str, hints: u32) -> Result<(), RecordError> {
        self.fresh.note_hints(code, hints)
    }

    fn note_written(&mut self, code: &str, answer: &str) -> Result<(), RecordError> {
        self.fresh.note_written(code, answer)
    }

    fn leave(&mut self, code: &str) -> Result<(), RecordError> {
        self.fresh.leave(code)
    }
}

#[cfg(test)]
mod tests {
    use super::super::progress::tests::attempt;
    use super::*;
    use crate::practice::Ending;

    #[test]
    fn a_digest_that_grew_is_that_of_the_whole_record() {
        let settings = Settings::default();
        let attempts: Vec<Attempt> = [
            ("mean-capacity", Ending::Alone, 1),
            ("one-drug", Ending::NotSolved, 1),
            ("mean-capacity", Ending::Helped, 4),
        ]
        .map(|(topic, ending, day)| attempt(topic, ending, day))
        .to_vec();
        let mut grown = Digest::default();
        for attempt in &attempts {
            grown.add(attempt, &settings).unwrap();
        }
        assert_eq!(grown.take_added(), attempts);
        let list = AttemptList { attempts, ..AttemptList::default() };
        assert_eq!(grown, Digest::of(list, &settings).unwrap());
        assert_eq!((grown.ended_on(1), grown.ended_on(2), grown.ended_on(4)), (2, 0, 1));
    }

    #[test]
    fn a_digest_has_no_attempts_to_go_through() {
        assert!(Digest::default().each(&mut |_| ()).is_err());
    }
}
