//! The files of a bank: what each is called and holds, and those that come with the program.

mod source_text;
mod outline;
mod bundled;

pub use source_text::SourceText;

pub(super) use bundled::{bundled, outline_of};
pub(super) use source_text::Sort;
