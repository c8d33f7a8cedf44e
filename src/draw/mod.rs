//! From a seed to values.
//!
//! A [`Seed`] is made from a key and some names; a [`Stream`] of random numbers flows from it; the
//! [`Space`] of a template says how many draws there are and turns a place in it into a [`Draw`]; a
//! [`Count`] says how many of them are fair problems; a [`Permutation`] gives every candidate of a class a place of their own; a [`Code`] is what is
//! printed to find a practice problem again.
//!
//! Nothing here depends on the helpers of the random number library, whose values may change from
//! version to version: only the generator itself is used, and it is pinned by published vectors.

mod seed;
mod stream;
mod drawn;
mod space;
mod count;
mod permutation;
mod code;

pub use code::{Code, CodeProblem, letters, read_letters};
pub use count::Count;
pub use drawn::{Draw, NoValue};
pub use permutation::Permutation;
pub use seed::Seed;
pub use space::Space;
pub use stream::Stream;
