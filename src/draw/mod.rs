//! From a seed to values.
