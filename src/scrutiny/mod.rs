//! What a question gives away without any knowledge of its subject.
//!
//! A [`Reader`] knows nothing of pharmacy and guesses by clues alone; [`Guesses`] compares its marks
//! with those of blind chance, and [`Memory`] counts how much of a draw was seen in earlier ones.
//!
//! The clues are the flaws of item writing and the habits of test-wise candidates described by
//! J. Millman, C. H. Bishop and R. Ebel, "An analysis of test-wiseness", Educational and Psychological
//! Measurement 25 (1965) 707-726, and by T. M. Haladyna, S. M. Downing and M. C. Rodriguez, "A review of
//! multiple-choice item-writing guidelines for classroom assessment", Applied Measurement in Education
//! 15 (2002) 309-333: words of the question that come again in the right option, the length of the
//! right option, absolute and hedged words, and options that are unlike the others.

mod words;
mod reader;
mod guesses;
mod memory;

pub use guesses::{Guess, Guesses};
pub use memory::Memory;
pub use reader::{Clue, Reader};
