//! A drawn problem.
//!
//! A [`Problem`] is one draw of a template: the stem, the parts asked, and for each part a key that
//! says which answers are right and which wrong ones are known. The working is solved from the
//! template's steps, once without rounding and once along every way of rounding early that is
//! legal; the slips are the same working with a wrong rule put in.
//!
//! The files in reading order: the pieces of a problem ([`Part`], [`Block`], [`Drawing`]), its
//! solving ([`solve`]), the keys made from it, the texts with the values put in, the problem itself,
//! the worked solution, and problems made from one's own numbers ([`Given`]).

mod part;
mod block;
mod drawing;
pub mod solve;
mod key;
mod text;
mod drawn;
mod worked;
mod given;

pub use block::Block;
pub use drawing::Drawing;
pub use drawn::{DrawProblem, Problem};
pub use given::{Given, GivenProblem, GivenValue};
pub use part::{NumberKey, Part, Response, SlipValue};
pub use worked::{BatchLine, WorkProblem, WorkedStep};
