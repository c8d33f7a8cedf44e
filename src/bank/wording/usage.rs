//! Checking that everything in a template has an effect.

use std::collections::BTreeSet;

use crate::bank::reading::checker::Checker;
use crate::bank::template::verdict::VerdictPlan;
use crate::bank::template::{Convention, PickOption, Template, Value, ValueRule, Wanted};
use crate::bank::wording::naming::Naming;
use crate::bank::written::template::TemplateText;
use crate::formula::Program;

/// Notes values that nothing uses, steps that lead to no answer, and slips that change none.
pub(in crate::bank) fn check(
    checker: &mut Checker<'_>,
    written: &TemplateText,
    template: &Template,
    naming: &Naming,
    given: usize,
) {
    let named = &naming.anywhere;
    let mut used: BTreeSet<usize> = BTreeSet::new();
    used.extend(template.workings().flatten().flat_map(|step| step.program.reads()));
    let conditions = template.plausible.iter().flat_map(|one| one.when.iter().chain([&one.that]));
    used.extend(conditions.flat_map(Program::reads));
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
            ValueRule::Derived { program, .. } => used.extend(program.reads()),
            ValueRule::Scatter { around, .. } => {
                used.insert(*around);
            }
            _ => {}
        }
    }
    if let Some(drawing) = &template.drawing {
        used.extend([drawing.mould, drawing.base]);
        used.extend(drawing.displaced.iter().chain(&drawing.drugs));
    }
    let is_used = |slot: usize| {
        let name = template.names.get(slot).map(|name| &name.name);
        used.contains(&slot) || name.is_some_and(|name| named.contains(name))
    };
    for value in &template.values {
        if let ValueRule::Pick { slots, .. } = &value.rule {
            check_columns(checker, (written, template), &value.name, slots, |slot| {
                let source = template.names.get(slot).map(|name| format!("{}_source", name.name));
                is_used(slot) || source.is_some_and(|source| named.contains(&source))
            });
        }
        if let ValueRule::Pick { options, fields, .. } = &value.rule {
            check_cells(checker, written, &value.name, options, fields, named);
        }
        let in_use = match &value.rule {
            ValueRule::Grid { slot, .. }
            | ValueRule::Choice { slot, .. }
            | ValueRule::Fixed { slot, .. }
            | ValueRule::Derived { slot, .. }
            | ValueRule::Scatter { slot, .. } => is_used(*slot),
            ValueRule::Pick { slots, fields, .. } => {
                !slots.is_empty()
                    || names_field(named, &value.name, fields)
                    || is_asked_of(template, value)
            }
            ValueRule::Words { fields, .. } => names_field(named, &value.name, fields),
        };
        if !in_use {
            checker.key(
                &written.value(&value.name),
                format!("the value `{}` is never used", value.name),
                "nothing names it",
                Some("use it in a text or a formula, or remove it".to_owned()),
            );
        }
    }
    let reached = reached(template);
    check_told(checker, (written, template), naming, &reached, given);
    check_convention(checker, written, template);
    check_conditions(checker, written, template);
    for step in &template.working {
        let name = &template.names[step.slot].name;
        if !reached.contains(&step.slot) && !used.contains(&step.slot) {
            let what = format!("the step `{name}` leads to no answer");
            let help = Some("use it in a later step, ask for it, or remove it".to_owned());
            checker.key(&written.step(name), what, "nothing uses it", help);
        }
    }
    for slip in &template.slips {
        for (slot, ..) in &slip.instead {
            if !reached.contains(slot) {
                let name = &template.names[*slot].name;
                let kind = if *slot < given { "value" } else { "step" };
                checker.key(
                    &written.wrong_rule(&slip.id, name),
                    format!("the slip changes no answer: the {kind} `{name}` leads to none"),
                    "no effect",
                    Some("replace a value or step that an answer follows from".to_owned()),
                );
            }
        }
    }
}

/// Notes columns of a pick that nothing uses: they would only make more draws that look the same.
fn check_columns(
    checker: &mut Checker<'_>,
    (written, template): (&TemplateText, &Template),
    pick: &str,
    slots: &[usize],
    is_used: impl Fn(usize) -> bool,
) {
    for slot in slots.iter().filter(|slot| !is_used(**slot)) {
        let Some(name) = template.names.get(*slot) else { continue };
        checker.value(
            &written.columns(pick),
            format!("`{}` is never used", name.name),
            "a column that nothing names",
            Some("use it in a text or a formula, or take it out of `with`".to_owned()),
        );
    }
}

/// Notes texts of a pick that are named but do not stand in each of its rows.
fn check_cells(
    checker: &mut Checker<'_>,
    written: &TemplateText,
    pick: &str,
    options: &[PickOption],
    fields: &[String],
    named: &BTreeSet<String>,
) {
    for (n, field) in fields.iter().enumerate() {
        if !named.contains(&format!("{pick}.{field}")) {
            continue;
        }
        let empty = |option: &&PickOption| option.texts.get(n).is_none_or(String::is_empty);
        if let Some(option) = options.iter().find(empty) {
            checker.key(
                &written.value(pick),
                format!("the texts name `{pick}.{field}`, which the row `{}` lacks", option.row),
                "picks that row, too",
                Some(
                    "name the column under `with`, so that rows without it are left out".to_owned(),
                ),
            );
        }
    }
}

