//! Castmark draws problems on moulded dosage forms (suppositories, pessaries, bougies), works them,
//! marks answers, and prints sheets, keys and papers.
//!
//! A code names a problem for good: the same code gives the same problem on every machine. From code
//! to verdict it is four steps.
//!
//! ```
//! use castmark::bank::Bank;
//! use castmark::draw::Code;
//! use castmark::marking::{Standing, mark};
//! use castmark::problem::Problem;
//!
//! let bank = Bank::bundled()?;
//! let code = Code::parse("base-one-unit.aaaa-aaaaa")?;
//! let problem = Problem::from_code(&bank, &code)?;
//!
//! let key = problem.parts[0].response.answer();
//! assert_eq!(mark(&problem, 0, &key).standing(), Standing::Correct);
//! assert_eq!(mark(&problem, 0, "a guess").standing(), Standing::NotRead);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! # The way of one value
//!
//! 1. [`bank`] reads what an instructor writes. A value of a template is a rule, such as
//!    `from: 8, to: 24`; its unit and the dimensions of every formula are checked when it is loaded.
//! 2. [`draw`] counts the problems of a template and turns the place that a seed chooses into values,
//!    each an exact decimal with a unit ([`quantity`]).
//! 3. [`problem`] runs the steps of the working ([`formula`]) over the values: once exactly, once along
//!    every permitted way of rounding, and once for each known slip.
//! 4. [`export`] makes a sheet of it, as text, Markdown, HTML, JSON or PDF.
//! 5. [`marking`] compares an answer with what is accepted and with the slips, and decides the award.
//! 6. [`practice`] chooses what comes next from a student's attempts; [`paper`] makes a whole class's
//!    papers and marks them; [`analysis`] shows what the marks say.
//!
//! The modules form layers, in the order below; none imports from a later one. The library does not
//! print, read the clock or the environment, or use the network; only the record of practice touches
//! a file, the one it is given.
//!
//! Beside questions, [`batch`] works an order from the bench: what to weigh out, and a sheet for it.
//!
//! # Caution
//!
//! Everything here is for teaching and self-assessment only, not for preparing or supplying medicines.

pub mod words;
pub mod quantity;
pub mod formula;
pub mod bank;
pub mod batch;
pub mod draw;
pub mod problem;
pub mod marking;
pub mod marks;
pub mod scrutiny;
pub mod paper;
pub mod practice;
pub mod analysis;
pub mod export;
pub mod page;
