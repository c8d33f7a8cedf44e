//! A problem worked again from somebody's own numbers.

use crate::bank::NumberPlan;
use crate::draw::NoValue;
use crate::formula::Slot;
use crate::quantity::{Dimension, Exact};

use super::key::{bare_key, keys_of, legal_verdicts, plan_of_step};
use super::solve::{Rules, solve, towards};
use super::{NumberKey, Problem};

/// A problem worked again with a candidate's own numbers in place of some steps.
#[derive(Clone, Debug)]
pub struct Following<'a> {
    problem: &'a Problem,
    own: &'a [(usize, Exact)],
    slots: Vec<Slot>,
}

impl Problem {
    /// The problem as it would be if the steps of these slots had these coherent numbers.
    ///
    /// # Errors
    /// The step that has no result from these numbers.
    pub fn following<'a>(&'a self, own: &'a [(usize, Exact)]) -> Result<Following<'a>, NoValue> {
        let mut slots = self.slots.clone();
        solve(Rules::of(&self.template).carrying(own), &mut slots)?;
        Ok(Following { problem: self, own, slots })
    }

    /// The key of a step of the working, by its index: what a candidate may write down for it on the
    /// way, with the slips. It is worth no marks.
    ///
    /// # Errors
    /// When there is no such step, or its value has no result along some way of rounding.
    pub fn step_key(&self, step: usize) -> Option<NumberKey> {
        let step = self.template.working.get(step)?;
        let Some(Slot::Number(value)) = self.slots.get(step.slot) else { return None };
        let plan = plan_of_step(&self.template, step, *value).ok()?;
        keys_of(Rules::of(&self.template), &self.slots, &[&plan]).ok()?.pop()
    }

    /// The indices of the steps that a slot is worked out from, itself among them when it is a step.
    pub fn steps_towards(&self, slot: usize) -> Vec<usize> {
        towards(&self.template.working, vec![slot])
    }
}

impl Following<'_> {
    /// The answer to a numeric part without rounding anywhere, in the unit of the part.
    pub fn exact(&self, part: usize) -> Option<Exact> {
        let plan = self.plan(part)?;
        plan.unit.from_coherent(self.number(plan.slot)?).ok()
    }

    /// Whether every numeric part has an answer that makes sense: a mass above zero.
    pub fn is_sensible(&self) -> bool {
        let plans = self.problem.template.parts.iter().filter_map(|part| part.wanted.number());
        plans.into_iter().all(|plan| {
            self.number(plan.slot).is_some_and(|number| {
                let is_count = plan.unit.dimension() == Dimension::COUNT;
                number.is_positive() || number.is_zero() && is_count
            })
        })
    }

    /// Whether the own numbers leave nothing to work out: the answer to the part is then a number that
    /// stands there already, and the right answer is not.
    pub fn is_trivial(&self, part: usize) -> bool {
        let Some(plan) = self.plan(part) else { return false };
        let Some(answer) = self.number(plan.slot) else { return false };
        let names = &self.problem.template.names;
        let unit = names[plan.slot].unit;
        let right = &self.problem.slots;
        (0..self.slots.len()).filter(|slot| *slot != plan.slot).any(|slot| {
            names[slot].unit.dimension() == unit.dimension()
                && self.number(slot) == Some(answer)
                && right[slot] != right[plan.slot]
        })
    }

    /// The key of a numeric part without slips.
    ///
    /// # Errors
    /// The value that has no result along some way of rounding.
    pub fn key(&self, part: usize) -> Option<Result<NumberKey, NoValue>> {
        let rules = Rules::of(&self.problem.template).carrying(self.own);
        Some(bare_key(rules, &self.slots, self.plan(part)?))
    }

    /// The indices of the verdicts that the own numbers lead to, in a part that asks for one.
    pub fn verdicts(&self, part: usize) -> Option<Vec<usize>> {
        let template = &self.problem.template;
        let plan = template.parts.get(part)?.wanted.verdict()?;
        legal_verdicts(Rules::of(template).carrying(self.own), &self.slots, plan).ok()
    }

    /// The key of a step, by its index, without slips; `None` when it has none from these numbers.
    pub fn step_key(&self, step: usize) -> Option<NumberKey> {
        let template = &self.problem.template;
        let step = template.working.get(step)?;
        let plan = plan_of_step(template, step, self.number(step.slot)?).ok()?;
        bare_key(Rules::of(template).carrying(self.own), &self.slots, &plan).ok()
    }

    fn plan(&self, part: usize) -> Option<&NumberPlan> {
        self.problem.template.parts.get(part)?.wanted.number()
    }

    fn number(&self, slot: usize) -> Option<Exact> {
        match self.slots.get(slot) {
            Some(Slot::Number(number)) => Some(*number),
            _ => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bank::Bank;
    use crate::draw::Code;

    #[test]
    fn nothing_and_less_make_no_sense_but_as_a_count() {
        let bank = Bank::bundled().unwrap();
        let is_sensible = |template: &str, part: usize, number: &str| {
            let problem = Problem::from_code(&bank, &Code::new(template, 1)).unwrap();
            let slot = problem.template.parts[part].wanted.number().unwrap().slot;
            let own = [(slot, Exact::parse(number).unwrap())];
            problem.following(&own).unwrap().is_sensible()
        };
        for (mass, sensible) in [("1", true), ("0", false), ("-1", false)] {
            assert_eq!(is_sensible("base-one-drug", 2, mass), sensible, "{mass} g");
        }
        for (count, sensible) in [("1", true), ("0", true), ("-1", false)] {
            assert_eq!(is_sensible("units-from-drug", 1, count), sensible, "{count}");
        }
    }
}
