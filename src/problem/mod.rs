//! A drawn problem.
