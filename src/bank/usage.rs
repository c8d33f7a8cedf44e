//! Checking that everything in a template has an effect.

use std::collections::BTreeSet;

use super::desk::{Desk, way};
use super::template::{Rule, Template, Wanted};

/// Notes values that nothing uses, steps that lead to no answer, and slips that change none.
pub(super) fn check(
    desk: &mut Desk<'_>,
    template: &Template,
    named: &BTreeSet<String>,
    given: usize,
) {
    let mut used: BTreeSet<usize> = BTreeSet::new();
    used.extend(template.working.iter().flat_map(|step| step.program.reads()));
    used.extend(template.require.iter().flat_map(|one| one.program.reads()));
    used.extend(
        template
            .slips
            .iter()
            .flat_map(|slip| &slip.instead)
            .flat_map(|(.., program)| program.reads()),
    );
    used.extend(template.batch.iter().flat_map(|row| row.each.into_iter().chain([row.all])));
    used.extend(answers(template));
    for value in &template.values {
        match &value.rule {
            Rule::Derived { program, .. } => used.extend(program.reads()),
            Rule::Scatter { around, .. } => {
                used.insert(*around);
            }
            _ => {}
        }
    }
    if let Some(drawing) = &template.drawing {
        used.extend([drawing.mould, drawing.base]);
        used.extend(drawing.displaced.iter().chain(&drawing.drugs));
    }
    let is_used = |slot: usize| used.contains(&slot) || named.contains(&template.names[slot].name);
    for value in &template.values {
        let in_use = match &value.rule {
            Rule::Grid { slot, .. }
            | Rule::Choice { slot, .. }
            | Rule::Fixed { slot, .. }
            | Rule::Derived { slot, .. }
            | Rule::Scatter { slot, .. } => is_used(*slot),
            Rule::Pick { slots, fields, .. } => {
                slots.iter().any(|slot| is_used(*slot)) || names_field(named, &value.name, fields)
            }
            Rule::Words { fields, .. } => names_field(named, &value.name, fields),
        };
        if !in_use {
            desk.key(
                &way!["values", &value.name],
                format!("the value `{}` is never used", value.name),
                "nothing names it",
                Some("use it in a text or a formula, or remove it".to_owned()),
            );
        }
    }
    let reached = reached(template);
    for step in &template.working {
        let name = &template.names[step.slot].name;
        if !reached.contains(&step.slot) && !used.contains(&step.slot) {
            let what = format!("the step `{name}` leads to no answer");
            let help = Some("use it in a later step, ask for it, or remove it".to_owned());
            desk.key(&way!["working", name], what, "nothing uses it", help);
        }
    }
    for slip in &template.slips {
        for (slot, ..) in &slip.instead {
            if !reached.contains(slot) {
                let name = &template.names[*slot].name;
                let kind = if *slot < given { "value" } else { "step" };
                desk.key(
                    &way!["slips", &slip.id, "instead", name],
                    format!("the slip changes no answer: the {kind} `{name}` leads to none"),
                    "no effect",
                    Some("replace a value or step that an answer follows from".to_owned()),
                );
            }
        }
    }
}

fn names_field(named: &BTreeSet<String>, value: &str, fields: &[String]) -> bool {
    fields.iter().any(|field| match field.as_str() {
        "" => named.contains(value),
        field => named.contains(&format!("{value}.{field}")),
    })
}

fn answers(template: &Template) -> impl Iterator<Item = usize> {
    template.parts.iter().map(|part| match &part.wanted {
        Wanted::Number(plan) => plan.slot,
    })
}

/// Every slot from which an answer follows.
fn reached(template: &Template) -> BTreeSet<usize> {
    let mut reached: BTreeSet<usize> = answers(template).collect();
    // Steps stand in an order in which each uses only earlier ones, so one pass backwards is enough.
    for step in template.working.iter().rev() {
        if reached.contains(&step.slot) {
            reached.extend(step.program.reads());
        }
    }
    reached
}
