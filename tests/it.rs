//! Integration tests: one binary, a module a subject.

#[path = "it/analysis.rs"]
mod analysis;
