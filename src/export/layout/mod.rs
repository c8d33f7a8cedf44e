//! Layouts: what a format lets them do, how they are compiled, and what is said of a mistake in one.

mod document_kind;
pub(in crate::export) mod fields;
mod layout_problem;
mod functions;
pub(in crate::export) mod mistakes;
pub(in crate::export) mod format;
mod blocks;
mod fuel;
mod compiled;
mod options;
mod export_error;

pub use compiled::{Layout, Watch};
pub use document_kind::DocumentKind;
pub use export_error::ExportError;
pub use layout_problem::LayoutProblem;
pub use options::{Options, PaperSize, TypeSize};
