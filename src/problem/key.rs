//! Making the keys of a problem.

use crate::bank::{NumberPlan, Slip, Step, Template, Tolerance, VerdictPlan};
use crate::draw::NoValue;
use crate::formula::Slot;
use crate::quantity::{Arithmetic, Exact};

use super::paths::{Decided, Interval, Paths};
use super::solve::{Rules, round};
use super::{NumberKey, Response, SlipValue, SlipVerdict, VerdictKey};

/// The keys of the parts that are worked out, each with the index of its part; `slots` hold the
/// values and solved steps. A verdict of which no condition holds has none.
///
/// # Errors
/// The value that has no result along some legal way of rounding, or is too large for its unit.
pub(super) fn keys(rules: Rules<'_>, slots: &[Slot]) -> Result<Vec<(usize, Response)>, NoValue> {
    let parts = || rules.template.parts.iter().enumerate();
    let (indices, plans): (Vec<usize>, Vec<&NumberPlan>) =
        parts().filter_map(|(index, part)| Some((index, part.wanted.number()?))).unzip();
    let (verdict_parts, verdicts): (Vec<usize>, Vec<&VerdictPlan>) =
        parts().filter_map(|(index, part)| Some((index, part.wanted.verdict()?))).unzip();
    let (numbers, decisions) = keys_and_verdicts(rules, slots, &plans, &verdicts)?;
    let numbers = numbers.into_iter().map(Response::Number);
    let decisions = verdict_parts.into_iter().zip(decisions);
    let decisions = decisions.filter_map(|(index, key)| Some((index, Response::Verdict(key?))));
    Ok(indices.into_iter().zip(numbers).chain(decisions).collect())
}

/// The keys of these plans, with the slips.
///
/// # Errors
/// As for [`keys`].
pub(super) fn keys_of(
    rules: Rules<'_>,
    slots: &[Slot],
    plans: &[&NumberPlan],
) -> Result<Vec<NumberKey>, NoValue> {
    keys_and_verdicts(rules, slots, plans, &[]).map(|(keys, _)| keys)
}

fn keys_and_verdicts(
    rules: Rules<'_>,
    slots: &[Slot],
    plans: &[&NumberPlan],
    verdicts: &[&VerdictPlan],
) -> Result<(Vec<NumberKey>, Vec<Option<VerdictKey>>), NoValue> {
    let wanted: Vec<usize> = plans.iter().map(|plan| plan.slot).collect();
    let (intervals, decided) = by_all_methods(rules, slots, &wanted, verdicts)?;
    let mut keys = Vec::with_capacity(plans.len());
    for (plan, interval) in plans.iter().zip(intervals) {
        keys.push(
            key(rules.template, plan, slots, interval)
                .map_err(|cause| NoValue { slot: plan.slot, cause })?,
        );
    }
    let decided = verdicts.iter().zip(decided);
    let mut decisions: Vec<Option<VerdictKey>> =
        decided.map(|(plan, decided)| verdict_key(plan, slots, &decided)).collect();
    let mut along: Vec<Paths<'_>> = Vec::new();
    for (index, slip) in rules.template.slips.iter().enumerate() {
        let working = working_of(rules.template, slip);
        let known = along.iter().position(|paths| std::ptr::eq(paths.working(), working));
        let same = known.unwrap_or_else(|| {
            along.push(Paths::new(rules.along(working), slots, &wanted).deciding(verdicts));
            along.len() - 1
        });
        let paths = &mut along[same];
        // A wrong rule may have no result for these numbers; then nobody can have followed it.
        let Ok(intervals) = paths.slips([Some(slip), None]) else { continue };
        let mut is_near = false;
        for ((plan, key), (value, interval)) in plans.iter().zip(&mut keys).zip(intervals) {
            // Nor can anybody have written down a number that is too large to be held.
            if let Ok(value) = slip_value(index, plan, value, interval) {
                if value.value != key.exact {
                    is_near |= key.is_near(&value);
                    key.slips.push(value);
                }
            }
        }
        for (key, decided) in decisions.iter_mut().zip(paths.decided()) {
            let Some(key) = key else { continue };
            let others = decided.into_iter().flatten().filter(|option| *option != key.right);
            key.slips.extend(others.map(|option| SlipVerdict { slip: index, option }));
        }
        // Rounding on the way may bring a slip that is near still nearer.
        let rounded =
            if is_near { paths.slip_intervals(slip).unwrap_or_default() } else { Vec::new() };
        for ((plan, key), interval) in plans.iter().zip(&mut keys).zip(rounded) {
            let Some(known) = key.slips.last_mut().filter(|known| known.slip == index) else {
                continue;
            };
            if let Ok(wide) = slip_value(index, plan, interval.low, interval) {
                known.low = known.low.min(wide.low);
                known.high = known.high.max(wide.high);
            }
        }
    }
    Ok((keys, decisions))
}

