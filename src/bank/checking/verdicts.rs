//! Checking the verdicts that a part asks for.

use crate::bank::checking::values::Names;
use crate::bank::reading::desk::{Desk, way};
use crate::bank::reading::yaml::Way;
use crate::bank::template::verdict::{VerdictChoice, VerdictPlan};
use crate::bank::written_parts::VerdictText;
use crate::formula::{Formula, Program, Shape};

/// Checks the verdicts of a part; what is wrong is noted.
pub(in crate::bank) fn verdict_part(
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

/// Checks a condition on values and steps.
pub(in crate::bank) fn condition(
    desk: &mut Desk<'_>,
    at: &[Way],
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
