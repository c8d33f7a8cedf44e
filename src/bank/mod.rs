//! What an instructor writes: templates and facts, read and checked.
//!
//! A [`Bank`] is loaded from files ([`SourceText`]); either everything in them is right, or a
//! [`Report`] tells everything that is wrong, each [`Complaint`] with its place and what to do.
//!
//! The way of a file: it is read into its written form, then checked piece by piece at a desk that
//! knows where everything stands, and comes out as a [`Template`] in which nothing need be looked up
//! any more, or as a table of [`Facts`].

mod complaint;
mod report;
mod node;
mod form;
mod description;
mod token;
pub(crate) mod parallel;
mod reading;
mod written;
mod written_parts;
mod desk;
mod facts;
mod tables;
mod combination;
mod theory;
mod template;
mod picks;
mod values;
mod order;
mod parts;
mod pools;
mod asking;
mod slips;
mod checking;
pub(crate) mod tags;
mod texts;
mod naming;
mod usage;
#[allow(clippy::module_inception, reason = "the bank is the noun of this folder")]
mod bank;
mod blueprint_text;
mod alikeness;
mod blueprint;
mod schema;
mod written_rules;

pub use bank::Bank;

pub use alikeness::Alikeness;
pub use blueprint::{Blueprint, PaperSection, PlannedQuestion};
pub use combination::{selection, ways};
pub use complaint::{Complaint, SourceText};
pub use facts::{Bearing, Claim, Column, ColumnKind, Fact, Facts, Row, Source, Standing, Table};
pub use report::Report;
pub use schema::FileKind;
pub use template::{
    BatchRow, Convention, DrawingPlan, Name, NumberPlan, Objective, PartPlan, PickOption,
    Requirement, Rule, Slip, Step, Template, Tolerance, Value, Wanted,
};
pub use theory::{
    Case, Choice, ChoiceCase, JudgementCase, MatchingCase, OrderingCase, Point, RangeCase,
    TextCase, TheoryPlan, WrittenCase,
};
pub use written_rules::WrittenRules;
