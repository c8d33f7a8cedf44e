//! The fields that a layout of sheets reads.

mod lazy_fields;
pub(in crate::export) mod pieces;
pub(in crate::export) mod view;
