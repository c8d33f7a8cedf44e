//! Checking conditions: what must hold of a draw, what shows an answer to be plausible, and the
//! verdicts of which one follows from the numbers.

use crate::formula::{Formula, Program, Shape};

use crate::bank::checking::names::Names;
use crate::bank::reading::checker::Checker;
use crate::bank::reading::noted::Checked;
use crate::bank::reading::words::FormulaText;
use crate::bank::template::verdict::{VerdictChoice, VerdictPlan};
use crate::bank::template::{Plausible, Requirement};
use crate::bank::written::parts::VerdictText;
use crate::bank::written::working::{PlausibleText, RequireText};

/// Checks what must hold of a draw; conditions that are wrong are noted and left out.
pub(super) fn require(
    checker: &mut Checker<'_>,
    entries: &[RequireText],
    names: &Names,
    given: usize,
) -> Vec<Requirement> {
    let mut require = Vec::new();
    for RequireText { that, because, .. } in entries {
        let examples = ("base > 1 g", "name a value or a step in it, or remove it");
        let Ok((formula, program)) = checked(checker, that, names, examples) else { continue };
        let early = program.reads().iter().all(|slot| *slot < given);
        require.push(Requirement { formula, program, because: because.to_string(), early });
    }
    require
}

/// Checks the sentences that show an answer to be plausible; those that are wrong are noted and left
/// out.
pub(super) fn plausible(
    checker: &mut Checker<'_>,
    entries: &[PlausibleText],
    names: &Names,
) -> Vec<Plausible> {
    let mut found = Vec::new();
    for PlausibleText { say, that, when, .. } in entries {
        let that = condition(checker, that, names);
        let when = when.as_ref().map(|when| condition(checker, when, names)).transpose();
        if let (Ok((_, that)), Ok(when)) = (that, when) {
            let when = when.map(|(_, program)| program);
            found.push(Plausible { say: say.to_string(), that, when });
        }
    }
    found
}

/// Checks the verdicts of a part; what is wrong is noted.
pub(super) fn verdict_part(
    checker: &mut Checker<'_>,
    entries: &[VerdictText],
    names: &Names,
) -> Checked<VerdictPlan> {
    let mut choices: Vec<Checked<VerdictChoice>> = Vec::new();
    let mut known: Vec<String> = Vec::new();
    for (n, text) in entries.iter().enumerate() {
        let again = known.contains(&plain(&text.answer)).then(|| {
            let help = "give each verdict words of its own; join two conditions with `or`";
            let what = format!("the verdict `{}` is already listed", text.answer.trim());
            checker.value(&text.answer, what, "again", Some(help.to_owned()))
        });
        known.push(plain(&text.answer));
        let when = match &text.when {
            Some(formula) => condition(checker, formula, names).map(Some),
            None if n + 1 == entries.len() => Ok(None),
            None => {
                let what = "expected `when` in every verdict but the last, found nothing";
                let help = "write the condition, or move this verdict to the end".to_owned();
                Err(checker.value(&text.answer, what, "hides the verdicts after it", Some(help)))
            }
        };
        let because = text.because.as_ref().map(ToString::to_string).unwrap_or_default();
        let choice = |when| VerdictChoice { answer: text.answer.to_string(), when, because };
        choices.push(again.map_or(when.map(choice), Err));
    }
    Ok(VerdictPlan { choices: choices.into_iter().collect::<Checked<_>>()? })
}

/// Checks a condition on values and steps.
fn condition(
    checker: &mut Checker<'_>,
    text: &FormulaText,
    names: &Names,
) -> Checked<(Formula, Program)> {
    checked(checker, text, names, ("outside <= 1 unit", "name a value or a step in it"))
}

/// A condition that is one and depends on the draw; with an example of one, and what to do when it
/// names nothing drawn.
fn checked(
    checker: &mut Checker<'_>,
    text: &FormulaText,
    names: &Names,
    (example, help): (&str, &str),
) -> Checked<(Formula, Program)> {
    let (formula, program) = text.compile(checker, names, &names.unsound)?;
    if program.shape() != Shape::Truth {
        let help = format!("compare it with something, as in `{example}`");
        let what = "expected a condition, found a number";
        return Err(checker.value(text, what, "not a condition", Some(help)));
    }
    if program.reads().is_empty() {
        let what = "the condition is the same for every draw";
        return Err(checker.value(text, what, "names nothing drawn", Some(help.to_owned())));
    }
    Ok((formula, program))
}

fn plain(text: &str) -> String {
    text.trim().to_lowercase()
}
