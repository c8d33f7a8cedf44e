//! Slips of the bench, each with the number it leads to.

use crate::batch::sheet::Batch;
use crate::batch::show;
use crate::quantity::{Arithmetic, Exact};

use super::rows::Weighed;

/// A slip that may have been made.
#[derive(Clone, Debug)]
pub(super) struct Suspect {
    pub(super) say: String,
    pub(super) leads_to: Exact,
}

/// How near a reading must be to what a slip leads to, as a fraction.
const NEAR: (i128, u32) = (5, 3);

/// How much nearer it must be to that than to what is expected.
const NEARER: i64 = 3;

/// The slip that a reading is nearest to; `None` when it is not near to one, or nearly as near to what is
/// expected.
pub(super) fn likeliest(
    suspects: &[Suspect],
    found: Exact,
    expected: Exact,
) -> Result<Option<&Suspect>, Arithmetic> {
    let from_expected = found.sub(expected)?.abs();
    let mut nearest: Option<(Exact, &Suspect)> = None;
    for suspect in suspects {
        let apart = found.sub(suspect.leads_to)?.abs();
        let near = suspect.leads_to.abs().mul(Exact::new(NEAR.0, NEAR.1).unwrap_or_default())?;
        let is_near = apart <= near && apart.mul(Exact::whole(NEARER))? < from_expected;
        if is_near && nearest.is_none_or(|(known, _)| apart < known) {
            nearest = Some((apart, suspect));
        }
    }
    Ok(nearest.map(|(_, suspect)| suspect))
}

/// Slips with the blanks.
pub(super) fn of_blanks(batch: &Batch, blanks: &Weighed) -> Result<Vec<Suspect>, Arithmetic> {
    let expected = batch.plan.mould.of_blanks()?;
    let mut suspects = of_count(expected, blanks, "blank")?;
    suspects.push(suspect(
        "The mass of all blanks was not divided by their number.",
        expected.mul(blanks.units)?,
    ));
    if let Some(dish) = batch.plan.mould.dish() {
        suspects.push(suspect(
            "The dish was weighed with the blanks and not subtracted.",
            expected.add(dish.div(blanks.units)?)?,
        ));
    }
    suspects.extend(of_point(expected)?);
    Ok(suspects)
}

/// Slips with the finished units.
pub(super) fn of_units(
    batch: &Batch,
    units: &Weighed,
    change: Exact,
) -> Result<Vec<Suspect>, Arithmetic> {
    let figures = &batch.figures;
    let expected = figures.unit.add(change)?;
    let capacity = figures.capacity.add(change)?;
    let mut suspects = of_count(expected, units, "unit")?;
    if !figures.ingredients.is_empty() {
        suspects.push(suspect(
            "The units are as heavy as blanks: the drug may not be in them.",
            capacity,
        ));
        // With base for full cavities the mass is too much for them, and each holds less of the drug.
        let each = show::sum(figures.ingredients.iter().map(|it| it.each))?;
        let displaced = show::sum(figures.ingredients.iter().map(|it| it.displaced))?;
        let full = capacity.div(capacity.add(displaced.div(figures.counted)?)?)?;
        suspects.push(suspect(
            "The base displaced was not subtracted, so that each unit holds less drug.",
            capacity.add(each)?.mul(full)?,
        ));
    }
    suspects.extend(of_point(expected)?);
    Ok(suspects)
}

/// Slips with the mass of an ingredient.
pub(super) fn of_ingredient(batch: &Batch, n: usize) -> Result<Vec<Suspect>, Arithmetic> {
    let (plan, figures) = (&batch.plan, &batch.figures);
    let (Some(ingredient), Some(it)) = (plan.ingredients.get(n), figures.ingredients.get(n)) else {
        return Ok(Vec::new());
    };
    let mut suspects = vec![suspect("The mass for one unit was weighed.", it.each)];
    suspects.extend(without_excess(batch, it.batch)?);
    if ingredient.correction.is_given() {
        let factor = ingredient.correction.factor()?;
        let plain = it.batch.div(factor)?;
        suspects.push(suspect("The correction for assay, water or salt was left out.", plain));
        suspects.push(suspect("The correction was inverted.", plain.div(factor)?));
    }
    suspects.extend(of_point(it.batch)?);
    Ok(suspects)
}

