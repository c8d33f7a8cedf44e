//! From an answer to a verdict.
