//! The castmark program.
fn main() {}
