//! The worked solution.

use std::fmt;

use crate::bank::{Bank, Plausible, Step};
use crate::formula::{Math, Program, Relation, Slot};
use crate::quantity::{Exact, Quantity};
use crate::words::with_minus;

use super::shown::{Shown, line};
use super::solve::{Rules, solve};
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
    /// Whether the numbers shown give more places than the result has.
    pub rounded: bool,
}

/// A worked solution by another method.
#[derive(Clone, Debug)]
pub struct WorkedMethod {
    /// Its heading: `By the cavity`.
    pub title: String,
    /// Its steps.
    pub steps: Vec<WorkedStep>,
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

/// How many more places a number is shown with at most to make a line of the working come out.
const MOST_EXTRA_PLACES: u32 = 4;

impl Problem {
    /// The working, step by step.
    ///
    /// # Errors
    /// When a sentence of the template cannot be filled in.
    pub fn working(&self, bank: &Bank) -> Result<Vec<WorkedStep>, WorkProblem> {
        self.steps(bank, &self.template.working, &self.slots, None)
    }

    /// The other methods, each with its heading and its steps; empty where there is only one.
    ///
    /// # Errors
    /// When a sentence of the template cannot be filled in, or a method has no result.
    pub fn methods(&self, bank: &Bank) -> Result<Vec<WorkedMethod>, WorkProblem> {
        let mut methods = Vec::new();
        for (index, method) in self.template.methods.iter().enumerate().skip(1) {
            let mut slots = self.slots.clone();
            solve(Rules::of(&self.template).along(&method.working), &mut slots)
                .map_err(|none| WorkProblem(none.cause.to_string()))?;
            let steps = self.steps(bank, &method.working, &slots, Some(index))?;
            methods.push(WorkedMethod { title: method.title.clone(), steps });
        }
        Ok(methods)
    }

    /// The numeric answers as asked for, where there are several methods and all of them lead to these;
    /// empty otherwise.
    pub fn common_answers(&self) -> Vec<String> {
        let template = &self.template;
        let agrees = |slots: &[Slot]| {
            template.parts.iter().zip(&self.parts).all(|(plan, part)| {
                let (Some(plan), Some(key)) = (plan.wanted.number(), part.response.number()) else {
                    return true;
                };
                let number = match slots.get(plan.slot) {
                    Some(Slot::Number(number)) => plan.unit.from_coherent(*number).ok(),
                    _ => None,
                };
                number.is_some_and(|number| plan.rounding.of_result(number) == key.shown)
            })
        };
        let others = template.methods.iter().skip(1);
        let all_agree = others.clone().all(|method| {
            let mut slots = self.slots.clone();
            let rules = Rules::of(template).along(&method.working);
            solve(rules, &mut slots).is_ok() && agrees(&slots)
        });
        if others.len() == 0 || !all_agree {
            return Vec::new();
        }
        let keys = self.parts.iter().filter_map(|part| part.response.number());
        keys.map(|key| Quantity::new(key.shown, key.unit).to_string()).collect()
    }

    /// The heading over the working where there are other methods.
    pub fn method_title(&self) -> Option<&str> {
        self.template.methods.first().map(|method| method.title.as_str())
    }

    /// The sentence that shows the answer to be plausible, where the template has one for the draw.
    ///
    /// # Errors
    /// When the sentence cannot be filled in.
    pub fn plausible(&self, bank: &Bank) -> Result<Option<String>, WorkProblem> {
        let read = self.shown.coherent();
        let fits = |program: &Program| program.holds(&self.slots) == Ok(true);
        let is_said = |one: &Plausible| {
            one.when.as_ref().is_none_or(fits)
                && fits(&one.that)
                && one.that.holds(&read) == Ok(true)
        };
        let Some(index) = self.template.plausible.iter().position(is_said) else { return Ok(None) };
        let said = self.shown.fill_in(bank, &format!("plausible/{index}")).map_err(WorkProblem)?;
        Ok(Some(line(&said)))
    }

    fn steps(
        &self,
        bank: &Bank,
        working: &[Step],
        slots: &[Slot],
        method: Option<usize>,
    ) -> Result<Vec<WorkedStep>, WorkProblem> {
        let template = &self.template;
        let shown = match method {
            None => self.shown.clone(),
            Some(_) => Shown::along(template, &self.draw, slots, method),
        };
        let read = shown.coherent();
        let id = method.and_then(|index| template.methods.get(index)).map(|method| &method.id);
        let mut steps = Vec::with_capacity(working.len());
        for step in working {
            let name = &template.names[step.slot];
            let text = match id.filter(|_| !template.has_step(step)) {
                Some(method) => format!("say/{method}/{}", name.name),
                None => format!("say/{}", name.name),
            };
            let say = shown.fill_in(bank, &text).map_err(WorkProblem)?;
            let result = with_minus(shown.text(step.slot));
            let named = step.formula.with_names(&shown);
            let (numbered, rounded) = self.numbered(step, (&shown, &read), slots);
            steps.push(WorkedStep {
                name: name.name.clone(),
                say: line(&say),
                label: name.label.clone(),
                named,
                numbered,
                result,
                rounded,
            });
        }
        Ok(steps)
    }

