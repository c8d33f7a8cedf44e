//! The sentences of a template: the names in them, and whether they give what the working needs.

pub(crate) mod lists;
pub(crate) mod tags;
pub(super) mod texts;
pub(super) mod naming;
pub(super) mod usage;