/// The key of a verdict without slips; the texts are filled in later.
fn verdict_key(plan: &VerdictPlan, slots: &[Slot], decided: &Decided) -> Option<VerdictKey> {
    let right = plan.decide(slots).ok().flatten()?;
    Some(VerdictKey {
        options: Vec::new(),
        right,
        legal: decided.iter().copied().flatten().collect(),
        because: String::new(),
        slips: Vec::new(),
    })
}

/// The options of a verdict that own numbers lead to along legal ways of rounding.
pub(super) fn legal_verdicts(
    rules: Rules<'_>,
    slots: &[Slot],
    plan: &VerdictPlan,
) -> Result<Vec<usize>, NoValue> {
    let (_, decided) = by_all_methods(rules, slots, &[], &[plan])?;
    Ok(decided.into_iter().flatten().flatten().collect())
}

/// The intervals of the wanted slots and the verdicts along all methods and their ways of rounding.
///
/// With numbers carried in, only the methods that go through all of them count: along another the
/// answer is the right one, and an interval of both would take in all that lies between.
fn by_all_methods(
    rules: Rules<'_>,
    slots: &[Slot],
    wanted: &[usize],
    verdicts: &[&VerdictPlan],
) -> Result<(Vec<Interval>, Vec<Decided>), NoValue> {
    let mut intervals: Vec<Interval> = Vec::new();
    let mut decided = vec![Decided::new(); verdicts.len()];
    for working in rules.workings(wanted, verdicts) {
        let mut paths = Paths::new(rules.along(working), slots, wanted).deciding(verdicts);
        let found = paths.intervals()?;
        intervals = if intervals.is_empty() {
            found
        } else {
            intervals.iter().zip(found).map(|(interval, other)| interval.with(other)).collect()
        };
        for (all, these) in decided.iter_mut().zip(paths.decided()) {
            all.extend(these);
        }
    }
    Ok((intervals, decided))
}

/// The working in which a slip can be made: that of the first method with all the steps it changes.
pub(super) fn working_of<'a>(template: &'a Template, slip: &Slip) -> &'a [Step] {
    let changed = slip.instead.iter().map(|(slot, ..)| slot);
    let changed: Vec<&usize> = changed.filter(|slot| template.is_step(**slot)).collect();
    let has = |working: &[Step], slot: usize| working.iter().any(|step| step.slot == slot);
    let mut workings = template.workings();
    workings
        .find(|working| changed.iter().all(|slot| has(working, **slot)))
        .unwrap_or(&template.working)
}

/// The key of a plan without the slips.
///
/// # Errors
/// As for [`keys`].
pub(super) fn bare_key(
    rules: Rules<'_>,
    slots: &[Slot],
    plan: &NumberPlan,
) -> Result<NumberKey, NoValue> {
    let (intervals, _) = by_all_methods(rules, slots, &[plan.slot], &[])?;
    let interval = intervals.first().copied();
    interval
        .ok_or(Arithmetic::NoValue)
        .and_then(|interval| key(rules.template, plan, slots, interval))
        .map_err(|cause| NoValue { slot: plan.slot, cause })
}

