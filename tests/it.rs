//! Integration tests: one binary, a module a subject.

#[path = "it/export.rs"]
mod export;

#[path = "it/analysis.rs"]
mod analysis;

#[path = "it/marking.rs"]
mod marking;

#[path = "it/cli.rs"]
mod cli;
