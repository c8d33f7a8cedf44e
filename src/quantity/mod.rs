//! Exact decimals with units.
//!
//! Everything a problem is made of is a [`Quantity`]: an [`Exact`] decimal and a [`Unit`].
//! There is no binary floating point here, so `0.90` stays `0.90` and `0.1 + 0.2` is `0.3`.
//!
//! The files in reading order: [`Exact`] numbers, the [`Dimension`] of a thing, the table of
//! [`Unit`]s, the [`Quantity`] made of them, named ways of [`Rounding`], and the reading of what a
//! person typed.

mod exact;
mod dimension;
mod unit;
mod value;
mod rounding;
mod digits;
mod read_problem;
mod reading;

pub use dimension::Dimension;
pub use exact::{Arithmetic, Exact};
pub use read_problem::ReadProblem;
pub use reading::{LONGEST_ANSWER, Typed, read_number, read_quantity, split_readings};
pub use rounding::Rounding;
pub use unit::{UNITS, Unit, UnitRow, UnknownUnit};
pub use value::Quantity;