/// The plan of a step: a number that comes out by any legal rounding, give or take half a unit in its
/// last place at the coarsest of them.
///
/// # Errors
/// When the value is too large to be put into the unit of the step.
pub(super) fn plan_of_step(
    template: &Template,
    step: &Step,
    value: Exact,
) -> Result<NumberPlan, Arithmetic> {
    let roundings = std::iter::once(step.rounding).chain(step.also.iter().copied());
    let unit = template.names[step.slot].unit;
    let number = unit.from_coherent(value)?;
    let steps = roundings.map(|rounding| rounding.step_at(number));
    let widest = steps.fold(step.rounding.step_at(number), Exact::max);
    let half = widest.half()?;
    Ok(NumberPlan {
        slot: step.slot,
        unit,
        rounding: step.rounding,
        tolerance: Tolerance::Amount(half),
        density: None,
        wide: None,
        method_marks: 0,
    })
}

fn key(
    template: &Template,
    plan: &NumberPlan,
    slots: &[Slot],
    interval: Interval,
) -> Result<NumberKey, Arithmetic> {
    let exact = match slots.get(plan.slot) {
        Some(Slot::Number(value)) => plan.unit.from_coherent(*value)?,
        _ => return Err(Arithmetic::NoValue),
    };
    let legal_low = plan.unit.from_coherent(interval.low)?;
    let legal_high = plan.unit.from_coherent(interval.high)?;
    let tolerance = plan.tolerance.about(exact)?;
    let (shown_low, shown_high) = as_shown(template, plan, interval)?;
    Ok(NumberKey {
        exact,
        shown: plan.rounding.of_result(exact),
        unit: plan.unit,
        density: plan.density,
        rounding: plan.rounding,
        low: legal_low.settled().sub(tolerance)?.min(shown_low),
        high: legal_high.settled().add(tolerance)?.max(shown_high),
        legal_low,
        legal_high,
        slips: Vec::with_capacity(template.slips.len()),
        method_marks: plan.method_marks,
    })
}

/// The ends of what comes out when a result is rounded as its step shows it, and what is shown is then
/// rounded as asked: 3.846 is shown as 3.85, and that is 3.9.
fn as_shown(
    template: &Template,
    plan: &NumberPlan,
    interval: Interval,
) -> Result<(Exact, Exact), Arithmetic> {
    let asked = |value: Exact| Ok(plan.rounding.of_result(plan.unit.from_coherent(value)?));
    let (mut low, mut high) = (asked(interval.low)?, asked(interval.high)?);
    if let Some(step) = template.working.iter().find(|step| step.slot == plan.slot) {
        // Rounding keeps the order of numbers, so the ends bound all that lie between. Coarser
        // roundings are for results that are used further, not for an answer.
        low = low.min(asked(round(template, plan.slot, step.rounding, interval.low)?)?);
        high = high.max(asked(round(template, plan.slot, step.rounding, interval.high)?)?);
    }
    Ok((low, high))
}

/// The number that a slip leads to, with half a step of the rounding asked for either way.
pub(super) fn slip_value(
    slip: usize,
    plan: &NumberPlan,
    value: Exact,
    interval: Interval,
) -> Result<SlipValue, Arithmetic> {
    let value = plan.unit.from_coherent(value)?;
    let half = plan.rounding.step_at(value).half()?;
    let legal_low = plan.unit.from_coherent(interval.low)?;
    let legal_high = plan.unit.from_coherent(interval.high)?;
    let low = legal_low.settled().sub(half)?;
    let high = legal_high.settled().add(half)?;
    Ok(SlipValue { slip, value, legal_low, legal_high, low, high })
}
