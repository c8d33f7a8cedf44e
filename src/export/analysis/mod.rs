//! The report of an item analysis as bytes.
//!
//! What is told in words and tables is put together once, in [`sections`]; text and page set it, and
//! the page, on the web or in print, adds plots. CSV has a row an item, JSON has everything.

#![allow(
    clippy::float_arithmetic,
    clippy::cast_precision_loss,
    reason = "statistics are rounded and plotted here; no drawing, solving or marking uses them"
)]

mod figures;
mod sections;
mod items;
mod subjects;
mod results;
mod text;
mod csv;
mod json;
mod drawing;
mod distribution;
mod scatter;
mod heat;
mod plots;
mod page;
#[cfg(feature = "pdf")]
mod pdf;

pub use self::csv::analysis_csv;
pub use json::analysis_json;
pub use page::analysis_page;
#[cfg(feature = "pdf")]
pub use pdf::analysis_pdf;
pub use text::analysis_text;
