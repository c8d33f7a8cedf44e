//! The working of a batch, step by step.

use crate::quantity::{Arithmetic, Exact};

use super::figures::Figures;
use super::ingredient::{Amount, Ingredient};
use super::plan::Plan;
use super::sheet::{IngredientRow, WorkingSection, WorkingStep};
use super::show;

/// What one unit and the batch are made of, and all of it together.
pub(super) fn ingredients(
    plan: &Plan,
    figures: &Figures,
) -> Result<(Vec<IngredientRow>, IngredientRow), Arithmetic> {
    let balance = &plan.balance;
    let mut rows = Vec::new();
    for it in &figures.ingredients {
        rows.push(IngredientRow {
            name: it.name.clone(),
            each: show::small(it.each),
            batch: show::weighed(it.batch, balance.drug),
        });
    }
    if plan.base.parts.is_empty() {
        rows.push(IngredientRow {
            name: plan.base.name.clone(),
            each: show::grams(figures.base_each),
            batch: show::weighed(figures.base, balance.base),
        });
    }
    let made = plan.base.made.unwrap_or(figures.base);
    for (name, share) in &plan.base.parts {
        rows.push(IngredientRow {
            name: name.clone(),
            each: show::grams(figures.base_each.mul(*share)?),
            batch: show::weighed(made.mul(*share)?, balance.base),
        });
    }
    let each = show::sum(figures.ingredients.iter().map(|it| it.each))?.add(figures.base_each)?;
    let total = IngredientRow {
        name: "together".to_owned(),
        each: show::grams(each),
        batch: show::weighed(figures.total, balance.drug.min(balance.base)),
    };
    Ok((rows, total))
}

/// The sections of the working.
pub(super) fn sections(plan: &Plan, figures: &Figures) -> Result<Vec<WorkingSection>, Arithmetic> {
    let base = plan.base.name.as_str();
    let mut sections = vec![
        section("Number of units", vec![plan.counting.step()?]),
        section("Calibration of the mould", plan.mould.steps(base)?),
    ];
    let with_strength = plan.ingredients.iter().any(|it| matches!(it.amount, Amount::Strength(_)));
    if with_strength {
        sections.push(section("Mass of one unit", unit_steps(plan, figures)?));
    }
    let mut amounts = Vec::new();
    for (ingredient, found) in plan.ingredients.iter().zip(&figures.ingredients) {
        amounts.extend(amount_steps(ingredient, figures, (found.ordered_each, found.batch))?);
    }
    sections.push(section("Drugs and other ingredients", amounts));
    let mut displaced = Vec::new();
    for (ingredient, found) in plan.ingredients.iter().zip(&figures.ingredients) {
        let name = &ingredient.name;
        displaced.extend(ingredient.displacing.steps(name, found.batch, figures.capacity, base)?);
    }
    sections.push(section("Base displaced", displaced));
    sections.push(section("Base", base_steps(plan, figures)?));
    sections.push(section("Check of the sum", sum_steps(plan, figures)?));
    sections.retain(|section| !section.steps.is_empty());
    Ok(sections)
}

fn section(title: &str, steps: Vec<WorkingStep>) -> WorkingSection {
    WorkingSection { title: title.to_owned(), steps }
}

fn in_grams(say: &str, sum: &str, result: Exact) -> WorkingStep {
    WorkingStep::new(say, sum, show::sign(result), &show::grams(result))
}

/// The mass of a unit of which fractions are drugs.
fn unit_steps(plan: &Plan, figures: &Figures) -> Result<Vec<WorkingStep>, Arithmetic> {
    let capacity = figures.capacity;
    let mut above = vec![show::grams(capacity)];
    let mut below = vec!["1".to_owned()];
    let mut mass = figures.base_each;
    for (ingredient, found) in plan.ingredients.iter().zip(&figures.ingredients) {
        mass = mass.add(found.each)?;
        let factor = ingredient.correction.factor()?;
        let of = match ingredient.amount {
            Amount::Strength(share) => share.mul(factor)?,
            _ => found.each,
        };
        let added = of.sub(ingredient.displacing.displaced(of, capacity)?)?;
        let [plus, minus] = if added.is_negative() { ["−", "+"] } else { ["+", "−"] };
        match ingredient.amount {
            Amount::Strength(_) if !added.is_zero() => {
                below.push(format!("{minus} {}", show::number(added.abs())));
            }
            _ if !added.is_zero() => above.push(format!("{plus} {}", show::grams(added.abs()))),
            _ => {}
        }
    }
    let [above, below] = [above, below].map(|terms| match terms.as_slice() {
        [one] => one.clone(),
        _ => format!("({})", terms.join(" ")),
    });
    let say = "A percentage refers to the finished unit, of which drug takes the place of base. Divide \
               the capacity, with what drugs of a fixed dose add to it, by 1 less what each percentage \
               adds: the percentage times (1 − base displaced by 1 g).";
    let sum = if below == "1" { above } else { format!("{above} ÷ {below}") };
    Ok(vec![in_grams(say, &sum, mass)])
}

