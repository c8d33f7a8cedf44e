//! Making the keys of a problem.

use crate::bank::{NumberPlan, Template, Tolerance, Wanted};
use crate::formula::Slot;
use crate::quantity::{Arithmetic, Dimension, Exact};

use super::solve::{Rules, hulls, solve};
use super::{NumberKey, SlipValue};

/// The keys of the numeric parts, in the order of the parts; `slots` hold the values and solved
/// steps.
pub(super) fn keys(template: &Template, slots: &[Slot]) -> Result<Vec<NumberKey>, Arithmetic> {
    let plans: Vec<&NumberPlan> = template
        .parts
        .iter()
        .map(|part| match &part.wanted {
            Wanted::Number(plan) => plan,
        })
        .collect();
    let wanted: Vec<usize> = plans.iter().map(|plan| plan.slot).collect();
    let hulls_of = |rules, thorough| hulls(rules, slots, &wanted, thorough);
    let legal = hulls_of(Rules::of(template), true).map_err(|(_, fault)| fault.cause)?;
    let mut keys = Vec::with_capacity(plans.len());
    for (plan, hull) in plans.iter().zip(legal) {
        keys.push(key(plan, slots, hull)?);
    }
    for (index, slip) in template.slips.iter().enumerate() {
        let rules = Rules::with_slip(template, slip);
        let mut wrong = slots.to_vec();
        // A wrong rule may have no result for these numbers; then nobody can have followed it.
        let (Ok(()), Ok(hulls)) = (solve(rules, &mut wrong), hulls_of(rules, false)) else {
            continue;
        };
        for ((plan, key), hull) in plans.iter().zip(&mut keys).zip(hulls) {
            let Some(Slot::Number(value)) = wrong.get(plan.slot) else { continue };
            let value = plan.unit.from_coherent(*value)?;
            if value == key.exact {
                continue;
            }
            let half = half_step(plan, value)?;
            key.slips.push(SlipValue {
                slip: index,
                value,
                low: plan.unit.from_coherent(hull.0)?.sub(half)?,
                high: plan.unit.from_coherent(hull.1)?.add(half)?,
            });
        }
    }
    Ok(keys)
}

fn key(plan: &NumberPlan, slots: &[Slot], hull: (Exact, Exact)) -> Result<NumberKey, Arithmetic> {
    let exact = match slots.get(plan.slot) {
        Some(Slot::Number(value)) => plan.unit.from_coherent(*value)?,
        _ => return Err(Arithmetic::TooFewValues),
    };
    let legal_low = plan.unit.from_coherent(hull.0)?;
    let legal_high = plan.unit.from_coherent(hull.1)?;
    let tolerance = match plan.tolerance {
        Tolerance::Amount(amount) => amount,
        Tolerance::Percent(percent) => exact.abs().mul(percent)?.times_ten_to(-2)?,
    };
    Ok(NumberKey {
        exact,
        shown: plan.rounding.apply(exact),
        unit: plan.unit,
        rounding: plan.rounding,
        low: legal_low.sub(tolerance)?,
        high: legal_high.add(tolerance)?,
        legal_low,
        legal_high,
        slips: Vec::new(),
        method_marks: plan.method_marks,
    })
}

fn half_step(plan: &NumberPlan, value: Exact) -> Result<Exact, Arithmetic> {
    plan.rounding.step_at(value).div(Exact::whole(2))
}

impl NumberKey {
    /// Whether the answer makes sense: above zero, or a count of zero or more.
    pub fn is_sensible(&self) -> bool {
        self.exact.is_positive()
            || self.exact.is_zero() && self.unit.dimension() == Dimension::COUNT
    }

    /// The first slip that cannot be told from a right answer, as an index into the slips of the
    /// template.
    pub fn confused_slip(&self) -> Option<usize> {
        self.slips
            .iter()
            .find(|slip| slip.low <= self.high && slip.high >= self.low)
            .map(|slip| slip.slip)
    }
}
