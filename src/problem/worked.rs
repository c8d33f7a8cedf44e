//! The worked solution.

use std::fmt;

use crate::bank::Bank;
use crate::formula::{Math, Relation, Slot};
use crate::quantity::{Exact, Quantity};

use super::text::{line, render};
use super::{Drawing, Problem};

/// One step of a worked solution.
#[derive(Clone, Debug)]
pub struct WorkedStep {
    /// The name of the step in its template.
    pub name: String,
    /// What is done, and why.
    pub say: String,
    /// What is found: `base displaced`.
    pub label: String,
    /// The rule in names.
    pub named: Math,
    /// The rule with the numbers put in.
    pub numbered: Math,
    /// The result as shown: `1.07 g`.
    pub result: String,
    /// Whether the result was rounded to be shown.
    pub rounded: bool,
    /// All of it in one line: names, numbers, result.
    pub equation: Math,
}

/// One row of the batch table.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BatchLine {
    /// The ingredient.
    pub what: String,
    /// Its mass in one unit, where the template tells it.
    pub each: Option<String>,
    /// Its mass for the batch.
    pub all: String,
}

/// Why a worked solution cannot be shown.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WorkProblem(String);

impl fmt::Display for WorkProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "a text of the worked solution cannot be filled in: {}", self.0)
    }
}

impl std::error::Error for WorkProblem {}

impl Problem {
    /// The working, step by step.
    ///
    /// # Errors
    /// When a sentence of the template cannot be filled in.
    pub fn working(&self, bank: &Bank) -> Result<Vec<WorkedStep>, WorkProblem> {
        let shown = self.shown();
        let context = shown.context(&self.draw);
        let mut steps = Vec::with_capacity(self.template.working.len());
        for step in &self.template.working {
            let name = &self.template.names[step.slot];
            let text = format!("{}#say/{}", self.template.id, name.name);
            let say = render(bank.texts(), &text, &context)
                .map_err(|error| WorkProblem(error.to_string()))?;
            let named = step.formula.with_names(&shown);
            let numbered = step.formula.with_numbers(&shown);
            let result = shown.texts(step.slot).concat();
            let rounded = self.is_rounded(step.slot, step.rounding);
            let relation = if rounded { Relation::About } else { Relation::Equals };
            let mut rights = vec![(Relation::Equals, named.clone())];
            // A rule without names has the same face twice.
            if numbered != named {
                rights.push((Relation::Equals, numbered.clone()));
            }
            rights.push((relation, Math::Number(result.clone())));
            steps.push(WorkedStep {
                name: name.name.clone(),
                say: line(&say),
                label: name.label.clone(),
                equation: Math::equation(Math::Label(name.label.clone()), rights),
                named,
                numbered,
                result,
                rounded,
            });
        }
        Ok(steps)
    }

    fn is_rounded(&self, slot: usize, rounding: crate::quantity::Rounding) -> bool {
        let Some(Slot::Number(value)) = self.slots.get(slot) else { return false };
        self.template.names[slot]
            .unit
            .from_coherent(*value)
            .is_ok_and(|number| rounding.apply(number) != number)
    }

    /// What is said to a student who made the slip, an index into the slips of the template; empty
    /// when there is no such slip.
    pub fn slip_says(&self, bank: &Bank, slip: usize) -> String {
        let Some(slip) = self.template.slips.get(slip) else { return String::new() };
        let text = format!("{}#slip/{}", self.template.id, slip.id);
        let context = self.shown().context(&self.draw);
        // `bank check` renders every slip; a text that fails here says nothing rather than lies.
        render(bank.texts(), &text, &context).map(|text| line(&text)).unwrap_or_default()
    }

    /// The batch table; empty when the template has none.
    ///
    /// # Errors
    /// When the name of an ingredient cannot be filled in.
    pub fn batch(&self, bank: &Bank) -> Result<Vec<BatchLine>, WorkProblem> {
        let context = self.shown().context(&self.draw);
        let mut lines = Vec::with_capacity(self.template.batch.len());
        for (index, row) in self.template.batch.iter().enumerate() {
            let text = format!("{}#batch/{index}", self.template.id);
            let what = render(bank.texts(), &text, &context)
                .map_err(|error| WorkProblem(error.to_string()))?;
            let mass = |slot: usize| {
                let unit = self.template.names[slot].unit;
                match self.slots.get(slot) {
                    Some(Slot::Number(value)) => unit
                        .from_coherent(*value)
                        .ok()
                        .map(|number| Quantity::new(row.rounding.apply(number), unit).to_string()),
                    _ => None,
                }
            };
            lines.push(BatchLine {
                what: line(&what),
                each: row.each.and_then(mass),
                all: mass(row.all).unwrap_or_default(),
            });
        }
        Ok(lines)
    }

    /// What the drawing shows, in grams; `None` when the template has no drawing.
    pub fn drawing(&self) -> Option<Drawing> {
        let plan = self.template.drawing.as_ref()?;
        let mass = |slot: &usize| match self.slots.get(*slot) {
            Some(Slot::Number(value)) => Some(*value),
            _ => None,
        };
        let labelled = |slots: &[usize]| -> Option<Vec<(String, Exact)>> {
            slots
                .iter()
                .map(|slot| Some((self.template.names[*slot].label.clone(), mass(slot)?)))
                .collect()
        };
        Some(Drawing {
            mould: mass(&plan.mould)?,
            displaced: labelled(&plan.displaced)?,
            drugs: labelled(&plan.drugs)?,
            base: mass(&plan.base)?,
        })
    }
}
