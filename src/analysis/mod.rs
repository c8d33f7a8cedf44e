//! Item analysis: what a marked class tells about the questions and about itself.
//!
//! In reading order: the table of [`Scores`]; the [`Undefined`] a statistic may be, always with its
//! reason; [`moments`] of lists of numbers; the [`Item`] statistics; the [`Reliability`] of the
//! whole; [`Distractor`]s of questions with options; [`Between`] variants of one template; and the
//! [`Bands`] by which numbers are put into words. Then what a class gives to them: its [`Marks`] as
//! they were written, kept as [`Lines`], the [`Class`] they are of, and all of it together in a
//! [`Report`].
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
mod pool;
mod lists;
mod lines;
mod marks;
mod class;
mod redrawn;
mod chosen;
mod differences;
mod templates;
mod slips;
mod objectives;
mod passing;
mod groups;
mod sittings;
mod report;

pub use bands::{Bands, Discrimination, Facility};
pub use chosen::{Chosen, ChosenOption, chosen};
pub use class::{Class, ClassItem};
pub use differences::{Difference, chance_of, change, difference, quantile};
pub use distractor::{Distractor, OptionCount, distractors};
pub use groups::{GroupRow, Groups};
pub use item::{Item, items};
pub use lines::{Lines, MarkLine};
pub use marks::{Marks, MarksProblem};
pub use objectives::{ObjectiveRow, objectives};
pub use passing::{Near, Passing, Total, totals};
pub use redrawn::Redrawn;
pub use reliability::{Reliability, reliability, spearman_brown};
pub use report::{Report, ReportItem, ReportSettings};
pub use scores::{Scores, ScoresProblem};
pub use sittings::{Both, OtherSitting, Sittings};
pub use slips::{SlipCount, SlipExample, slips};
pub use statistic::{Interval, Statistic, Undefined};
pub use templates::{TemplateRow, templates};
pub use variant::{Between, between_variants};
