//! A file is read into its written form, every piece with its location, and what is wrong is noted.
//!
//! `form!` (in [`group`]) describes a group of keys once; the type it makes knows its form, which
//! [`yaml`] reads by and complaints and the schema for editors are made from. The bytes of each piece
//! come from one pass over the file (`locations`), taken when the first complaint needs one.

pub(super) mod complaint;
mod report;
pub(super) mod noted;
pub(super) mod form;
pub(super) mod locations;
pub(super) mod node;
mod yaml;
pub(super) mod checker;
pub(super) mod written;
pub(super) mod words;
pub(super) mod group;

pub use complaint::Complaint;
pub use report::Report;
pub(crate) use yaml::RESERVED;
