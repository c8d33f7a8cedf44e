//! From an order to what is weighed out at the bench.
//!
//! [`solve`] takes an [`Order`](crate::bank::Order), in which every value is the text that somebody
//! wrote, and gives a [`Batch`]: the sheet for the bench as plain data, and the exact figures behind it.
//! Everything that is wrong with the order is told together, each value by the keys that lead to it.
//! [`ClassReadings`] puts the readings of a whole class beside what is expected of them.
//!
//! The files in reading order: the reader of an order, then what it reads (how many units,
//! the mould, the base, what a drug displaces, the ingredients), the working, what is checked and what
//! is implausible, the work at the bench, the sheet, what the facts offer for an order, and the class.

mod order_reader;
mod show;
mod counting;
mod base;
mod mould;
mod displacing;
mod correction;
mod ingredient;
mod balance;
mod plan;
mod figures;
mod working;
mod unsuited;
mod implausible;
mod bench;
mod sheet;
mod offered;
mod class;

pub use class::{ClassProblem, ClassReadings, ClassRow, ReadingCell, Slip};
pub use figures::{Figures, IngredientFigures};
pub use offered::{Offered, OfferedDrug, OfferedValue};
pub use sheet::{
    Batch, BenchSheet, Check, IngredientRow, Remark, ValueUsed, WorkingSection, WorkingStep, solve,
};