    /// The rule of a step with its numbers put in, and whether its result had to be rounded.
    ///
    /// The engine carries every digit and the reader sees rounded ones, so the numbers shown might
    /// lead him to another result: 20.04 g − 6.35 g is not 13.68 g. Then the results of earlier steps
    /// are shown with more places until they do lead there: 20.04 g − 6.355 g ≈ 13.68 g.
    fn numbered(
        &self,
        step: &Step,
        (shown, read): (&Shown, &[Slot]),
        slots: &[Slot],
    ) -> (Math, bool) {
        let unit = self.template.names[step.slot].unit;
        let result = slots.get(step.slot).and_then(|slot| match slot {
            Slot::Number(number) => unit.from_coherent(*number).ok(),
            _ => None,
        });
        let result = result.map(|number| step.rounding.of_result(number));
        let found = |read: &[Slot]| {
            let number = step.program.run(read).ok();
            number.and_then(|number| unit.from_coherent(number).ok())
        };
        let agrees = |found: Option<Exact>| found.map(|it| step.rounding.of_result(it)) == result;
        let first = found(read);
        if agrees(first) {
            return (step.formula.with_numbers(shown), first != result);
        }
        let mut places = 1;
        loop {
            let shown = shown.finer(slots, places);
            let found = found(&shown.coherent());
            if agrees(found) || places == MOST_EXTRA_PLACES {
                return (step.formula.with_numbers(&shown), found != result);
            }
            places += 1;
        }
    }

    /// What is said to a student who made the slip, an index into the slips of the template; empty
    /// when there is no such slip.
    pub fn slip_says(&self, bank: &Bank, slip: usize) -> String {
        let Some(slip) = self.template.slips.get(slip) else { return String::new() };
        // `bank check` fills in every slip, so that none fails here.
        match self.shown.fill_in(bank, &format!("slip/{}", slip.id)) {
            Ok(text) => line(&text),
            Err(error) => format!("Internal error: {error}; please report it."),
        }
    }

    /// The batch table; empty when the template has none.
    ///
    /// # Errors
    /// When the name of an ingredient cannot be filled in.
    pub fn batch(&self, bank: &Bank) -> Result<Vec<BatchLine>, WorkProblem> {
        let shown = &self.shown;
        let mut lines = Vec::with_capacity(self.template.batch.len());
        for (index, row) in self.template.batch.iter().enumerate() {
            let what = shown.fill_in(bank, &format!("batch/{index}")).map_err(WorkProblem)?;
            let mass = |slot: usize| {
                let unit = self.template.names[slot].unit;
                match self.slots.get(slot) {
                    Some(Slot::Number(value)) => unit.from_coherent(*value).ok().map(|number| {
                        Quantity::new(row.rounding.of_result(number), unit).to_string()
                    }),
                    _ => None,
                }
            };
            lines.push(BatchLine {
                what: line(&what),
                // A dose stays as it was given: 125 mg, not 125.00 mg.
                each: row.each.and_then(|slot| {
                    if self.template.is_step(slot) { mass(slot) } else { shown.texts(slot).pop() }
                }),
                all: mass(row.all).ok_or_else(|| {
                    WorkProblem(format!("the mass of {} cannot be worked out", line(&what)))
                })?,
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

impl WorkedStep {
    /// All of it in one line: what is found = the rule in names = with numbers = the result. A side
    /// that looks as the one before it is left out.
    pub fn equation(&self) -> Math {
        let label = Math::Label(self.label.clone());
        let result = Math::Number(self.result.clone());
        let relation = if self.rounded { Relation::About } else { Relation::Equals };
        let mut sides: Vec<(Relation, Math)> = Vec::with_capacity(3);
        for (relation, side) in [
            (Relation::Equals, &self.named),
            (Relation::Equals, &self.numbered),
            (relation, &result),
        ] {
            if *side != label && sides.last().is_none_or(|(_, last)| last != side) {
                sides.push((relation, side.clone()));
            }
        }
        Math::equation(label, sides)
    }
}
