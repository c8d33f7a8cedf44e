//! Checking the steps of a working.

use crate::bank::checking::order::in_order;
use crate::bank::checking::values::{Names, expect_dimension};
use crate::bank::reading::desk::{Desk, way};
use crate::bank::reading::noted::{Checked, Noted};
use crate::bank::reading::yaml::Way;
use crate::bank::template::Step;
use crate::bank::written::{Named, StepText};
use crate::formula::{Scope, Shape};
use crate::quantity::Unit;

/// Checks the steps of the working and gives each name a slot; those that are wrong are noted and left
/// out.
pub(in crate::bank) fn steps(
    desk: &mut Desk<'_>,
    written: Named<StepText>,
    names: &mut Names,
) -> Vec<Step> {
    let ordered =
        in_order(desk, "working", written, names, |step: &StepText| vec![step.is.as_str()]);
    let mut steps = Vec::new();
    for (name, text) in ordered.entries {
        let way = way!["working", &name].to_vec();
        if names.find(&name).is_some() {
            let what = format!("`{name}` is a value already");
            let help = Some("give the step a name of its own".to_owned());
            desk.key(&way, what, "again", help);
        } else {
            desk.name(&way, "a step", &name);
        }
        steps.extend(step(desk, &way, &name, &text, names));
    }
    if let Some((ring, noted)) = ordered.ring {
        for (name, text) in ring {
            add_unsound(&name, text, names, noted);
        }
    }
    steps
}

/// Makes the name of a step known of which something was noted.
pub(in crate::bank) fn add_unsound(name: &str, text: StepText, names: &mut Names, noted: Noted) {
    let unit = Unit::parse(&text.unit).unwrap_or_default();
    names.add(name, text.label, Shape::Number(unit.dimension()), unit);
    names.unsound.add(name, noted);
}

/// Checks one step, whose name is new, and gives it a slot.
pub(in crate::bank) fn step(
    desk: &mut Desk<'_>,
    way: &[Way],
    name: &str,
    text: &StepText,
    names: &mut Names,
) -> Checked<Step> {
    let rule = rule(desk, way, text, names);
    // The name is known from here on even if its rule is wrong, so that one mistake is noted once.
    let unit = Unit::parse(&text.unit).unwrap_or_default();
    let slot = names.add(name, text.label.clone(), Shape::Number(unit.dimension()), unit);
    if let Err(noted) = &rule {
        names.unsound.add(name, *noted);
    }
    rule.map(|rule| Step { slot, ..rule })
}

/// Checks the rule of a step; the slot of what is given is not its own yet.
pub(in crate::bank) fn rule(
    desk: &mut Desk<'_>,
    way: &[Way],
    text: &StepText,
    names: &Names,
) -> Checked<Step> {
    let at = |key: &str| [way, &way![key]].concat();
    let checked = desk.formula(&at("is"), &text.is, names, &names.unsound);
    let unit = desk.unit(&at("unit"), &text.unit);
    let rounding = desk.rounding(&at("show"), &text.show);
    let also = text.also.iter().enumerate();
    let also = also
        .filter_map(|(n, text)| desk.rounding(&[way, &way!["also", n]].concat(), text).ok())
        .collect();
    let ((formula, program), unit) = (checked?, unit?);
    expect_dimension(desk, &at("is"), program.shape(), unit)?;
    let say = text.say.clone();
    Ok(Step { slot: 0, say, formula, program, rounding: rounding?, also })
}
