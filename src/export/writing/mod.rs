//! What every format writes: text escaped, lines broken, pictures and plots drawn.

pub(in crate::export) mod escape;
pub(in crate::export) mod lines;
pub(in crate::export) mod markdown;
pub(in crate::export) mod picture;
mod square;
pub(in crate::export) mod plot;

pub use escape::readable;
pub use picture::Picture;
pub use plot::{Course, Shares};
pub use square::Square;
