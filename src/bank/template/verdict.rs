//! Verdicts: parts whose answer follows from the numbers, one of several conclusions.

use std::collections::BTreeSet;

use crate::formula::{Fault, Formula, Program, Slot};

/// A part that asks for a verdict.
#[derive(Clone, Debug)]
pub struct VerdictPlan {
    /// The verdicts in the order in which they are shown; the first whose condition holds is right.
    pub choices: Vec<VerdictChoice>,
}

/// One of the verdicts.
#[derive(Clone, Debug)]
pub struct VerdictChoice {
    /// Its words; a minijinja source.
    pub answer: String,
    /// When it is right; `None` for the last, which is right when no other is.
    pub when: Option<(Formula, Program)>,
    /// Why it is then right, in a sentence; a minijinja source, or empty.
    pub because: String,
}

impl VerdictPlan {
    /// The index of the verdict that these numbers lead to; `None` when no condition holds.
    ///
    /// # Errors
    /// A condition that has no result for these numbers.
    pub fn decide(&self, slots: &[Slot]) -> Result<Option<usize>, Fault> {
        for (index, choice) in self.choices.iter().enumerate() {
            let holds = match &choice.when {
                Some((_, program)) => program.holds(slots)?,
                None => true,
            };
            if holds {
                return Ok(Some(index));
            }
        }
        Ok(None)
    }

    /// The slots from which the verdict follows, each once, lowest first.
    pub fn reads(&self) -> Vec<usize> {
        let programs = self.choices.iter().filter_map(|choice| choice.when.as_ref());
        let slots: BTreeSet<usize> =
            programs.flat_map(|(_, program)| program.reads().iter().copied()).collect();
        slots.into_iter().collect()
    }
}
