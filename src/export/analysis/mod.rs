//! The report of an item analysis as bytes.
//!
//! What is told in words and tables is put together once, in [`sections`]; a layout of every format sets
//! it, those of pages with plots. CSV has a row an item, JSON has everything.

#![allow(
    clippy::float_arithmetic,
    clippy::cast_precision_loss,
    reason = "statistics are rounded and plotted here; no drawing, solving or marking uses them"
)]

mod figures;
mod section;
mod sections;
mod items;
mod subjects;
mod results;
mod columns;
mod csv;
mod json;
mod plots;
mod fields;

pub(super) use self::csv::analysis_csv;
pub(super) use fields::report_fields;
pub(super) use json::analysis_json;
