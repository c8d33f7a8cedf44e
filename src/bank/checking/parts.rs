//! Checking what a template asks.

use crate::formula::{Scope, Shape};
use crate::quantity::{Arithmetic, Dimension, Exact, Rounding, Unit, read_quantity};

use crate::bank::asking::{kinds, only_kind, theory_part};
use crate::bank::checking::values::Names;
use crate::bank::checking::verdicts::verdict_part;
use crate::bank::facts::Facts;
use crate::bank::reading::desk::{Desk, way};
use crate::bank::reading::noted::Checked;
use crate::bank::template::{NumberPlan, PartPlan, Tolerance, Value, Wanted};
use crate::bank::written::Named;
use crate::bank::written_parts::PartText;

/// Checks the parts; those that are wrong are noted and left out.
pub(in crate::bank) fn parts(
    desk: &mut Desk<'_>,
    entries: Named<PartText>,
    names: &Names,
    values: &[Value],
    facts: &Facts,
    stems: &[String],
) -> Vec<PartPlan> {
    if entries.0.is_empty() {
        desk.value(&way!["parts"], "expected at least one part, found none", "empty", None);
    }
    let mut parts = Vec::new();
    for (id, text) in entries.0 {
        desk.name(&way!["parts", &id], "a part", &id);
        let marks = desk.whole(&way!["parts", &id, "marks"], &text.marks, 1, 50);
        let worth = *marks.as_ref().unwrap_or(&1);
        let told = format!("{}\n{}", stems.join("\n"), text.ask);
        let wanted = match kinds(&text).as_slice() {
            [] => number_part(desk, &id, &text, names, worth).map(Wanted::Number),
            kinds => only_kind(desk, &id, &text, kinds).and_then(|kind| match &text.verdict {
                Some(verdicts) => verdict_part(desk, &id, verdicts, names).map(Wanted::Verdict),
                None => theory_part(desk, (&id, &text), kind, worth, values, facts, &told)
                    .map(Wanted::Theory),
            }),
        };
        if let (Ok(marks), Ok(wanted)) = (marks, wanted) {
            parts.push(PartPlan { id, ask: text.ask, marks, wanted });
        }
    }
    parts
}

fn number_part(
    desk: &mut Desk<'_>,
    id: &String,
    text: &PartText,
    names: &Names,
    marks: u32,
) -> Checked<NumberPlan> {
    let at = |key: &str| way!["parts", id, key];
    let answer = text.answer.as_ref().unwrap_or(id);
    let Some((slot, shape)) = names.find(answer) else {
        if let Some(noted) = names.unsound.of(answer) {
            return Err(noted);
        }
        if text.answer.is_some() {
            let known = names.names();
            return Err(desk.unknown(&at("answer"), "a step or a value", answer, known));
        }
        let what = format!("expected a step or value named `{id}`, found none");
        let help = "name the part as its step, or add `answer:` and the name of the step";
        let at = way!["parts", id];
        return Err(desk.key(&at, what, "what is the answer?", Some(help.to_owned())));
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
        return Err(desk.key(&way!["parts", id], what, "missing here", help));
    };
    let unit = desk.unit(&at("unit"), unit)?;
    if shape != Shape::Number(unit.dimension()) {
        let of = names.unit(slot);
        let what = format!(
            "expected a unit of {} for the answer `{answer}`, found {unit}, which is {}",
            of.dimension(),
            unit.dimension()
        );
        let help = Some(format!("write `{of}`"));
        return Err(desk.value(&at("unit"), what, "another kind of thing", help));
    }
    let rounding = desk.rounding(&at("round"), round)?;
    let tolerance = tolerance_of(desk, id, tolerance, rounding, unit)?;
    let method_marks = match &text.method_marks {
        None => marks - 1,
        Some(method) => desk.whole(&at("method_marks"), method, 0, marks)?,
    };
    let density = match &text.density {
        None => None,
        Some(density) => Some(density_of(desk, id, density, unit)?),
    };
    Ok(NumberPlan { slot, unit, rounding, tolerance, density, method_marks })
}

/// The density in g/mL by which masses and volumes are exchanged.
fn density_of(desk: &mut Desk<'_>, id: &String, text: &str, unit: Unit) -> Checked<Exact> {
    let at = way!["parts", id, "density"];
    if ![Dimension::MASS, Dimension::VOLUME].contains(&unit.dimension()) {
        let what = format!("expected a part that asks for a mass or a volume, found {unit}");
        return Err(desk.value(&at, what, "no use here", Some("remove the line".to_owned())));
    }
    let read = read_quantity(text).ok().and_then(|typed| {
        let density = typed.unit.filter(|unit| unit.dimension() == Dimension::DENSITY)?;
        density.to_coherent(typed.number).ok().filter(|number| number.is_positive())
    });
    read.ok_or_else(|| {
        let what = format!("expected a density above zero, found `{text}`");
        desk.value(&at, what, "not a density", Some("write `1 g/mL`".to_owned()))
    })
}

/// The tolerance, which covers at least half a step of the rounding: an answer that is rounded as
/// asked must never be wrong.
fn tolerance_of(
    desk: &mut Desk<'_>,
    id: &String,
    text: &str,
    rounding: Rounding,
    unit: Unit,
) -> Checked<Tolerance> {
    let at = way!["parts", id, "tolerance"];
    let percent = text.trim().strip_suffix('%').map(str::trim_end);
    let number = desk.number(&at, percent.unwrap_or_else(|| text.trim()))?;
    if number.is_negative() {
        let what = "expected a tolerance of zero or more";
        return Err(desk.value(&at, what, "below zero", None));
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
            Err(desk.value(&at, what, "a well-rounded answer could be marked wrong", help))
        }
        _ => Ok(Tolerance::Amount(number)),
    }
}

/// The smallest distance that a tolerance must cover: half a step of the rounding.
fn half_a_step(rounding: Rounding) -> Option<Exact> {
    match rounding {
        Rounding::Figures(_) | Rounding::AtLeast { .. } => None,
        rounding => rounding.step_at(Exact::ONE).div(Exact::whole(2)).ok(),
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
