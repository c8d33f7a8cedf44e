//! What a template trains, and in which terms.

use std::fmt;

/// What a template trains.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Objective {
    /// Finding what a mould holds.
    Calibration,
    /// Finding how much base a drug takes the place of.
    Displacement,
    /// Finding what to weigh.
    BaseQuantity,
    /// Judging the finished product.
    ProductChecks,
    /// Bases, forms, methods and the rest of the theory.
    Theory,
}

/// Which way round the displacement is told.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Convention {
    /// Grams of drug that displace 1 g of base.
    DisplacementValue,
    /// Grams of base displaced by 1 g of drug.
    DisplacementFactor,
    /// Density of the drug over that of the base.
    DensityFactor,
    /// No displacement is told.
    None,
}

impl Objective {
    /// All objectives in teaching order.
    pub const ALL: [Self; 5] = [
        Self::Calibration,
        Self::Displacement,
        Self::BaseQuantity,
        Self::ProductChecks,
        Self::Theory,
    ];

    /// The name in templates and commands: `base-quantity`.
    pub fn name(self) -> &'static str {
        match self {
            Self::Calibration => "calibration",
            Self::Displacement => "displacement",
            Self::BaseQuantity => "base-quantity",
            Self::ProductChecks => "product-checks",
            Self::Theory => "theory",
        }
    }

    /// The objective of that name.
    pub fn parse(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|objective| objective.name() == name)
    }
}

impl fmt::Display for Objective {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

impl Convention {
    /// All conventions.
    pub const ALL: [Self; 4] =
        [Self::DisplacementValue, Self::DisplacementFactor, Self::DensityFactor, Self::None];

    /// The name in templates and stems: `displacement value`.
    pub fn name(self) -> &'static str {
        match self {
            Self::DisplacementValue => "displacement value",
            Self::DisplacementFactor => "displacement factor",
            Self::DensityFactor => "density factor",
            Self::None => "none",
        }
    }
}
