//! What is implausible about a batch, or should be thought of before anything is weighed.

use crate::bank::Facts;
use crate::quantity::{Arithmetic, Exact};

use super::counting::Losses;
use super::figures::Figures;
use super::plan::Plan;
use super::sheet::Remark;
use super::show;
use super::unsuited::unsuited;

/// The remarks on a batch, the gravest first.
pub(super) fn remarks(
    plan: &Plan,
    figures: &Figures,
    facts: &Facts,
) -> Result<Vec<Remark>, Arithmetic> {
    let base = plan.base.name.as_str();
    let mut remarks = Vec::new();
    remarks.extend(mostly_drug(figures)?);
    for (ingredient, found) in plan.ingredients.iter().zip(&figures.ingredients) {
        let name = ingredient.name.as_str();
        remarks.extend(unsuited(facts, name, base));
        remarks.extend(ingredient.displacing.remarks(
            (name, found.share),
            (figures.capacity, base),
            plan.is_fatty,
        )?);
        remarks.extend(ingredient.correction.remarks(name)?);
    }
    remarks.extend(plan.mould.remarks(base)?);
    for found in &figures.ingredients {
        remarks.extend(too_little_to_weigh(plan, &found.name, found.batch)?);
    }
    remarks.extend(allowance(plan, figures)?);
    remarks.extend(losses(plan, figures)?);
    remarks.extend(plan.is_without_excess());
    remarks.extend(castings(plan, figures)?);
    Ok(remarks)
}

/// A unit that is mostly drug.
fn mostly_drug(figures: &Figures) -> Result<Option<Remark>, Arithmetic> {
    let weighed = show::sum(figures.ingredients.iter().map(|it| it.batch))?;
    let share = weighed.div(figures.total)?;
    let half = Exact::new(5, 1).unwrap_or_default();
    Ok((share > half).then(|| {
        Remark::new(
            &format!("{} of a unit is not base: it is mostly drug.", show::percent(share)),
            "Check the dose and its unit, and whether the mould is large enough; such a mass can hardly \
             be poured.",
        )
    }))
}

/// A mass that the balance cannot weigh within the permitted error.
fn too_little_to_weigh(plan: &Plan, name: &str, mass: Exact) -> Result<Option<Remark>, Arithmetic> {
    let least = plan.balance.least()?;
    if mass >= least {
        return Ok(None);
    }
    let multiple = least.div(mass)?.ceil();
    let weighed = mass.mul(multiple)?;
    let error = plan.balance.drug.div(mass)?;
    Ok(Some(Remark::new(
        &format!(
            "{} of {name} is less than the balance can weigh: with steps of {} the error may be {}, and the \
             least within {} is {}.",
            show::small(mass),
            show::small(plan.balance.drug),
            show::percent(error),
            show::percent(plan.balance.error),
            show::small(least)
        ),
        &format!(
            "Weigh {} of it ({} times as much), dilute it evenly with base or another ingredient of the \
             formula, and take 1/{} of the mixture; or use a finer balance.",
            show::small(weighed),
            show::number(multiple),
            show::number(multiple)
        ),
    )))
}

/// Base added against losses takes the drug down with it.
fn allowance(plan: &Plan, figures: &Figures) -> Result<Option<Remark>, Arithmetic> {
    let Some(each) = plan.base.allowance else { return Ok(None) };
    let thinned = each.div(figures.capacity.add(each)?)?;
    Ok(Some(Remark::new(
        &format!(
            "The base allowed for losses is not matched by drug: each unit holds {} less of it.",
            show::percent(thinned)
        ),
        "Allow for losses by extra units or a percentage if the dose has to be exact.",
    )))
}

fn losses(plan: &Plan, figures: &Figures) -> Result<Option<Remark>, Arithmetic> {
    let share = figures.counted.div(plan.counting.ordered)?.sub(Exact::ONE)?;
    let half = Exact::new(5, 1).unwrap_or_default();
    let several = match plan.counting.losses {
        Losses::None => false,
        // Two extra of three are usual; half as many again of twenty are not.
        Losses::Extra(extra) => extra > Exact::whole(4),
        Losses::Excess(_) | Losses::Loss(_) => true,
    };
    let is_much = share > half && several;
    Ok(is_much.then(|| {
        Remark::new(
            &format!("{} more than ordered is weighed.", show::percent(share)),
            "Check the excess; one or two extra units are usual for a small batch.",
        )
    }))
}

/// More units than the mould has cavities.
fn castings(plan: &Plan, figures: &Figures) -> Result<Option<Remark>, Arithmetic> {
    let Some(cavities) = plan.mould.cavities else { return Ok(None) };
    let castings = figures.counted.div(cavities)?.settled().ceil();
    Ok((castings > Exact::ONE).then(|| {
        Remark::new(
            &format!(
                "{} units in a mould of {} cavities take {} castings.",
                show::number(figures.counted),
                show::number(cavities),
                show::number(castings)
            ),
            "Keep the mass warm and stirred between them, so that the drug does not sink.",
        )
    }))
}
