//! Checking what a template asks.

use crate::formula::{Scope, Shape};
use crate::quantity::{Arithmetic, Dimension, Exact, Rounding, Unit, read_quantity};

use crate::bank::asking::{Kind, kinds, only_kind, theory_part};
use crate::bank::checking::conditions::verdict_part;
use crate::bank::checking::names::Names;
use crate::bank::facts::Facts;
use crate::bank::reading::checker::Checker;
use crate::bank::reading::noted::Checked;
use crate::bank::reading::words::{Text, ToleranceText};
use crate::bank::reading::written::Key;
use crate::bank::template::{NumberPlan, PartPlan, Tolerance, Value, Wanted};
use crate::bank::written::parts::PartText;
use crate::bank::written::template::TemplateText;

/// Checks the parts; those that are wrong are noted and left out, with the proof of it.
pub(super) fn parts(
    checker: &mut Checker<'_>,
    written: &TemplateText,
    names: &Names,
    values: &[Value],
    facts: &Facts,
) -> (Vec<PartPlan>, Checked<()>) {
    if written.parts.is_empty() {
        checker.value(&written.parts, "expected at least one part, found none", "empty", None);
    }
    let stems: Vec<&str> = written.stem.iter().map(|stem| stem.as_str()).collect();
    let (mut parts, mut are_whole) = (Vec::new(), Ok(()));
    for (id, text) in written.parts.iter() {
        id.is_name(checker, "a part");
        // What else may be wrong with a part does not depend on its marks.
        let marks = text.marks.meaning();
        let told = format!("{}\n{}", stems.join("\n"), text.ask);
        let wanted = match kinds(text).as_slice() {
            [] => number_part(checker, (id, text), names, marks).map(Wanted::Number),
            kinds => only_kind(checker, (id, text), kinds).and_then(|kind| match kind {
                Kind::Verdict(verdicts) => {
                    verdict_part(checker, verdicts, names).map(Wanted::Verdict)
                }
                Kind::Theory(theory) => {
                    theory_part(checker, text, theory, (values, &names.unsound, facts), &told)
                        .map(Wanted::Theory)
                }
            }),
        };
        match wanted.and_then(|wanted| Ok((wanted, marks?))) {
            Ok((wanted, marks)) => {
                let (id, ask) = (id.to_string(), text.ask.to_string());
                parts.push(PartPlan { id, ask, marks, wanted });
            }
            Err(noted) => are_whole = Err(noted),
        }
    }
    (parts, are_whole)
}

fn number_part(
    checker: &mut Checker<'_>,
    (id, text): (&Key, &PartText),
    names: &Names,
    marks: Checked<u32>,
) -> Checked<NumberPlan> {
    let answer = answer_of(checker, (id, text), names);
    let (Some(unit), Some(round), Some(tolerance)) = (&text.unit, &text.round, &text.tolerance)
    else {
        let keys = [
            ("unit", text.unit.is_none()),
            ("round", text.round.is_none()),
            ("tolerance", text.tolerance.is_none()),
        ];
        let missing: Vec<&str> =
            keys.iter().filter(|(_, missing)| *missing).map(|(key, _)| *key).collect();
        if missing.len() == keys.len() {
            // It may be meant to ask for no number at all.
            answer?;
        }
        let what = format!("expected `{}` in a part, found nothing", missing.join("` and `"));
        let help = Some("a number needs `unit`, `round` and `tolerance`".to_owned());
        return Err(checker.key(id, what, "missing here", help));
    };
    let asked = unit.meaning();
    let fits = answer.and_then(|(slot, shape)| {
        let asked = asked?;
        if shape == Shape::Number(asked.dimension()) {
            return Ok(());
        }
        let of = names.unit(slot);
        let what = format!(
            "expected a unit of {} for the answer `{}`, found {asked}, which is {}",
            of.dimension(),
            text.answer.as_ref().map_or(id.as_str(), |answer| answer),
            asked.dimension()
        );
        let help = Some(format!("write `{of}`"));
        Err(checker.value(unit, what, "another kind of thing", help))
    });
    let rounding = round.meaning();
    let tolerance = tolerance_of(checker, tolerance, rounding, asked);
    let method_marks = match &text.method_marks {
        None => marks.map(|marks| marks - 1),
        Some(method) => marks.and_then(|marks| method.up_to(checker, marks)),
    };
    let density = text.density.as_ref().map(|density| density_of(checker, density, asked));
    let wide = text.wide.as_ref().map(ToString::to_string);
    fits?;
    Ok(NumberPlan {
        slot: answer?.0,
        unit: asked?,
        rounding: rounding?,
        tolerance: tolerance?,
        density: density.transpose()?,
        wide,
        method_marks: method_marks?,
    })
}

/// The slot and shape of the step or value that answers a part.
fn answer_of(
    checker: &mut Checker<'_>,
    (id, text): (&Key, &PartText),
    names: &Names,
) -> Checked<(usize, Shape)> {
    let answer: &str = text.answer.as_ref().map_or(id, |answer| answer);
    if let Some(found) = names.find(answer) {
        return Ok(found);
    }
    if let Some(answer) = &text.answer {
        return Err(names.unknown(checker, answer, "a step or a value"));
    }
    if let Some(noted) = names.unsound.of(id) {
        return Err(noted);
    }
    let what = format!("expected a step or value named `{id}`, found none");
    let help = "name the part as its step, or add `answer:` and the name of the step";
    Err(checker.key(id, what, "what is the answer?", Some(help.to_owned())))
}

/// The density in g/mL by which masses and volumes are exchanged.
fn density_of(checker: &mut Checker<'_>, text: &Text, unit: Checked<Unit>) -> Checked<Exact> {
    let of = [Dimension::MASS, Dimension::VOLUME];
    if let Some(unit) = unit.ok().filter(|unit| !of.contains(&unit.dimension())) {
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
    rounding: Checked<Rounding>,
    unit: Checked<Unit>,
) -> Checked<Tolerance> {
    let (number, is_percent) = text.meaning()?;
    let (rounding, unit) = (rounding?, unit?);
    if is_percent {
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