/// Slips with the mass of base, for a capacity that makes the batch heavier by `change`.
pub(super) fn of_base(batch: &Batch, change: Exact) -> Result<Vec<Suspect>, Arithmetic> {
    let (plan, figures) = (&batch.plan, &batch.figures);
    let filled = figures.counted.mul(figures.capacity)?.add(change)?;
    let expected = figures.base.add(change)?;
    let displaced = show::sum(figures.ingredients.iter().map(|it| it.displaced))?;
    let drugs = show::sum(figures.ingredients.iter().map(|it| it.batch))?;
    let mut suspects = Vec::new();
    if !figures.ingredients.is_empty() {
        suspects.push(suspect("The base displaced was not subtracted.", filled));
        suspects.push(suspect(
            "The whole mass of drug was subtracted in place of the base it displaces.",
            filled.sub(drugs)?,
        ));
        suspects.push(suspect(
            "The base displaced by the drug of one unit was subtracted.",
            filled.sub(displaced.div(figures.counted)?)?,
        ));
        let mut inverted = filled;
        for it in figures.ingredients.iter().filter(|it| it.displaced.is_positive()) {
            inverted = inverted.sub(it.batch.mul(it.batch)?.div(it.displaced)?)?;
        }
        suspects.push(suspect(
            "The displacement value was used inverted: multiplied by where it divides.",
            inverted,
        ));
    }
    suspects.push(suspect("The base for one unit was weighed.", expected.div(figures.counted)?));
    suspects.extend(without_excess(batch, expected)?);
    if let Some(nominal) = plan.mould.nominal {
        suspects.push(suspect(
            "The size marked on the mould was used for the capacity.",
            figures.counted.mul(nominal)?.sub(displaced)?,
        ));
    }
    if figures.capacity != plan.mould.of_blanks()? {
        suspects.push(suspect(
            "The capacity was not corrected for the base.",
            figures.counted.mul(plan.mould.of_blanks()?)?.sub(displaced)?,
        ));
    }
    suspects.extend(of_point(expected)?);
    Ok(suspects)
}

fn suspect(say: &str, leads_to: Exact) -> Suspect {
    Suspect { say: say.to_owned(), leads_to }
}

fn without_excess(batch: &Batch, mass: Exact) -> Result<Option<Suspect>, Arithmetic> {
    let (ordered, counted) = (batch.plan.counting.ordered, batch.figures.counted);
    if ordered == counted {
        return Ok(None);
    }
    Ok(Some(suspect("The excess was forgotten.", mass.mul(ordered)?.div(counted)?)))
}

/// One unit more or fewer on the balance than was counted.
fn of_count(expected: Exact, weighed: &Weighed, noun: &str) -> Result<Vec<Suspect>, Arithmetic> {
    let units = weighed.units;
    let all = expected.mul(units)?;
    let mut suspects = vec![suspect(
        &format!("One {noun} more was weighed than counted."),
        all.add(expected)?.div(units)?,
    )];
    if units > Exact::ONE {
        suspects.push(suspect(
            &format!("One {noun} fewer was weighed than counted."),
            all.sub(expected)?.div(units)?,
        ));
    }
    Ok(suspects)
}

/// A decimal point that moved, and a unit that was mistaken.
fn of_point(expected: Exact) -> Result<Vec<Suspect>, Arithmetic> {
    let moved = "The decimal point has moved by one place.";
    let unit = "Grams and milligrams were mistaken for each other.";
    [(moved, 1), (moved, -1), (unit, 3), (unit, -3)]
        .into_iter()
        .map(|(say, power)| Ok(suspect(say, expected.times_ten_to(power)?)))
        .collect()
}
