//! A drawn problem.

mod block;
mod drawing;

pub use block::Block;
pub use drawing::Drawing;
