//! What the drawing in a worked solution shows.

use crate::quantity::Exact;

/// The mould, what fills it and the drug, as masses in grams with their labels.
///
/// What the mould holds is the base displaced and the base to weigh together.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Drawing {
    /// What the mould holds of plain base.
    pub mould: Exact,
    /// The base displaced, one mass a drug: `base displaced`.
    pub displaced: Vec<(String, Exact)>,
    /// The drugs, in the same order: `mass of drug`.
    pub drugs: Vec<(String, Exact)>,
    /// The base still to weigh.
    pub base: Exact,
}
