//! The rules that a working follows, and solving it without rounding.

use crate::bank::{Slip, Step, Template, VerdictPlan};
use crate::draw::NoValue;
use crate::formula::{Formula, Program, Slot};
use crate::quantity::{Arithmetic, Exact, Rounding};

/// The rules that a working follows: the template's own, those of one or two slips in their place, and
/// numbers carried in for some steps from elsewhere, such as a candidate's own earlier answer.
#[derive(Clone, Copy, Debug)]
pub(super) struct Rules<'a> {
    pub(super) template: &'a Template,
    /// The steps of the method that is followed.
    pub(super) working: &'a [Step],
    slips: [Option<&'a Slip>; 2],
    carried: &'a [(usize, Exact)],
}

impl<'a> Rules<'a> {
    /// The template's own rules.
    pub(super) fn of(template: &'a Template) -> Self {
        Self { template, working: &template.working, slips: [None; 2], carried: &[] }
    }

    /// The same along another method.
    pub(super) fn along(self, working: &'a [Step]) -> Self {
        Self { working, ..self }
    }

    /// The same with the steps of these slots set to these coherent numbers.
    pub(super) fn carrying(self, carried: &'a [(usize, Exact)]) -> Self {
        Self { carried, ..self }
    }

    pub(super) fn with_slips(self, slips: [Option<&'a Slip>; 2]) -> Self {
        Self { slips, ..self }
    }

    /// What the slips put in place of what.
    pub(super) fn instead(self) -> impl Iterator<Item = &'a (usize, Formula, Program)> {
        self.slips.into_iter().flatten().flat_map(|slip| &slip.instead)
    }

    /// Puts in the values that the slips mistake, and gives the right ones back. Values derived from
    /// them keep the number that was given: a sheet gives numbers, not how they came about.
    pub(super) fn prepare(self, slots: &mut [Slot]) -> Result<Vec<(usize, Slot)>, NoValue> {
        let mut values = Vec::new();
        for (slot, _, program) in self.instead().filter(|(slot, ..)| !self.template.is_step(*slot))
        {
            let value = program.run_slot(slots);
            values
                .push((*slot, value.map_err(|fault| NoValue { slot: *slot, cause: fault.cause })?));
        }
        for (slot, value) in &mut values {
            std::mem::swap(&mut slots[*slot], value);
        }
        Ok(values)
    }

    pub(super) fn carried(self, slot: usize) -> Option<Exact> {
        self.carried.iter().find(|(carried, _)| *carried == slot).map(|(_, number)| *number)
    }

    /// The methods by which every carried number leads to one of the wanted slots or to a verdict; the
    /// first of all methods is always among them. By another, what is carried makes no difference.
    pub(super) fn workings(
        self,
        wanted: &[usize],
        verdicts: &[&VerdictPlan],
    ) -> impl Iterator<Item = &'a [Step]> {
        let leads = move |working| self.carried.is_empty() || self.leads(working, wanted, verdicts);
        let workings = self.template.workings().enumerate();
        workings.filter(move |(index, it)| *index == 0 || leads(it)).map(|(_, working)| working)
    }

    fn leads(self, working: &[Step], wanted: &[usize], verdicts: &[&VerdictPlan]) -> bool {
        let read = verdicts.iter().flat_map(|plan| plan.reads());
        let towards = towards(working, wanted.iter().copied().chain(read).collect());
        let mut carried = self.carried.iter();
        carried.all(|(slot, _)| towards.iter().any(|index| working[*index].slot == *slot))
    }

    fn program(self, step: &'a Step) -> &'a Program {
        self.instead()
            .find(|(slot, ..)| *slot == step.slot)
            .map_or(&step.program, |(.., program)| program)
    }

    pub(super) fn value(self, step: &'a Step, slots: &[Slot]) -> Result<Exact, NoValue> {
        match self.carried(step.slot) {
            Some(number) => Ok(number),
            None => self
                .program(step)
                .run(slots)
                .map_err(|fault| NoValue { slot: step.slot, cause: fault.cause }),
        }
    }
}

/// Solves the working once, without rounding: fills the slots of the steps.
///
/// # Errors
/// The step that has no result, and why.
pub(super) fn solve(rules: Rules<'_>, slots: &mut [Slot]) -> Result<(), NoValue> {
    for step in rules.working {
        slots[step.slot] = Slot::Number(rules.value(step, slots)?);
    }
    Ok(())
}

/// The indices of the steps that the wanted slots are worked out from, steps for these among them.
pub(super) fn towards(working: &[Step], mut wanted: Vec<usize>) -> Vec<usize> {
    let mut indices = Vec::new();
    for (index, step) in working.iter().enumerate().rev() {
        if wanted.contains(&step.slot) {
            indices.push(index);
            wanted.extend(step.program.reads());
        }
    }
    indices.reverse();
    indices
}

/// A coherent value rounded in the unit its slot is shown in.
///
/// # Errors
/// When the value is too large to be put into that unit.
pub(super) fn round(
    template: &Template,
    slot: usize,
    rounding: Rounding,
    value: Exact,
) -> Result<Exact, Arithmetic> {
    let unit = template.names[slot].unit;
    unit.to_coherent(rounding.of_result(unit.from_coherent(value)?))
}
