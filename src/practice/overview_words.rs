//! How far a student is, in words.

use std::fmt::Write;

use crate::words::{counted, is_or_are};

use super::session::some_of;
use super::{ObjectiveRow, Overview, Readiness, SlipRow, TopicRow, day_text};

/// What the three words mean.
pub const MEANING: &str = "Ready: each kind of problem of the topic was solved alone, and no review \
     is overdue. Shaky: begun, or not reviewed in time. Not yet: new, or only worked examples so far.";

impl Overview {
    /// The answer to "am I ready?" in a few sentences.
    pub fn summary(&self) -> Vec<String> {
        let are = |readiness, word: &str| {
            let count = self.count(readiness);
            format!("{count} {} {word}", is_or_are(count))
        };
        let mut said = vec![format!(
            "Of {}, {}, {} and {}.",
            counted(self.topics.len(), "topic"),
            are(Readiness::Ready, "ready"),
            are(Readiness::Shaky, "shaky"),
            are(Readiness::NotYet, "not ready yet")
        )];
        if let Some(plan) = &self.plan {
            let exam = day_text(plan.exam);
            if plan.days > 0 {
                let topics = if plan.new_a_day == 1 { "topic" } else { "topics" };
                said.push(format!(
                    "Your exam is on {exam}. The plan is {} new {topics} a day. At your pace so far, {} \
                     topics will be ready that day.",
                    plan.new_a_day,
                    self.forecast.unwrap_or(0)
                ));
            } else {
                said.push(format!("Your exam is or was on {exam}."));
            }
            if plan.days > 0 && !plan.left_out.is_empty() {
                let title = |id: &String| {
                    let row = self.topics.iter().find(|row| row.id == *id);
                    row.map_or(id.clone(), |row| row.title.clone())
                };
                let titles: Vec<String> = plan.left_out.iter().map(title).collect();
                said.push(format!(
                    "There is not enough time for all topics; leave these for last: {}.",
                    some_of(&titles)
                ));
            }
        }
        if self.gone > 0 {
            said.push(format!(
                "Your record also holds answers to {} that this bank does not have.",
                if self.gone == 1 { "a topic".to_owned() } else { format!("{} topics", self.gone) }
            ));
        }
        said
    }
}

impl TopicRow {
    /// One line for a topic: `Calibrating a mould: ready, review in 3 days`.
    pub fn words(&self) -> String {
        let mut line = format!("{}: {}", self.title, self.readiness.name());
        match self.review_in {
            Some(..=-1) => line.push_str(", review overdue"),
            Some(0) => line.push_str(", review today"),
            Some(1) => line.push_str(", review tomorrow"),
            Some(days) => {
                let _ = write!(line, ", review in {days} days");
            }
            None if self.problems > 0 && self.templates_left > 0 => {
                let kinds = if self.templates_left == 1 { "kind" } else { "kinds" };
                let _ = write!(line, ", {} {kinds} of problem to solve alone", self.templates_left);
            }
            None => {}
        }
        line
    }
}

impl SlipRow {
    /// One slip with its example.
    pub fn words(&self) -> String {
        let times = match self.count {
            1 => "once".to_owned(),
            2 => "twice".to_owned(),
            count => format!("{count} times"),
        };
        let (title, says) = (&self.title, self.says.trim_end_matches('.'));
        format!("{says} ({times}). The last time: {} in {} ({title}).", self.answer, self.code)
    }
}

impl ObjectiveRow {
    /// `Base quantity`.
    pub fn title(&self) -> String {
        let name = self.objective.name().replace('-', " ");
        let mut letters = name.chars();
        letters.next().map_or(String::new(), |first| first.to_uppercase().chain(letters).collect())
    }

    /// `Calibration: 2 ready, 1 shaky, 1 not yet`.
    pub fn words(&self) -> String {
        format!(
            "{}: {} ready, {} shaky, {} not yet",
            self.title(),
            self.ready,
            self.shaky,
            self.not_yet
        )
    }
}
