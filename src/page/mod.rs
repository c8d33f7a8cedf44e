//! The engine spoken to in JSON: a request goes in, a reply comes out, and the state is in the caller's
//! hands. A page in a browser talks to it through `exports/page/engine`.
//!
//! A [`Page`] is opened with its [`Contents`] (a few facts and the files of its bank) and is the same
//! ever after; [`Page::reply`] answers a request by it and by the state that the request brings.
//!
//! In reading order: what a page holds, the request and the reply, the state; then one file for each
//! thing that can be asked, the table with the problem on it in several.
#![doc = include_str!("protocol.md")]

mod contents;
mod fault;
mod talk;
mod state;
mod catalogue;
mod day;
mod practising;
mod hints;
mod table;
mod replay;
mod asked;
mod answer;
mod tried;
mod pieces;
mod progress;
mod keeping;
mod printing;
mod bench;
mod batch;
#[cfg(test)]
mod tests;

pub use contents::Contents;
pub use day::date_in_words;
pub use fault::{Fault, FaultKind};
pub use talk::{Page, VERSION};
