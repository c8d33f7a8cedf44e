//! The sheet for the bench, and the readings of a class, in every format.
//!
//! Both are first put together as a [`BenchDocument`]: pieces in the order in which they are read, and the
//! plain data for programs. Then each format writes the pieces; its [`Exporter`](super::Exporter) calls
//! the file of its name here.

mod document;
mod sheet;
mod readings;
mod text;
mod markdown;
mod html;
#[cfg(feature = "pdf")]
mod pdf;

pub use document::{BenchDocument, Piece};

pub(super) use html::page;
pub(super) use markdown::markdown;
#[cfg(feature = "pdf")]
pub(super) use pdf::pdf;
pub(super) use text::text;

/// The document as JSON. `castmark_bench_sheet` and `castmark_readings` are the versions of the field
/// names, now 1; one is raised when a field changes its meaning or goes.
pub(super) fn json(document: &BenchDocument) -> String {
    format!("{:#}\n", document.data)
}
