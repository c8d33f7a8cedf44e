//! Checking the methods of a template: other legal ways of working.

use std::collections::BTreeSet;

use crate::bank::checking::names::Names;
use crate::bank::checking::order::in_order;
use crate::bank::checking::steps::{add_unsound, rule, step};
use crate::bank::reading::checker::Checker;
use crate::bank::reading::written::Named;
use crate::bank::template::{Method, PartPlan, Step};
use crate::bank::written::working::{MethodText, StepText};
use crate::formula::Scope;
use crate::quantity::Unit;

/// Checks the methods; what is wrong is noted. The first is the working itself, and each of the others
/// is the working with some of its steps worked by another rule, and new steps on the way to them.
pub(super) fn methods(
    checker: &mut Checker<'_>,
    written: Option<&Named<MethodText>>,
    working: &[Step],
    names: &mut Names,
) -> Vec<Method> {
    let Some(written) = written else { return Vec::new() };
    if written.len() == 1 {
        let what = "expected at least two methods, found one";
        let help = "remove it, or add another".to_owned();
        checker.value(written, what, "only this", Some(help));
    }
    let mut methods = Vec::new();
    for (index, (id, text)) in written.iter().enumerate() {
        id.expect_id(checker, "a method");
        let steps = match (index, &text.working) {
            (0, None) => Vec::new(),
            (0, Some(steps)) if written.unsound.check().is_ok() => {
                let what = "expected no `working` in the first method, found one";
                let help = "the first method is the working of the template; give it a title only";
                checker.key(steps, what, "again", Some(help.to_owned()));
                continue;
            }
            (_, None) => {
                let what = "expected the steps that differ under `working`, found none";
                checker.key(id, what, "the same again", None);
                continue;
            }
            (_, Some(steps)) => other_steps(checker, steps, working, names),
        };
        methods.push(Method { id: id.to_string(), title: text.title.to_string(), working: steps });
    }
    methods
}

/// The working of a method: that of the template with these steps put in.
fn other_steps(
    checker: &mut Checker<'_>,
    written: &Named<StepText>,
    working: &[Step],
    names: &mut Names,
) -> Vec<Step> {
    names.unsound.join(&written.unsound);
    let ordered = in_order(checker, written, names, |step: &StepText| vec![step.is.as_str()]);
    let mut found: Vec<Step> = Vec::new();
    let is_ring = ordered.ring.is_some();
    if let Some((ring, noted)) = ordered.ring {
        let new: Vec<_> = ring.into_iter().filter(|(name, _)| names.is_new(name)).collect();
        for (name, text) in new {
            add_unsound(name, text, names, noted);
        }
    }
    for (name, text) in ordered.entries {
        match names.find(name) {
            Some((slot, _)) if working.iter().any(|step| step.slot == slot) => {
                same_unit(checker, text, names.unit(slot));
                found.extend(rule(checker, text, names, slot));
            }
            Some((slot, _)) if names.unsound.of(name).is_some() => {
                let _ = rule(checker, text, names, slot);
            }
            Some(_) => {
                let what = format!("`{name}` is a value, or a step of another method, already");
                let help = Some("give the step a name of its own".to_owned());
                checker.key(name, what, "again", help);
            }
            None => {
                name.is_name(checker, "a step");
                found.extend(step(checker, name, text, names));
            }
        }
    }
    let others = working.iter().filter(|step| !found.iter().any(|other| other.slot == step.slot));
    let mut waiting: Vec<Step> = others.cloned().collect();
    waiting.append(&mut found);
    // As near to the order of the working as the new rules allow.
    waiting.sort_by_key(|step| step.slot);
    let Some(in_order) = sorted(waiting) else {
        let what = "the steps of this method wait for each other";
        let help = "let one of them follow from values and earlier steps alone".to_owned();
        // Without the steps that were left out it may only look like one.
        if !is_ring && names.unsound.check().is_ok() {
            checker.key(written, what, "in a ring", Some(help));
        }
        return Vec::new();
    };
    in_order
}

/// Leaves out the steps of the working that lead to no answer by a method.
pub(super) fn keep_needed(methods: &mut [Method], parts: &[PartPlan]) {
    for method in methods {
        let mut needed: BTreeSet<usize> =
            parts.iter().flat_map(|part| part.wanted.reads()).collect();
        for step in method.working.iter().rev() {
            if needed.contains(&step.slot) {
                needed.extend(step.program.reads());
            }
        }
        method.working.retain(|step| needed.contains(&step.slot));
    }
}

/// The steps in an order in which each reads only earlier ones; `None` when there is none.
fn sorted(mut waiting: Vec<Step>) -> Option<Vec<Step>> {
    let mut done = Vec::with_capacity(waiting.len());
    while !waiting.is_empty() {
        let open: BTreeSet<usize> = waiting.iter().map(|step| step.slot).collect();
        let is_ready = |step: &Step| step.program.reads().iter().all(|slot| !open.contains(slot));
        done.push(waiting.remove(waiting.iter().position(is_ready)?));
    }
    Some(done)
}

/// Notes a step whose unit is another than that of the step of the same name in the working.
fn same_unit(checker: &mut Checker<'_>, text: &StepText, unit: Unit) {
    if Unit::parse(&text.unit).is_ok_and(|written| written != unit) {
        let what =
            format!("expected the unit of the same step in the working, found {}", text.unit);
        checker.value(&text.unit, what, "another unit", Some(format!("write `{unit}`")));
    }
}
