//! What an instructor writes: templates and facts, read and checked.

mod template;

pub use template::*;
