//! Verdicts: parts whose answer follows from the numbers, one of several conclusions.

use std::collections::BTreeSet;

use crate::formula::{Fault, Formula, Program, Shape, Slot};

use super::desk::{Desk, way};
use super::values::Names;
use super::written_parts::VerdictText;

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
    /// The place of the verdict that these numbers lead to; `None` when no condition holds.
    ///
    /// # Errors
    /// A condition that has no result for these numbers.
    pub fn decide(&self, slots: &[Slot]) -> Result<Option<usize>, Fault> {
        for (place, choice) in self.choices.iter().enumerate() {
            let holds = match &choice.when {
                Some((_, program)) => program.holds(slots)?,
                None => true,
            };
            if holds {
                return Ok(Some(place));
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

/// Checks the verdicts of a part; what is wrong is noted.
pub(super) fn verdict_part(
    desk: &mut Desk<'_>,
    id: &String,
    entries: &[VerdictText],
    names: &Names,
) -> Option<VerdictPlan> {
    let at = |n: usize, key: &str| way!["parts", id, "verdict", n, key];
    let mut choices: Vec<VerdictChoice> = Vec::new();
    let mut is_sound = true;
    for (n, text) in entries.iter().enumerate() {
        if choices.iter().any(|known| plain(&known.answer) == plain(&text.answer)) {
            let help = "give each verdict words of its own; join two conditions with `or`";
            let what = format!("the verdict `{}` is already listed", text.answer.trim());
            desk.value(&at(n, "answer"), what, "again", Some(help.to_owned()));
            is_sound = false;
        }
        let when = match &text.when {
            Some(formula) => condition(desk, &at(n, "when"), formula, names).map(Some),
            None if n + 1 == entries.len() => Some(None),
            None => {
                let what = "expected `when` in every verdict but the last, found nothing";
                let help = "write the condition, or move this verdict to the end".to_owned();
                desk.value(&at(n, "answer"), what, "hides the verdicts after it", Some(help));
                None
            }
        };
        let Some(when) = when else {
            is_sound = false;
            continue;
        };
        let because = text.because.clone().unwrap_or_default();
        choices.push(VerdictChoice { answer: text.answer.clone(), when, because });
    }
    let plan = VerdictPlan { choices };
    (is_sound && plan.choices.len() == entries.len()).then_some(plan)
}

fn condition(
    desk: &mut Desk<'_>,
    at: &[super::reading::Way],
    text: &str,
    names: &Names,
) -> Option<(Formula, Program)> {
    let (formula, program) = desk.formula(at, text, names, &names.unsound)?;
    if program.shape() != Shape::Truth {
        let help = Some("compare it with something, as in `outside <= 1 unit`".to_owned());
        desk.value(at, "expected a condition, found a number", "not a condition", help);
        return None;
    }
    if program.reads().is_empty() {
        let help = Some("name a value or a step in it".to_owned());
        desk.value(at, "the condition is the same for every draw", "names nothing drawn", help);
        return None;
    }
    Some((formula, program))
}

fn plain(text: &str) -> String {
    text.trim().to_lowercase()
}
