//! Practice: what a student has shown, and what to practise next.
//!
//! Everything here is a pure function of recorded attempts, settings and a day number handed in;
//! nothing reads a clock. In reading order: the [`Settings`] with their checked ranges; an
//! [`Attempt`] and what it says of the student ([`Mastery`], the box in which it is [`Boxed`]
//! for spaced review, the [`Fade`] of a worked example, together the [`Progress`] in a topic); what comes next
//! ([`Subject`], [`Plan`], [`choose`]); the [`Record`] with its two homes, a [`RecordFile`] and an
//! [`AttemptList`]; the [`Exercise`] that leads through one problem; the [`Session`] that leads through
//! one after the other, and the [`Overview`] of all.
//!
//! Numbers here are chances between 0 and 1, estimates and never marks, so they are binary floats.

#![allow(
    clippy::float_arithmetic,
    reason = "mastery is an estimate of a chance; no drawing, solving or marking uses it"
)]

#[cfg(test)]
use std::sync::LazyLock;

#[cfg(test)]
use crate::bank::Bank;

mod settings;
mod settings_file;
mod attempt;
mod luck;
mod mastery;
mod boxes;
mod fading;
mod progress;
mod subject;
mod plan;
mod next;
mod record;
#[cfg(feature = "record")]
mod file;
mod list;
mod digest;
mod reading;
mod question;
mod exercise;
mod hint;
mod solution;
mod session;
mod overview;
mod overview_words;

pub use attempt::{Attempt, Ending, Unfinished, day_of, day_text, moment_text, read_day};
pub use boxes::Boxed;
pub use digest::Digest;
pub use exercise::{Exercise, Judged};
pub use fading::Fade;
#[cfg(feature = "record")]
pub use file::RecordFile;
pub use hint::Hint;
pub use list::{AttemptList, attempts_json, joined, read_attempts};
pub use luck::luck;
pub use mastery::Mastery;
pub use next::{Choice, Situation, Why, choose};
pub use overview::{DayRow, ObjectiveRow, Overview, Readiness, SlipRow, TopicRow, pace};
pub use overview_words::MEANING;
pub use plan::{Plan, USUAL_PACE};
pub use progress::{Progress, RECENT, TemplateProgress};
pub use question::Question;
pub use reading::{Marked, Outcome};
pub use record::{Record, RecordError};
pub use session::{
    Coming, End, EndedShown, Event, HintShown, Phase, PointsShown, ProblemShown, QuestionShown,
    Room, Session, SessionProblem, Shown, Summary, Today, VerdictShown, Wish, some_of,
};
pub use settings::{Settings, SettingsProblem};
pub use settings_file::{SettingsFileProblem, read_settings};
pub use solution::answer_in_words;
pub use subject::{Stage, Subject};

/// The bundled bank, read once for all tests here.
#[cfg(test)]
fn bundled() -> &'static Bank {
    static BANK: LazyLock<Bank> = LazyLock::new(|| Bank::bundled().expect("the bank is sound"));
    &BANK
}
