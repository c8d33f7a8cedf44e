//! What a question gives away without any knowledge of its subject.
//!
//! A [`Reader`] knows nothing of pharmacy and guesses by clues alone; [`Guesses`] compares its marks
//! with those of blind chance, and [`Memory`] counts how much of a draw was seen in earlier ones.
//!
//! The clues are flaws that writers of questions avoid: words of the question that come again in the right
//! option, a right option that is longer or shorter than the others or of middle length, absolute and hedged
//! words, negations, another first word, options that are unlike the others or more like them, and a term
//! that is right in most draws. That options should be alike in length and in grammar is
//! among the guidelines of Haladyna, Downing and Rodriguez, Applied Measurement in Education 15(3), 309-334
//! (2002); for the others no source is named.

mod words;
mod reader;
mod guesses;
mod memory;

pub use guesses::{Guess, Guesses};
pub use memory::Memory;
pub use reader::{Clue, Reader};
