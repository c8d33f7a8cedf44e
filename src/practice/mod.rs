//! Practice: what a student has shown, and what to practise next.
//!
//! Everything here is a pure function of recorded attempts, settings and a day number handed in;
//! nothing reads a clock. In reading order: the [`Settings`] with their checked ranges, the
//! [`Mastery`] of an objective, the [`Place`] of an objective in the boxes of spaced review, the
//! [`Fade`] of a worked example, the [`choose`] of what comes next among the [`Subject`]s of a bank,
//! the [`Exercise`] that leads through one problem, and the [`Record`] of [`Attempt`]s, which is the
//! one thing here that touches a file.
//!
//! Numbers here are chances between 0 and 1, estimates and never marks, so they are binary floats.

#![allow(
    clippy::float_arithmetic,
    reason = "mastery is an estimate of a chance; no drawing, solving or marking uses it"
)]

mod settings;
mod mastery;
mod boxes;
mod fading;
mod next;
mod attempt;
#[cfg(feature = "record")]
mod record;
mod exercise;
mod subject;
mod overview;
mod settings_file;

pub use attempt::{Attempt, Progress, Unfinished, day_of, moment_text};
pub use boxes::Place;
pub use exercise::{Exercise, Hint, Judged, Question};
pub use fading::Fade;
pub use mastery::Mastery;
pub use next::{Candidate, Choice, Why, choose};
pub use overview::{ObjectiveRow, Overview, SubjectRow};
#[cfg(feature = "record")]
pub use record::{Record, RecordError};
pub use settings::{Settings, SettingsProblem};
pub use settings_file::{SettingsFileProblem, read_settings};
pub use subject::{Subject, subject_name};
