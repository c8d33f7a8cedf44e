//! A file is read into its written form, every piece with its place, and what is wrong is noted.

pub(super) mod complaint;
mod report;
pub(super) mod noted;
pub(super) mod node;
pub(super) mod form;
pub(super) mod token;
pub(super) mod yaml;
pub(super) mod desk;
pub(super) mod file;

pub use complaint::{Complaint, SourceText};
pub use report::Report;
