//! Solving a working: without rounding, and along the legal ways of rounding early.

use crate::bank::{Slip, Step, Template};
use crate::formula::{Fault, Program, Slot};
use crate::quantity::{Exact, Rounding};

/// The most ways of rounding that are followed. Beyond it, fewer roundings of each step are tried.
const MOST_PATHS: usize = 256;

/// Which rule a step follows: its own, or that of a slip.
#[derive(Clone, Copy, Debug)]
pub struct Rules<'a> {
    template: &'a Template,
    slip: Option<&'a Slip>,
}

/// Solves the working once, without rounding: fills the slots of the steps.
///
/// # Errors
/// The step's slot and what went wrong there.
pub fn solve(rules: Rules<'_>, slots: &mut [Slot]) -> Result<(), (usize, Fault)> {
    rules.prepare(slots)?;
    for step in &rules.template.working {
        let value = rules.program(step).run(slots).map_err(|fault| (step.slot, fault))?;
        slots[step.slot] = Slot::Number(value);
    }
    Ok(())
}

/// Follows the ways of rounding: for each wanted slot the lowest and highest value met, in coherent
/// units. The wanted value itself is taken before its own rounding.
///
/// A step may be used as it is, rounded as shown, or rounded in another legal way (`also`). All
/// combinations are followed while they are few; otherwise no rounding, and the shown rounding alone.
///
/// # Errors
/// The step's slot and what went wrong there.
pub fn hulls(
    rules: Rules<'_>,
    slots: &[Slot],
    wanted: &[usize],
    thorough: bool,
) -> Result<Vec<(Exact, Exact)>, (usize, Fault)> {
    let mut slots = slots.to_vec();
    rules.prepare(&mut slots)?;
    let template = rules.template;
    let carried: Vec<bool> = template
        .working
        .iter()
        .map(|step| {
            template.working.iter().any(|later| rules.program(later).reads().contains(&step.slot))
        })
        .collect();
    let count = |most: usize| -> usize {
        template
            .working
            .iter()
            .zip(&carried)
            .filter(|(_, carried)| **carried)
            .fold(1, |count: usize, (step, _)| {
                count.saturating_mul(1 + most.min(1 + step.also.len()))
            })
    };
    let together = !thorough || count(1) > MOST_PATHS;
    let most = if count(usize::MAX) <= MOST_PATHS { usize::MAX } else { 1 };
    let raw = slots.clone();
    let mut search = Search { rules, carried, wanted, most, raw, found: Vec::new() };
    if together {
        search.run(&mut slots, |_, value| value)?;
        search.run(&mut slots, |step, value| round(step, step.rounding, value, template))?;
    } else {
        search.branch(&mut slots, 0)?;
    }
    Ok(search.found)
}

struct Search<'a> {
    rules: Rules<'a>,
    carried: Vec<bool>,
    wanted: &'a [usize],
    /// How many roundings of each step are tried.
    most: usize,
    /// The values before their own rounding, by slot.
    raw: Vec<Slot>,
    found: Vec<(Exact, Exact)>,
}

impl Search<'_> {
    /// Every combination of roundings from the given step on.
    fn branch(&mut self, slots: &mut [Slot], index: usize) -> Result<(), (usize, Fault)> {
        let template = self.rules.template;
        let Some(step) = template.working.get(index) else {
            self.note();
            return Ok(());
        };
        let value = self.step(step, slots)?;
        slots[step.slot] = Slot::Number(value);
        self.branch(slots, index + 1)?;
        if self.carried[index] {
            let mut tried = vec![value];
            for rounding in std::iter::once(&step.rounding).chain(&step.also).take(self.most) {
                let rounded = round(step, *rounding, value, template);
                if !tried.contains(&rounded) {
                    tried.push(rounded);
                    slots[step.slot] = Slot::Number(rounded);
                    self.branch(slots, index + 1)?;
                }
            }
        }
        Ok(())
    }

    /// One way through the working.
    fn run(
        &mut self,
        slots: &mut [Slot],
        use_as: impl Fn(&Step, Exact) -> Exact,
    ) -> Result<(), (usize, Fault)> {
        for step in &self.rules.template.working {
            let value = self.step(step, slots)?;
            slots[step.slot] = Slot::Number(use_as(step, value));
        }
        self.note();
        Ok(())
    }

    fn step(&mut self, step: &Step, slots: &[Slot]) -> Result<Exact, (usize, Fault)> {
        let value = self.rules.program(step).run(slots).map_err(|fault| (step.slot, fault))?;
        self.raw[step.slot] = Slot::Number(value);
        Ok(value)
    }

    fn note(&mut self) {
        let values = self.wanted.iter().map(|slot| match self.raw.get(*slot) {
            Some(Slot::Number(value)) => *value,
            _ => Exact::ZERO,
        });
        if self.found.is_empty() {
            self.found = values.map(|value| (value, value)).collect();
        } else {
            for (hull, value) in self.found.iter_mut().zip(values) {
                *hull = (hull.0.min(value), hull.1.max(value));
            }
        }
    }
}

impl<'a> Rules<'a> {
    /// The template's own rules.
    pub fn of(template: &'a Template) -> Self {
        Self { template, slip: None }
    }

    /// The template's rules with those of a slip in their place.
    pub fn with_slip(template: &'a Template, slip: &'a Slip) -> Self {
        Self { template, slip: Some(slip) }
    }

    /// Puts in the values that the slip mistakes.
    fn prepare(self, slots: &mut [Slot]) -> Result<(), (usize, Fault)> {
        let Some(slip) = self.slip else { return Ok(()) };
        let mut wrong = Vec::new();
        for (slot, _, program) in &slip.instead {
            if !self.template.working.iter().any(|step| step.slot == *slot) {
                wrong.push((*slot, program.run_slot(slots).map_err(|fault| (*slot, fault))?));
            }
        }
        for (slot, value) in wrong {
            slots[slot] = value;
        }
        Ok(())
    }

    fn program(self, step: &'a Step) -> &'a Program {
        self.slip
            .and_then(|slip| slip.instead.iter().find(|(slot, ..)| *slot == step.slot))
            .map_or(&step.program, |(.., program)| program)
    }
}

/// A coherent value rounded in the unit the step is shown in.
pub fn round(step: &Step, rounding: Rounding, value: Exact, template: &Template) -> Exact {
    let unit = template.names[step.slot].unit;
    unit.from_coherent(value)
        .and_then(|number| unit.to_coherent(rounding.apply(number)))
        .unwrap_or(value)
}
