//! Checking what a template asks.

use crate::formula::{Scope, Shape};
use crate::quantity::{Arithmetic, Dimension, Exact, Rounding, Unit, read_quantity};

use crate::bank::asking::{Kind, kinds, only_kind, theory_part};
use crate::bank::checking::conditions::verdict_part;
use crate::bank::checking::names::Names;
use crate::bank::facts::Facts;
use crate::bank::reading::checker::Checker;
use crate::bank::reading::noted::Checked;
use crate::bank::reading::words::{Text, ToleranceText, number};
use crate::bank::reading::written::Key;
use crate::bank::template::{NumberPlan, PartPlan, Tolerance, Value, Wanted};
use crate::bank::written::parts::PartText;
use crate::bank::written::template::TemplateText;

/// Checks the parts; those that are wrong are noted and left out.
pub(super) fn parts(
    checker: &mut Checker<'_>,
    written: &TemplateText,
    names: &Names,
    values: &[Value],
    facts: &Facts,
) -> Vec<PartPlan> {
    if written.parts.is_empty() {
        checker.value(&written.parts, "expected at least one part, found none", "empty", None);
    }
    let stems: Vec<&str> = written.stem.iter().map(|stem| stem.as_str()).collect();
    let mut parts = Vec::new();
    for (id, text) in written.parts.iter() {
        id.is_name(checker, "a part");
        let Ok(marks) = text.marks.whole(checker) else { continue };
        let told = format!("{}\n{}", stems.join("\n"), text.ask);
        let wanted = match kinds(text).as_slice() {
            [] => number_part(checker, (id, text), names, marks).map(Wanted::Number),
            kinds => only_kind(checker, (id, text), kinds).and_then(|kind| match kind {
                Kind::Verdict(verdicts) => {
                    verdict_part(checker, verdicts, names).map(Wanted::Verdict)
                }
                Kind::Theory(theory) => {
                    theory_part(checker, text, theory, marks, (values, facts), &told)
                        .map(Wanted::Theory)
                }
            }),
        };
        parts.extend(wanted.map(|wanted| PartPlan {
            id: id.to_string(),
            ask: text.ask.to_string(),
            marks,
            wanted,
        }));
    }
    parts
}

fn number_part(
    checker: &mut Checker<'_>,
    (id, text): (&Key, &PartText),
    names: &Names,
    marks: u32,
) -> Checked<NumberPlan> {
    let answer: &str = text.answer.as_ref().map_or(id, |answer| answer);
    let Some((slot, shape)) = names.find(answer) else {
        if let Some(noted) = names.unsound.of(answer) {
            return Err(noted);
        }
        if let Some(answer) = &text.answer {
            return Err(checker.unknown(answer, "a step or a value", answer, names.names()));
        }
        let what = format!("expected a step or value named `{id}`, found none");
        let help = "name the part as its step, or add `answer:` and the name of the step";
        return Err(checker.key(id, what, "what is the answer?", Some(help.to_owned())));
    };
    let (Some(unit), Some(round), Some(tolerance)) = (&text.unit, &text.round, &text.tolerance)
    else {
        let keys = [
            ("unit", text.unit.is_none()),
            ("round", text.round.is_none()),
            ("tolerance", text.tolerance.is_none()),
        ];
        let missing: Vec<&str> =
            keys.iter().filter(|(_, missing)| *missing).map(|(key, _)| *key).collect();
        let what = format!("expected `{}` in a part, found nothing", missing.join("` and `"));
        let help = Some("a number needs `unit`, `round` and `tolerance`".to_owned());
        return Err(checker.key(id, what, "missing here", help));
    };
    let asked = unit.unit(checker)?;
    if shape != Shape::Number(asked.dimension()) {
        let of = names.unit(slot);
        let what = format!(
            "expected a unit of {} for the answer `{answer}`, found {asked}, which is {}",
            of.dimension(),
            asked.dimension()
        );
        let help = Some(format!("write `{of}`"));
        return Err(checker.value(unit, what, "another kind of thing", help));
    }
    let rounding = round.rounding(checker)?;
    let tolerance = tolerance_of(checker, tolerance, rounding, asked)?;
    let method_marks = match &text.method_marks {
        None => marks - 1,
        Some(method) => method.whole_in(checker, 0, marks)?,
    };
    let density = text.density.as_ref().map(|density| density_of(checker, density, asked));
    let density = density.transpose()?;
    let wide = text.wide.as_ref().map(ToString::to_string);
    Ok(NumberPlan { slot, unit: asked, rounding, tolerance, density, wide, method_marks })
}

/// The density in g/mL by which masses and volumes are exchanged.
fn density_of(checker: &mut Checker<'_>, text: &Text, unit: Unit) -> Checked<Exact> {
    if ![Dimension::MASS, Dimension::VOLUME].contains(&unit.dimension()) {
        let what = format!("expected a part that asks for a mass or a volume, found {unit}");
        return Err(checker.value(text, what, "no use here", Some("remove the line".to_owned())));
    }
    let read = read_quantity(text).ok().and_then(|typed| {
        let density = typed.unit.filter(|unit| unit.dimension() == Dimension::DENSITY)?;
        density.to_coherent(typed.number).ok().filter(|number| number.is_positive())
    });
    read.ok_or_else(|| {
        let what = format!("expected a density above zero, found `{text}`");
        checker.value(text, what, "not a density", Some("write `1 g/mL`".to_owned()))
    })
}

/// The tolerance, which covers at least half a step of the rounding: an answer that is rounded as
/// asked must never be wrong.
fn tolerance_of(
    checker: &mut Checker<'_>,
    text: &ToleranceText,
    rounding: Rounding,
    unit: Unit,
) -> Checked<Tolerance> {
    let percent = text.trim().strip_suffix('%').map(str::trim_end);
    let number = number(checker, text, percent.unwrap_or_else(|| text.trim()))?;
    if number.is_negative() {
        let what = "expected a tolerance of zero or more";
        return Err(checker.value(text, what, "below zero", None));
    }
    if percent.is_some() {
        return Ok(Tolerance::Percent(number));
    }
    match half_a_step(rounding) {
        Some(half) if number < half && !(is_count(unit) && number.is_zero()) => {
            let what = format!(
                "expected a tolerance of at least {} (half a step of the rounding), found {number}",
                half.trimmed()
            );
            let help = Some(format!("write `{}`", half.trimmed()));
            Err(checker.value(text, what, "a well-rounded answer could be marked wrong", help))
        }
        _ => Ok(Tolerance::Amount(number)),
    }
}

/// The smallest distance that a tolerance must cover: half a step of the rounding.
fn half_a_step(rounding: Rounding) -> Option<Exact> {
    match rounding {
        Rounding::Figures(_) | Rounding::AtLeast { .. } => None,
        rounding => rounding.step_at(Exact::ONE).half().ok(),
    }
}

/// Whether a unit counts things.
fn is_count(unit: Unit) -> bool {
    unit.dimension() == Dimension::COUNT
}

impl Tolerance {
    /// The tolerance about a number.
    pub fn about(self, number: Exact) -> Result<Exact, Arithmetic> {
        match self {
            Self::Amount(amount) => Ok(amount),
            Self::Percent(percent) => number.abs().mul(percent)?.times_ten_to(-2),
        }
    }
}
