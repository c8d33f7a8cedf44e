//! Checking the working of a template.

use crate::formula::{Scope, Shape};
use crate::quantity::Unit;

use crate::bank::checking::order::in_order;
use crate::bank::checking::values::{Names, expect_dimension};
use crate::bank::reading::desk::Desk;
use crate::bank::reading::noted::Checked;
use crate::bank::reading::written::{Key, Named};
use crate::bank::template::Step;
use crate::bank::written::template::StepText;

/// Checks the steps and adds their names; those that are wrong are noted and left out.
pub(super) fn steps(
    desk: &mut Desk<'_>,
    written: Option<&Named<StepText>>,
    names: &mut Names,
) -> Vec<Step> {
    let entries = written.map_or(&[][..], |entries| entries);
    let ordered = in_order(desk, entries, names, |step: &StepText| vec![step.is.as_str()]);
    let mut steps = Vec::new();
    for (name, text) in ordered.entries {
        match step(desk, name, text, names) {
            Ok(step) => steps.push(step),
            Err(noted) => names.unsound.add(name, noted),
        }
    }
    if let Some((ring, noted)) = ordered.ring {
        for (name, text) in ring {
            let unit = Unit::parse(&text.unit).unwrap_or_default();
            names.add(name, None, Shape::Number(unit.dimension()), unit);
            names.unsound.add(name, noted);
        }
    }
    steps
}

fn step(desk: &mut Desk<'_>, name: &Key, text: &StepText, names: &mut Names) -> Checked<Step> {
    if names.find(name).is_some() {
        let what = format!("`{name}` is a value already");
        let help = Some("give the step a name of its own".to_owned());
        desk.key(name, what, "again", help);
    } else {
        name.is_name(desk, "a step");
    }
    let checked = text.is.compile(desk, names, &names.unsound);
    let unit = text.unit.unit(desk);
    let rounding = text.show.rounding(desk);
    let also = text.also.iter().flat_map(|also| also.iter());
    let also: Vec<_> = also.map(|text| text.rounding(desk)).collect();
    // The name is known from here on even if its rule is wrong, so that one mistake is told once.
    let of = *unit.as_ref().unwrap_or(&Unit::default());
    let label = text.label.as_ref().map(ToString::to_string);
    let slot = names.add(name, label, Shape::Number(of.dimension()), of);
    let ((formula, program), unit) = (checked?, unit?);
    expect_dimension(desk, &text.is, program.shape(), unit)?;
    let also = also.into_iter().collect::<Checked<_>>()?;
    Ok(Step { slot, say: text.say.to_string(), formula, program, rounding: rounding?, also })
}
