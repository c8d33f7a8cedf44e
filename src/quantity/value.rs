//! A number with its unit.

use std::fmt;

use super::{Arithmetic, Dimension, Exact, Unit};

/// A number and the unit it is counted in, as written: `0.90 g` keeps its zero.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Quantity {
    /// How many.
    pub number: Exact,
    /// Of what.
    pub unit: Unit,
}

impl Quantity {
    /// A quantity of the given unit.
    pub fn new(number: Exact, unit: Unit) -> Self {
        Self { number, unit }
    }

    /// What the quantity measures.
    pub fn dimension(self) -> Dimension {
        self.unit.dimension()
    }

    /// The number in coherent units (g, mL, cm, unit, K, s).
    pub fn coherent(self) -> Result<Exact, Arithmetic> {
        self.unit.to_coherent(self.number)
    }

    /// The same quantity in another unit; `None` when the units measure different things.
    pub fn convert(self, unit: Unit) -> Option<Result<Self, Arithmetic>> {
        (self.unit.dimension() == unit.dimension()).then(|| {
            let number = unit.from_coherent(self.coherent()?)?;
            Ok(Self { number, unit })
        })
    }
}

impl fmt::Display for Quantity {
    /// `3.20 g`, `5 % w/w`, `12` for a count.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (top, bottom) = self.unit.printed();
        write!(f, "{}", self.number)?;
        if !top.is_empty() {
            f.write_str(" ")?;
            f.write_str(top)?;
        }
        if let Some(bottom) = bottom {
            f.write_str("/")?;
            f.write_str(bottom)?;
        }
        Ok(())
    }
}
