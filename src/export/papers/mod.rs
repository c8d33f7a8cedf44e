//! The documents of a paper, and the file that holds those of a whole class.

mod press;
mod binder;

pub use binder::Binder;
pub use press::{Document, PaperPress, Reader};