/// Notes wordings that do not tell a value that the working needs. What is always the same need not
/// be told: it may be what a candidate has to know.
fn check_told(
    checker: &mut Checker<'_>,
    (written, template): (&TemplateText, &Template),
    naming: &Naming,
    reached: &BTreeSet<usize>,
    given: usize,
) {
    let fixed: BTreeSet<usize> = template
        .values
        .iter()
        .filter_map(|value| match value.rule {
            ValueRule::Fixed { slot, .. } => Some(slot),
            _ => None,
        })
        .collect();
    let steps = template.workings().flatten().filter(|step| reached.contains(&step.slot));
    let read = steps.flat_map(|step| step.program.reads()).copied();
    let needed: BTreeSet<usize> = read.chain(verdict_reads(template)).collect();
    let needed: Vec<&String> = needed
        .difference(&fixed)
        .filter(|slot| **slot < given)
        .filter_map(|slot| template.names.get(*slot).map(|name| &name.name))
        .filter(|name| !naming.asks.contains(*name))
        .collect();
    for (stem, told) in written.stem.iter().zip(&naming.stems) {
        let untold: Vec<&str> =
            needed.iter().filter(|name| !told.contains(**name)).map(|name| name.as_str()).collect();
        if !untold.is_empty() {
            let names = untold.join("` and `");
            let braced: Vec<String> =
                untold.iter().map(|name| format!("`{{{{ {name} }}}}`")).collect();
            checker.value(
                stem,
                format!("this wording does not tell `{names}`, which the working needs"),
                "a candidate cannot know it",
                Some(format!("write {} in it", braced.join(" and "))),
            );
        }
    }
}

/// Notes wordings that do not name the convention: a value of one read as the other is a wrong batch.
fn check_convention(checker: &mut Checker<'_>, written: &TemplateText, template: &Template) {
    if template.convention == Convention::None {
        return;
    }
    let name = template.convention.name();
    let names_it = |text: &str| {
        let words: Vec<&str> = text.split_whitespace().collect();
        let is_f = |word: &&str| word.trim_matches(|c: char| !c.is_alphanumeric()) == "f";
        words.join(" ").to_lowercase().contains(name)
            // The factor goes by this letter in print.
            || template.convention == Convention::DisplacementFactor && words.iter().any(is_f)
    };
    if template.parts.iter().any(|part| names_it(&part.ask)) {
        return;
    }
    for stem in written.stem.iter() {
        if !names_it(stem) {
            checker.value(
                stem,
                format!("this wording does not name the convention, {name}"),
                "which way round?",
                Some(format!("write \"{name}\" in it, or change `convention`")),
            );
        }
    }
}

/// Notes conditions that come out the same for every draw.
fn check_conditions(checker: &mut Checker<'_>, written: &TemplateText, template: &Template) {
    let mut varying: BTreeSet<usize> = BTreeSet::new();
    for value in &template.values {
        let many = value.rule.possibilities() != Some(1);
        match &value.rule {
            ValueRule::Derived { slot, program, .. } => {
                let varies = program.reads().iter().any(|slot| varying.contains(slot));
                varying.extend(varies.then_some(*slot));
            }
            ValueRule::Scatter { slot, around, .. } => {
                varying.extend((many || varying.contains(around)).then_some(*slot));
            }
            ValueRule::Grid { slot, .. }
            | ValueRule::Choice { slot, .. }
            | ValueRule::Fixed { slot, .. } => {
                varying.extend(many.then_some(*slot));
            }
            ValueRule::Pick { slots, .. } => varying.extend(slots.iter().filter(|_| many)),
            ValueRule::Words { .. } => {}
        }
    }
    for step in &template.working {
        let varies = step.program.reads().iter().any(|slot| varying.contains(slot));
        varying.extend(varies.then_some(step.slot));
    }
    let written = written.require.iter().flat_map(|all| all.iter());
    for (one, text) in template.require.iter().zip(written) {
        if !one.program.reads().iter().any(|slot| varying.contains(slot)) {
            checker.value(
                &text.that,
                "the condition is the same for every draw",
                "names nothing drawn",
                Some("name a value that is drawn, or remove it".to_owned()),
            );
        }
    }
}

fn names_field(named: &BTreeSet<String>, value: &str, fields: &[String]) -> bool {
    fields.iter().any(|field| match field.as_str() {
        "" => named.contains(value),
        field => named.contains(&format!("{value}.{field}")),
    })
}

/// The slots from which verdicts follow.
fn verdict_reads(template: &Template) -> impl Iterator<Item = usize> {
    template.parts.iter().filter_map(|part| part.wanted.verdict()).flat_map(VerdictPlan::reads)
}

fn answers(template: &Template) -> impl Iterator<Item = usize> {
    template.parts.iter().flat_map(|part| part.wanted.reads())
}

/// Whether a part of theory depends on the value.
fn is_asked_of(template: &Template, value: &Value) -> bool {
    let index = template.values.iter().position(|known| known.name == value.name);
    template.parts.iter().any(|part| match &part.wanted {
        Wanted::Theory(plan) => index.is_some_and(|index| plan.picks.contains(&index)),
        Wanted::Number(_) | Wanted::Verdict(_) => false,
    })
}

/// Every slot from which an answer follows.
fn reached(template: &Template) -> BTreeSet<usize> {
    let mut reached: BTreeSet<usize> = answers(template).collect();
    // Steps stand in an order in which each uses only earlier ones, so one pass backwards is enough.
    for working in template.workings() {
        for step in working.iter().rev() {
            if reached.contains(&step.slot) {
                reached.extend(step.program.reads());
            }
        }
    }
    reached
}
