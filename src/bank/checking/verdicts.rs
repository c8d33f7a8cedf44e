//! Checking the verdicts that a part asks for.

use crate::bank::checking::conditions::condition;
use crate::bank::checking::values::Names;
use crate::bank::reading::desk::Desk;
use crate::bank::reading::noted::Checked;
use crate::bank::template::verdict::{VerdictChoice, VerdictPlan};
use crate::bank::written::parts::VerdictText;

/// Checks the verdicts of a part; what is wrong is noted.
pub(super) fn verdict_part(
    desk: &mut Desk<'_>,
    entries: &[VerdictText],
    names: &Names,
) -> Checked<VerdictPlan> {
    let mut choices: Vec<Checked<VerdictChoice>> = Vec::new();
    let mut known: Vec<String> = Vec::new();
    for (n, text) in entries.iter().enumerate() {
        let again = known.contains(&plain(&text.answer)).then(|| {
            let help = "give each verdict words of its own; join two conditions with `or`";
            let what = format!("the verdict `{}` is already listed", text.answer.trim());
            desk.value(&text.answer, what, "again", Some(help.to_owned()))
        });
        known.push(plain(&text.answer));
        let when = match &text.when {
            Some(formula) => condition(desk, formula, names).map(Some),
            None if n + 1 == entries.len() => Ok(None),
            None => {
                let what = "expected `when` in every verdict but the last, found nothing";
                let help = "write the condition, or move this verdict to the end".to_owned();
                Err(desk.value(&text.answer, what, "hides the verdicts after it", Some(help)))
            }
        };
        let because = text.because.as_ref().map(ToString::to_string).unwrap_or_default();
        let choice = |when| VerdictChoice { answer: text.answer.to_string(), when, because };
        choices.push(again.map_or(when.map(choice), Err));
    }
    Ok(VerdictPlan { choices: choices.into_iter().collect::<Checked<_>>()? })
}

fn plain(text: &str) -> String {
    text.trim().to_lowercase()
}
