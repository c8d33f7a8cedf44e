//! From a sheet to bytes.
