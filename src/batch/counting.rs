//! How many units are ordered, and for how many is weighed.

use crate::bank::Order;
use crate::quantity::{Arithmetic, Exact};
use crate::words;

use super::order_reader::{Checked, Least, Measure, OrderReader};
use super::sheet::{ValueUsed, WorkingStep};
use super::show;

/// What is weighed beyond the order.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Losses {
    /// Nothing.
    None,
    /// Whole units.
    Extra(Exact),
    /// A fraction of every mass, on top.
    Excess(Exact),
    /// The fraction of the batch that is lost.
    Loss(Exact),
}

/// How many units.
#[derive(Clone, Copy, Debug)]
pub(super) struct Counting {
    pub(super) ordered: Exact,
    pub(super) losses: Losses,
}

impl Counting {
    pub(super) fn read(reader: &mut OrderReader<'_>, order: &Order) -> Checked<Self> {
        let ordered = match &order.units {
            Some(text) => reader.number("units", text, Measure::Count, Least::AboveZero),
            None => Err(reader.missing(
                "units",
                "how many units are ordered",
                "give the number, such as `12`",
            )),
        };
        let ways = [("extra", &order.extra), ("excess", &order.excess), ("loss", &order.loss)];
        let given: Vec<&str> =
            ways.iter().filter(|(_, text)| text.is_some()).map(|(key, _)| *key).collect();
        let losses = match (&order.extra, &order.excess, &order.loss) {
            _ if given.len() > 1 => {
                let what = format!(
                    "expected one way to allow for losses, found {}",
                    words::listed(&given, "and")
                );
                Err(reader.note(given[1], what, "a second way", "keep one of them"))
            }
            (Some(text), ..) => reader
                .number("extra", text, Measure::Count, Least::Zero)
                .map(|extra| if extra.is_zero() { Losses::None } else { Losses::Extra(extra) }),
            (_, Some(text), _) => reader
                .number("excess", text, Measure::Share, Least::Zero)
                .map(|share| if share.is_zero() { Losses::None } else { Losses::Excess(share) }),
            (.., Some(text)) => {
                let share = reader.number("loss", text, Measure::Share, Least::Zero)?;
                if share >= Exact::ONE {
                    let what = "expected a loss below 100 %".to_owned();
                    return Err(reader.note(
                        "loss",
                        what,
                        "nothing would be left",
                        "check the percentage",
                    ));
                }
                Ok(if share.is_zero() { Losses::None } else { Losses::Loss(share) })
            }
            _ => Ok(Losses::None),
        };
        Ok(Self { ordered: ordered?, losses: losses? })
    }

    /// For how many units is weighed.
    pub(super) fn counted(self) -> Result<Exact, Arithmetic> {
        match self.losses {
            Losses::None => Ok(self.ordered),
            Losses::Extra(extra) => self.ordered.add(extra),
            Losses::Excess(share) => self.ordered.mul(Exact::ONE.add(share)?),
            Losses::Loss(share) => self.ordered.div(Exact::ONE.sub(share)?),
        }
    }

    /// The step that leads to the number.
    pub(super) fn step(self) -> Result<WorkingStep, Arithmetic> {
        let counted = self.counted()?;
        let ordered = show::number(self.ordered);
        let (say, sum) = match self.losses {
            Losses::None => ("Count the units ordered; none are extra.", ordered),
            Losses::Extra(extra) => (
                "Add the extra units to those ordered.",
                format!("{ordered} + {}", show::number(extra)),
            ),
            Losses::Excess(share) => (
                "Increase the number ordered by the excess, so that every mass grows with it.",
                format!("{ordered} × (1 + {})", show::percent(share)),
            ),
            Losses::Loss(share) => (
                "Divide the number ordered by what is left after the loss.",
                format!("{ordered} ÷ (1 − {})", show::percent(share)),
            ),
        };
        let result = format!("{} units", show::number(counted));
        Ok(WorkingStep::new(say, &sum, show::number_sign(counted), &result))
    }

    /// The values that were given.
    pub(super) fn values(self) -> Vec<ValueUsed> {
        let mut values = vec![ValueUsed::yours("units ordered", &show::number(self.ordered))];
        values.extend(match self.losses {
            Losses::None => None,
            Losses::Extra(extra) => Some(ValueUsed::yours("extra units", &show::number(extra))),
            Losses::Excess(share) => Some(ValueUsed::yours("excess", &show::percent(share))),
            Losses::Loss(share) => {
                Some(ValueUsed::yours("loss allowed for", &show::percent(share)))
            }
        });
        values
    }
}
