//! Integration tests: one binary, a module a subject.
