//! Item analysis: what a marked class tells about the questions and about itself.
//!
//! In reading order: the table of [`Scores`]; the [`Undefined`] a statistic may be, always with its
//! reason; [`moments`] of lists of numbers; the [`Item`] statistics; the [`Reliability`] of the
//! whole; [`Distractor`]s of questions with options; [`Between`] variants of one template; and the
//! [`Bands`] by which numbers are put into words.
//!
//! Which variance: the reliability of right-or-wrong items by KR-20 uses the population variance
//! (divisor N) for totals, because p(1-p) is one; alpha uses one divisor throughout, and any one
//! gives the same number. The standard error of measurement says which standard deviation it used.

#![allow(
    clippy::float_arithmetic,
    clippy::cast_precision_loss,
    reason = "statistics of marks already given; no drawing, solving or marking uses them"
)]

mod scores;
mod statistic;
pub mod moments;
mod item;
mod reliability;
mod distractor;
mod variant;
mod bands;

pub use bands::{Bands, Discrimination, Facility};
pub use distractor::{Distractor, OptionCount, distractors};
pub use item::{Item, items};
pub use reliability::{Reliability, reliability, spearman_brown};
pub use scores::{Scores, ScoresProblem};
pub use statistic::{Interval, Statistic, Undefined};
pub use variant::{Between, between_variants};
