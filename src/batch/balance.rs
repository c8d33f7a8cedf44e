//! What the balances show.

use crate::bank::Order;
use crate::quantity::{Arithmetic, Exact};

use super::order_reader::{Checked, Least, Measure, OrderReader};
use super::sheet::ValueUsed;
use super::show;

/// The balances, and the error of a weighing that is permitted.
#[derive(Clone, Copy, Debug)]
pub(super) struct Balance {
    /// The smallest step of the balance for drugs, in grams.
    pub(super) drug: Exact,
    /// The smallest step of the balance for the base, in grams.
    pub(super) base: Exact,
    /// The error that is permitted, as a fraction.
    pub(super) error: Exact,
    given: [bool; 3],
}

impl Balance {
    /// Reads the balances. What is not given is common practice, no source: a balance that shows 1 mg for
    /// drugs and one that shows 0.01 g for the base, and an error of 5 %.
    pub(super) fn read(reader: &mut OrderReader<'_>, order: &Order) -> Checked<Self> {
        let balance = &order.balance;
        let mut read = |path, text, measure| reader.maybe(path, text, measure, Least::AboveZero);
        let drug = read("balance.drug", balance.drug.as_ref(), Measure::Mass);
        let base = read("balance.base", balance.base.as_ref(), Measure::Mass);
        let error = read("balance.error", balance.error.as_ref(), Measure::Share);
        let (drug, base, error) = (drug?, base?, error?);
        let usual = |mantissa, places| Exact::new(mantissa, places).unwrap_or(Exact::ONE);
        Ok(Self {
            given: [drug.is_some(), base.is_some(), error.is_some()],
            drug: drug.unwrap_or_else(|| usual(1, 3)),
            base: base.unwrap_or_else(|| usual(1, 2)),
            error: error.unwrap_or_else(|| usual(5, 2)),
        })
    }

    /// The least that the balance for drugs may weigh: its step divided by the error that is permitted.
    pub(super) fn least(&self) -> Result<Exact, Arithmetic> {
        self.drug.div(self.error)
    }

    /// The values, each with where it comes from.
    pub(super) fn values(&self) -> Vec<ValueUsed> {
        let rows = [
            ("step of the balance for drugs", show::small(self.drug)),
            ("step of the balance for the base", show::small(self.base)),
            ("permitted error of a weighing", show::percent(self.error)),
        ];
        let rows = rows.iter().zip(self.given);
        rows.map(|((what, value), given)| {
            if given {
                ValueUsed::yours(what, value)
            } else {
                ValueUsed::usual(what, value, "common practice, no source")
            }
        })
        .collect()
    }
}
