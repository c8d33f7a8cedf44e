//! Checking conditions: what must hold of a draw, and what shows an answer to be plausible.

use crate::formula::{Formula, Program, Shape};

use crate::bank::checking::values::Names;
use crate::bank::reading::desk::Desk;
use crate::bank::reading::noted::Checked;
use crate::bank::reading::words::FormulaText;
use crate::bank::template::{Plausible, Requirement};
use crate::bank::written::working::{PlausibleText, RequireText};

/// Checks what must hold of a draw; conditions that are wrong are noted and left out.
pub(super) fn require(
    desk: &mut Desk<'_>,
    entries: &[RequireText],
    names: &Names,
    given: usize,
) -> Vec<Requirement> {
    let mut require = Vec::new();
    for RequireText { that, because, .. } in entries {
        let examples = ("base > 1 g", "name a value or a step in it, or remove it");
        let Ok((formula, program)) = checked(desk, that, names, examples) else { continue };
        let early = program.reads().iter().all(|slot| *slot < given);
        require.push(Requirement { formula, program, because: because.to_string(), early });
    }
    require
}

/// Checks the sentences that show an answer to be plausible; those that are wrong are noted and left
/// out.
pub(super) fn plausible(
    desk: &mut Desk<'_>,
    entries: &[PlausibleText],
    names: &Names,
) -> Vec<Plausible> {
    let mut found = Vec::new();
    for PlausibleText { say, that, when, .. } in entries {
        let that = condition(desk, that, names);
        let when = when.as_ref().map(|when| condition(desk, when, names)).transpose();
        if let (Ok((_, that)), Ok(when)) = (that, when) {
            let when = when.map(|(_, program)| program);
            found.push(Plausible { say: say.to_string(), that, when });
        }
    }
    found
}

/// Checks a condition on values and steps.
pub(super) fn condition(
    desk: &mut Desk<'_>,
    text: &FormulaText,
    names: &Names,
) -> Checked<(Formula, Program)> {
    checked(desk, text, names, ("outside <= 1 unit", "name a value or a step in it"))
}

/// A condition that is one and depends on the draw; with an example of one, and what to do when it
/// names nothing drawn.
fn checked(
    desk: &mut Desk<'_>,
    text: &FormulaText,
    names: &Names,
    (example, help): (&str, &str),
) -> Checked<(Formula, Program)> {
    let (formula, program) = text.compile(desk, names, &names.unsound)?;
    if program.shape() != Shape::Truth {
        let help = format!("compare it with something, as in `{example}`");
        let what = "expected a condition, found a number";
        return Err(desk.value(text, what, "not a condition", Some(help)));
    }
    if program.reads().is_empty() {
        let what = "the condition is the same for every draw";
        return Err(desk.value(text, what, "names nothing drawn", Some(help.to_owned())));
    }
    Ok((formula, program))
}
