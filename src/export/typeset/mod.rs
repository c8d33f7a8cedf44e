//! From markup to the bytes of a PDF: fonts, shapes, and where a mistake in markup comes from.

pub(in crate::export) mod setting;
pub(in crate::export) mod origin;
mod shapes;

pub use setting::{MarkupProblem, Typesetter, is_writable, typeset};
