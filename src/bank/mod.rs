//! What an instructor writes: templates and facts, read and checked.
//!
//! A [`Bank`] is loaded from files ([`SourceText`]); either everything in them is right, or a
//! [`Report`] lists everything that is wrong, each [`Complaint`] with its location and what to do.
//!
//! The way of a file: it is read into its written form, then checked piece by piece by a checker that
//! knows where everything stands, and comes out as a [`Template`] in which nothing need be looked up
//! any more, or as a table of [`Facts`]. The folders are in the order of that way.
//!
//! A command that needs one template does not read two hundred. Files that were found to be sound
//! before (those of the program, and those of a page) go the same way when their template or table is
//! first asked for; until then, a template is known by its [`Heading`], from the lines of its file, which
//! `build.rs` has looked at for the program's own.

pub(crate) mod parallel;
mod deferred;
mod files;
mod reading;
mod written;
mod template;
mod facts;
mod tables;
mod claims;
mod topics;
mod asking;
mod wording;
mod checking;
mod shelf;
mod loading;
mod blame;
#[allow(clippy::module_inception, reason = "the bank is the noun of this folder")]
mod bank;
mod blueprint;
mod order;
mod order_file;

pub(crate) use reading::RESERVED;
pub(crate) use template::sentence::Piece;
pub(crate) use wording::lists::{Lists, forbidden};
pub(crate) use wording::tags::too_much;
pub(crate) use wording::texts::marked_by;

pub use bank::Bank;
pub use blueprint::{
    Alikeness, Blueprint, Clock, Cover, Grade, Grading, PaperSection, PlannedQuestion, Threshold,
    WrittenRules,
};
pub use checking::ROUNDING_RULE;
pub use facts::{Bearing, Claim, Column, ColumnKind, Fact, Facts, Reliance, Row, Source, Table};
pub use files::SourceText;
pub use order::{
    Order, OrderProblem, OrderedBalance, OrderedBase, OrderedCasts, OrderedDrug, OrderedMould,
    OrderedPart, OrderedSalt,
};
pub use order_file::OrderFile;
pub use reading::{Complaint, Report};
pub use template::combination::{selection, ways};
pub use template::heading::Heading;
pub use template::objective::{Convention, Objective};
pub use template::term::Term;
pub use template::theory::{
    Case, Choice, ChoiceCase, JudgementCase, MatchingCase, OrderingCase, Point, RangeCase,
    TextCase, TheoryPlan, WrittenCase,
};
pub use template::verdict::{VerdictChoice, VerdictPlan};
pub use template::{
    BatchRow, DrawingPlan, Method, Name, NumberPlan, PartPlan, PickOption, Plausible, Requirement,
    Slip, Step, Template, Tolerance, Value, ValueRule, WIDEST_RANGE, Wanted,
};
pub use topics::Topic;
pub use written::FileKind;
