//! Checking the slips of a template: wrong rules in place of right ones.

use crate::formula::{Formula, Program, Scope};

use crate::bank::checking::names::Names;
use crate::bank::reading::checker::Checker;
use crate::bank::reading::noted::Checked;
use crate::bank::reading::words::FormulaText;
use crate::bank::reading::written::{Key, Named};
use crate::bank::template::Slip;
use crate::bank::written::template::SlipText;

/// Checks the slips; what is wrong with them is noted.
pub(super) fn slips(
    checker: &mut Checker<'_>,
    entries: Option<&Named<SlipText>>,
    names: &Names,
    given: usize,
) -> Vec<Slip> {
    let mut slips = Vec::new();
    for (id, text) in entries.into_iter().flat_map(|entries| entries.iter()) {
        id.expect_id(checker, "a slip");
        let rules = text.instead.iter();
        let instead: Vec<_> =
            rules.filter_map(|rule| wrong_rule(checker, rule, names, given).ok()).collect();
        if text.instead.is_empty() {
            let what = "expected a wrong rule under `instead`, found none";
            checker.key(&text.instead, what, "empty", None);
        }
        slips.push(Slip { id: id.to_string(), instead, say: text.say.to_string() });
    }
    slips
}

/// The slot of a value or step, and the wrong rule for it.
fn wrong_rule(
    checker: &mut Checker<'_>,
    (name, formula): &(Key, FormulaText),
    names: &Names,
    given: usize,
) -> Checked<(usize, Formula, Program)> {
    let Some((slot, shape)) = names.find(name) else {
        let noted = names.unsound.of(name);
        let _ = formula.compile(checker, names, &names.unsound);
        return Err(noted
            .unwrap_or_else(|| checker.unknown_key(name, "a value or step", name, names.names())));
    };
    let (parsed, program) = formula.compile(checker, names, &names.unsound)?;
    if program.shape() != shape {
        let of = names.unit(slot).dimension();
        let what = format!("expected {of} in place of `{name}`, found something else");
        let help =
            Some("bring it to the same unit, for instance with `1 unit` or `1 g`".to_owned());
        return Err(checker.value(formula, what, "another kind of thing", help));
    }
    // A wrong step can use what is known before it; a wrong value only other values. Slots are
    // numbered in the order in which they are filled.
    let is_late = |read: &&usize| **read >= given && (slot < given || **read >= slot);
    if let Some(late) = program.reads().iter().find(is_late) {
        let late = names.names().get(*late).copied().unwrap_or_default();
        let what =
            format!("the slip uses `{late}`, which is not known yet when `{name}` is worked out");
        let help = Some("use values and earlier steps".to_owned());
        return Err(checker.value(formula, what, "too early", help));
    }
    Ok((slot, parsed, program))
}
