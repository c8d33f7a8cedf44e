//! Making the keys of a problem.

use crate::bank::NumberPlan;
use crate::draw::NoValue;
use crate::formula::Slot;
use crate::quantity::{Arithmetic, Dimension, Exact};

use super::solve::{Hull, Paths, Rules};
use super::{NumberKey, SlipValue};

/// The keys of the numeric parts, each with the place of its part; `slots` hold the values and
/// solved steps.
///
/// # Errors
/// The value that has no result along some legal way of rounding, or is too large for its unit.
pub(super) fn keys(rules: Rules<'_>, slots: &[Slot]) -> Result<Vec<(usize, NumberKey)>, NoValue> {
    let template = rules.template;
    let parts = template.parts.iter().enumerate();
    let plans: Vec<(usize, &NumberPlan)> =
        parts.filter_map(|(place, part)| Some((place, part.wanted.number()?))).collect();
    let wanted: Vec<usize> = plans.iter().map(|(_, plan)| plan.slot).collect();
    let mut paths = Paths::new(rules, slots, &wanted);
    let mut keys = Vec::with_capacity(plans.len());
    for ((part, plan), hull) in plans.iter().zip(paths.hulls()?) {
        let key = key(plan, slots, hull);
        keys.push((*part, key.map_err(|cause| NoValue { slot: plan.slot, cause })?));
    }
    for (index, slip) in template.slips.iter().enumerate() {
        // A wrong rule may have no result for these numbers; then nobody can have followed it.
        let Ok(hulls) = paths.slip(slip) else { continue };
        for (((_, plan), (_, key)), (value, hull)) in plans.iter().zip(&mut keys).zip(hulls) {
            // Nor can anybody have written down a number that is too large to be held.
            if let Ok(value) = slip_value(index, plan, value, hull)
                && value.value != key.exact
            {
                key.slips.push(value);
            }
        }
    }
    Ok(keys)
}

fn key(plan: &NumberPlan, slots: &[Slot], hull: Hull) -> Result<NumberKey, Arithmetic> {
    let exact = match slots.get(plan.slot) {
        Some(Slot::Number(value)) => plan.unit.from_coherent(*value)?,
        _ => return Err(Arithmetic::TooFewValues),
    };
    let legal_low = plan.unit.from_coherent(hull.low)?;
    let legal_high = plan.unit.from_coherent(hull.high)?;
    let tolerance = plan.tolerance.about(exact)?;
    Ok(NumberKey {
        exact,
        shown: plan.rounding.of_result(exact),
        unit: plan.unit,
        rounding: plan.rounding,
        low: legal_low.settled().sub(tolerance)?,
        high: legal_high.settled().add(tolerance)?,
        legal_low,
        legal_high,
        slips: Vec::new(),
        method_marks: plan.method_marks,
    })
}

/// The number that a slip leads to, with half a step of the rounding asked for either way.
fn slip_value(
    slip: usize,
    plan: &NumberPlan,
    value: Exact,
    hull: Hull,
) -> Result<SlipValue, Arithmetic> {
    let value = plan.unit.from_coherent(value)?;
    let half = plan.rounding.step_at(value).div(Exact::whole(2))?;
    let low = plan.unit.from_coherent(hull.low)?.settled().sub(half)?;
    let high = plan.unit.from_coherent(hull.high)?.settled().add(half)?;
    Ok(SlipValue { slip, value, low, high })
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
