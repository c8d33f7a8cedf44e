//! From markup to the bytes of a PDF: fonts, shapes, and where a mistake in markup comes from.

pub(in crate::export) mod fonts;
pub(in crate::export) mod typeset;
pub(in crate::export) mod origin;
mod shapes;

pub use fonts::OwnFont;
pub use typeset::{MarkupProblem, Typesetter, is_writable, typeset};
