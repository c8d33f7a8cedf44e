//! The small arithmetic language of templates.

mod math;
mod program;

pub use math::Math;
pub use program::{Fault, Formula, FormulaProblem, Program, Scope, Shape, Slot, Words};
