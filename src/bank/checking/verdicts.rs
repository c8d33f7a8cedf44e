//! Checking the verdicts that a part asks for.

use crate::bank::checking::values::Names;
use crate::bank::reading::desk::{Desk, way};
use crate::bank::reading::noted::Checked;
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
) -> Checked<VerdictPlan> {
    let at = |n: usize, key: &str| way!["parts", id, "verdict", n, key];
    let mut choices: Vec<Checked<VerdictChoice>> = Vec::new();
    let mut known: Vec<String> = Vec::new();
    for (n, text) in entries.iter().enumerate() {
        let again = known.contains(&plain(&text.answer)).then(|| {
            let help = "give each verdict words of its own; join two conditions with `or`";
            let what = format!("the verdict `{}` is already listed", text.answer.trim());
            desk.value(&at(n, "answer"), what, "again", Some(help.to_owned()))
        });
        known.push(plain(&text.answer));
        let when = match &text.when {
            Some(formula) => condition(desk, &at(n, "when"), formula, names).map(Some),
            None if n + 1 == entries.len() => Ok(None),
            None => {
                let what = "expected `when` in every verdict but the last, found nothing";
                let help = "write the condition, or move this verdict to the end".to_owned();
                Err(desk.value(&at(n, "answer"), what, "hides the verdicts after it", Some(help)))
            }
        };
        let because = text.because.clone().unwrap_or_default();
        let choice = |when| VerdictChoice { answer: text.answer.clone(), when, because };
        choices.push(again.map_or(when.map(choice), Err));
    }
    Ok(VerdictPlan { choices: choices.into_iter().collect::<Checked<_>>()? })
}

/// Checks a condition on values and steps.
pub(in crate::bank) fn condition(
    desk: &mut Desk<'_>,
    at: &[Way],
    text: &str,
    names: &Names,
) -> Checked<(Formula, Program)> {
    let (formula, program) = desk.formula(at, text, names, &names.unsound)?;
    if program.shape() != Shape::Truth {
        let help = Some("compare it with something, as in `outside <= 1 unit`".to_owned());
        let what = "expected a condition, found a number";
        return Err(desk.value(at, what, "not a condition", help));
    }
    if program.reads().is_empty() {
        let help = Some("name a value or a step in it".to_owned());
        let what = "the condition is the same for every draw";
        return Err(desk.value(at, what, "names nothing drawn", help));
    }
    Ok((formula, program))
}

fn plain(text: &str) -> String {
    text.trim().to_lowercase()
}
