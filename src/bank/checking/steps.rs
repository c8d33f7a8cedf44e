//! Checking the steps of a working.

use crate::formula::Shape;
use crate::quantity::Unit;

use crate::bank::checking::names::Names;
use crate::bank::checking::order::in_order;
use crate::bank::checking::values::expect_dimension;
use crate::bank::reading::checker::Checker;
use crate::bank::reading::noted::{Checked, Noted};
use crate::bank::reading::words::Word;
use crate::bank::reading::written::{Key, Named};
use crate::bank::template::Step;
use crate::bank::written::working::StepText;

/// Checks the steps of the working and gives each name a slot; those that are wrong are noted and left
/// out.
pub(super) fn steps(
    checker: &mut Checker<'_>,
    written: Option<&Named<StepText>>,
    names: &mut Names,
) -> Vec<Step> {
    let entries = written.map_or(&[][..], |entries| entries);
    let ordered = in_order(checker, entries, names, |step: &StepText| vec![step.is.as_str()]);
    let mut steps = Vec::new();
    for (name, text) in ordered.entries {
        if names.is_new(name) {
            name.is_name(checker, "a step");
        } else {
            let what = format!("`{name}` is a value already");
            let help = Some("give the step a name of its own".to_owned());
            checker.key(name, what, "again", help);
        }
        steps.extend(step(checker, name, text, names));
    }
    if let Some((ring, noted)) = ordered.ring {
        for (name, text) in ring {
            add_unsound(name, text, names, noted);
        }
    }
    steps
}

/// Makes the name of a step known of which something was noted.
pub(super) fn add_unsound(name: &Key, text: &StepText, names: &mut Names, noted: Noted) {
    add(name, text, names);
    names.unsound.add(name, noted);
}

/// Checks one step, whose name is new, and gives it a slot.
pub(super) fn step(
    checker: &mut Checker<'_>,
    name: &Key,
    text: &StepText,
    names: &mut Names,
) -> Checked<Step> {
    let step = rule(checker, text, names, names.len());
    // The name is known from here on even if its rule is wrong, so that one mistake is noted once.
    add(name, text, names);
    step.inspect_err(|noted| names.unsound.add(name, *noted))
}

/// Adds the name of a step, unless nobody knows what it is a number of.
fn add(name: &Key, text: &StepText, names: &mut Names) {
    let Ok(unit) = Unit::parse(&text.unit) else { return };
    let label = text.label.as_ref().map(ToString::to_string);
    names.add(name, label, Shape::Number(unit.dimension()), unit);
}

/// Checks the rule of a step that fills a slot.
pub(super) fn rule(
    checker: &mut Checker<'_>,
    text: &StepText,
    names: &Names,
    slot: usize,
) -> Checked<Step> {
    let checked = text.is.compile(checker, names, &names.unsound);
    let unit = text.unit.meaning();
    let rounding = text.show.meaning();
    let also = text.also.iter().flat_map(|also| also.iter());
    let also: Vec<_> = also.map(Word::meaning).collect();
    let ((formula, program), unit) = (checked?, unit?);
    expect_dimension(checker, &text.is, program.shape(), unit)?;
    let also = also.into_iter().collect::<Checked<_>>()?;
    Ok(Step { slot, say: text.say.to_string(), formula, program, rounding: rounding?, also })
}