/// From the amount ordered to the mass that is weighed for the batch.
fn amount_steps(
    ingredient: &Ingredient,
    figures: &Figures,
    (ordered, batch): (Exact, Exact),
) -> Result<Vec<WorkingStep>, Arithmetic> {
    let name = &ingredient.name;
    let counted = show::number(figures.counted);
    let mut steps = Vec::new();
    let mut each = show::grams(ordered);
    match &ingredient.amount {
        Amount::Dose { volume: Some([volume, density]), .. } => {
            steps.push(in_grams(
                &format!("Multiply the volume of {name} by its density."),
                &format!("{} mL × {} g/mL", volume.trimmed(), density.trimmed()),
                ordered,
            ));
        }
        Amount::Dose { written, .. } => each.clone_from(written),
        Amount::Strength(share) => {
            let unit = show::sum(figures.ingredients.iter().map(|it| it.each))?;
            let unit = unit.add(figures.base_each)?;
            steps.push(in_grams(
                &format!("Take the percentage of {name} of the finished unit."),
                &format!("{} × {}", show::percent(*share), show::grams(unit)),
                ordered,
            ));
        }
        Amount::OfPlain(share) => {
            steps.push(in_grams(
                &format!("Take the percentage of {name} of the plain unit, which is the capacity."),
                &format!("{} × {}", show::percent(*share), show::grams(figures.capacity)),
                ordered,
            ));
        }
        Amount::OfVolume { share, density, .. } => {
            let (capacity, density) = (show::grams(figures.capacity), density.trimmed());
            let volume = figures.capacity.div(density)?;
            steps.push(WorkingStep::new(
                "Divide the capacity of a cavity by the density of the base to find its volume.",
                &format!("{capacity} ÷ {density} g/mL"),
                show::number_sign(volume),
                &format!("{} mL", show::number(volume)),
            ));
            let hundredth = share.times_ten_to(2)?.trimmed();
            steps.push(in_grams(
                &format!(
                    "Take the percentage of {name}, which is grams in 100 mL, of that volume."
                ),
                &format!("{hundredth} g ÷ 100 mL × {} mL", show::number(volume)),
                ordered,
            ));
        }
        Amount::Total(mass) => {
            each = show::grams(*mass);
            if !ingredient.correction.is_given() {
                let say = format!("Weigh the mass of {name} that is ordered for the batch.");
                steps.push(in_grams(&say, "ordered", *mass));
                return Ok(steps);
            }
        }
    }
    let is_total = matches!(ingredient.amount, Amount::Total(_));
    let factor = ingredient.correction.factor()?;
    if ingredient.correction.is_given() {
        steps.push(WorkingStep::new(
            &format!("Find the factor from the amount of {name} ordered to the powder weighed."),
            &ingredient.correction.sum(),
            show::number_sign(factor),
            &show::number(factor),
        ));
    }
    let corrected = if ingredient.correction.is_given() {
        format!(" × {}", show::number(factor))
    } else {
        String::new()
    };
    let (say, sum) = if is_total {
        (format!("Multiply the mass of {name} by that factor."), format!("{each}{corrected}"))
    } else {
        let and = if corrected.is_empty() { "" } else { " and by that factor" };
        (
            format!("Multiply {name} in one unit by the number of units{and}."),
            format!("{counted} × {each}{corrected}"),
        )
    };
    steps.push(in_grams(&say, &sum, batch));
    Ok(steps)
}

fn base_steps(plan: &Plan, figures: &Figures) -> Result<Vec<WorkingStep>, Arithmetic> {
    let counted = show::number(figures.counted);
    let filled = figures.counted.mul(figures.capacity)?;
    let mut steps = vec![in_grams(
        "Multiply the capacity of a cavity by the number of units.",
        &format!("{counted} × {}", show::grams(figures.capacity)),
        filled,
    )];
    let displaced: Vec<String> =
        figures.ingredients.iter().map(|it| show::grams(it.displaced)).collect();
    let allowance = figures.counted.mul(plan.base.allowance.unwrap_or_default())?;
    let plain = figures.base.sub(allowance)?;
    if !displaced.is_empty() {
        steps.push(in_grams(
            "Subtract the base displaced from the total capacity.",
            &format!("{} − {}", show::grams(filled), displaced.join(" − ")),
            plain,
        ));
    }
    if let Some(each) = plan.base.allowance {
        steps.push(in_grams(
            "Add the base that is allowed for losses of each unit.",
            &format!("{} + {counted} × {}", show::grams(plain), show::grams(each)),
            figures.base,
        ));
    }
    let made = plan.base.made.unwrap_or(figures.base);
    for (name, share) in &plan.base.parts {
        steps.push(in_grams(
            &format!("Take the percentage of {name} of the base that is made."),
            &format!("{} × {}", show::percent(*share), show::grams(made)),
            made.mul(*share)?,
        ));
    }
    Ok(steps)
}

/// The sum of everything, and the same by way of the units.
fn sum_steps(plan: &Plan, figures: &Figures) -> Result<Vec<WorkingStep>, Arithmetic> {
    let mut masses: Vec<String> =
        figures.ingredients.iter().map(|it| show::grams(it.batch)).collect();
    masses.push(show::grams(figures.base));
    let mut steps = vec![in_grams(
        "Add everything that goes into the batch.",
        &masses.join(" + "),
        figures.total,
    )];
    let each = figures.total.div(figures.counted)?;
    steps.push(in_grams(
        "Divide it by the number of units, for the mass of one.",
        &format!("{} ÷ {}", show::grams(figures.total), show::number(figures.counted)),
        each,
    ));
    if plan.base.allowance.is_some() {
        steps.push(in_grams(
            "A cavity holds its capacity, not the base added against losses: multiply by its part of both.",
            &format!(
                "{} × {} ÷ ({} + {})",
                show::grams(each),
                show::grams(figures.capacity),
                show::grams(figures.capacity),
                show::grams(plan.base.allowance.unwrap_or_default())
            ),
            figures.unit,
        ));
    }
    Ok(steps)
}
