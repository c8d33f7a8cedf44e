//! A formula as it is shown.

/// A formula as it is shown.
#[derive(Clone, Debug)]
pub struct Math;
