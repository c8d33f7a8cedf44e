//! Documents of the office: lists, plans and labels, as plain data and as bytes in every format.
//!
//! An [`OfficeSheet`] is headings, sentences, tables and boxes; it has no layout of its own, so that
//! every format sets it alike. What stands in one is put together in [`super::room`].

mod sheet;
pub(in crate::export) mod text;
pub(in crate::export) mod markdown;
pub(in crate::export) mod html;
pub(in crate::export) mod json;
#[cfg(feature = "pdf")]
pub(in crate::export) mod pdf;

pub use sheet::{OfficeBlock, OfficeColumn, OfficeSheet};
