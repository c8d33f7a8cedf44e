//! A drawn problem.
//!
//! A [`Problem`] is one draw of a template: the stem, the parts asked, and for each part a key that
//! says which answers are right and which wrong ones are known. The working is solved from the
//! template's steps, once without rounding and once along every way of rounding early that is
//! legal; the slips are the same working with a wrong rule put in.
//!
//! A draw is a fair problem when everything the template requires of it holds, its answers are above
//! zero, and no slip leads to a number that would be marked right; others are a [`Refusal`].
//!
//! The files in reading order: the pieces of a problem ([`Block`], the kinds of answer with their
//! [`Key`], [`Part`], [`Drawing`]), the solving of a working, the keys made from it, the values as texts show them, the [`Problem`]
//! itself and why one could not be drawn ([`DrawProblem`]), the worked solution, and problems made
//! from one's own numbers ([`Given`]).

mod letter;
mod block;
mod fields;
mod kind;
mod part;
mod drawing;
mod theory;
mod solve;
mod paths;
mod key;
mod shown;
mod refusal;
mod balance;
mod drawn;
mod sources;
mod worked;
mod following;
mod slipped;
mod given;
mod given_texts;
mod own_numbers;
mod wanted;
mod selection;

pub use balance::Balance;
pub use block::Block;
pub use drawing::Drawing;
pub use drawn::{Problem, Solved};
pub use fields::Fields;
pub use following::Following;
pub use given::{Given, GivenProblem, GivenValue, NumberUsed, Origin};
pub use kind::{
    AnswerSpace, ChoiceKey, JudgementKey, Key, MatchingKey, NumberKey, OrderingKey, Response,
    SlipValue, SlipVerdict, VerdictKey, least_gap,
};
pub use letter::{letter, letter_index};
pub use part::Part;
pub use refusal::{DrawProblem, Refusal};
pub use selection::{Selection, SelectionProblem, practice_title};
pub use slipped::PairValue;
pub use worked::{BatchLine, WorkProblem, WorkedMethod, WorkedStep};
