//! The files as an instructor writes them. What each key means at length, with examples, is in
//! `question-templates/README.md`.
//!
//! Every number is kept as the text that was written: `0.90` stays `0.90`.

pub(super) mod template;
pub(super) mod values;
pub(super) mod working;
pub(super) mod parts;
pub(super) mod facts;
pub(super) mod topics;
pub(super) mod blueprint;
pub(super) mod rules;
pub(super) mod order;
mod schema;

pub use schema::FileKind;
