//! The exact masses of a batch.

use crate::bank::OrderProblem;
use crate::quantity::{Arithmetic, Exact};
use crate::words;

use super::ingredient::{Amount, Ingredient};
use super::plan::Plan;
use super::show;

/// The exact figures of a batch; masses in grams.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Figures {
    /// For how many units is weighed; a percentage of excess need not make it whole.
    pub counted: Exact,
    /// What a cavity holds of the base of the batch.
    pub capacity: Exact,
    /// The base in one unit.
    pub base_each: Exact,
    /// The base to weigh for the batch.
    pub base: Exact,
    /// Everything to weigh for the batch.
    pub total: Exact,
    /// The mass expected of one finished unit.
    pub unit: Exact,
    /// The drugs and the other ingredients, in the order of the order.
    pub ingredients: Vec<IngredientFigures>,
}

/// The exact figures of an ingredient; masses in grams.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct IngredientFigures {
    /// Its name.
    pub name: String,
    /// What is ordered of it in one unit.
    pub ordered_each: Exact,
    /// What is weighed of it for one unit.
    pub each: Exact,
    /// What is weighed of it for the batch.
    pub batch: Exact,
    /// The base that the batch of it displaces.
    pub displaced: Exact,
    /// What is ordered of it as a fraction of a finished unit.
    pub share: Exact,
}

/// The mass of each unit before its number is counted.
struct Unit {
    /// The mass of the unit.
    mass: Exact,
    /// What is weighed of each ingredient.
    each: Vec<Exact>,
}

impl Figures {
    /// The figures of a plan.
    ///
    /// # Errors
    /// When the drugs leave no space for base, or the numbers are beyond what can be held.
    pub(super) fn of(plan: &Plan) -> Result<Self, OrderProblem> {
        worked(plan).map_err(|cause| OrderProblem {
            path: String::new(),
            what: format!("the numbers of the order have no result: {cause}"),
            label: "no result".to_owned(),
            help: "check the largest and the smallest of them".to_owned(),
        })?
    }
}

fn worked(plan: &Plan) -> Result<Result<Figures, OrderProblem>, Arithmetic> {
    let counted = plan.counting.counted()?;
    let capacity = plan.mould.capacity()?;
    let Some(unit) = one_unit(plan, capacity, counted)? else {
        return Ok(Err(no_space(
            plan,
            "the percentages of the drugs leave no space for it",
            capacity,
        )));
    };
    let mut ingredients = Vec::new();
    for (ingredient, each) in plan.ingredients.iter().zip(&unit.each) {
        let batch = match ingredient.amount {
            Amount::Total(mass) => mass.mul(ingredient.correction.factor()?)?,
            _ => counted.mul(*each)?,
        };
        let displaced = ingredient.displacing.displaced(batch, capacity)?;
        let ordered_each = ordered(ingredient, (capacity, counted), unit.mass)?;
        ingredients.push(IngredientFigures {
            name: ingredient.name.clone(),
            ordered_each,
            each: *each,
            batch,
            displaced,
            share: ordered_each,
        });
    }
    let displaced = show::sum(ingredients.iter().map(|it| it.displaced))?;
    let filled = counted.mul(capacity)?;
    let plain = filled.sub(displaced)?.settled();
    if !plain.is_positive() {
        let words = format!("they displace {} of {}", show::grams(displaced), show::grams(filled));
        return Ok(Err(no_space(plan, &words, capacity)));
    }
    let allowance = plan.base.allowance.unwrap_or_default();
    let base = plain.add(counted.mul(allowance)?)?;
    if let Some(made) = plan.base.made.filter(|made| *made < base) {
        let what = format!(
            "expected as much base as the batch needs, {}, found {}",
            show::grams(base),
            show::grams(made)
        );
        return Ok(Err(OrderProblem {
            path: "base.made".to_owned(),
            what,
            label: "too little".to_owned(),
            help: "make more, or remove this".to_owned(),
        }));
    }
    // Base that is added against losses thins the mixture that fills a cavity.
    let thinned = capacity.div(capacity.add(allowance)?)?;
    let mass = unit.mass.add(allowance)?.mul(thinned)?;
    for figures in &mut ingredients {
        figures.share = figures.ordered_each.mul(thinned)?.div(mass)?;
    }
    let total = base.add(show::sum(ingredients.iter().map(|it| it.batch))?)?;
    Ok(Ok(Figures {
        counted,
        capacity,
        base_each: plain.div(counted)?,
        base,
        total,
        unit: mass,
        ingredients,
    }))
}

/// The mass of a unit of which fractions are drugs. A unit of mass t with the fraction p of a drug holds
/// p × t of it, which displaces f × p × t of base: t = (capacity + Σ (w − displaced)) / (1 − Σ p (1 − f)),
/// with the sum above over the drugs of a fixed mass. `None` when nothing is left for base.
fn one_unit(plan: &Plan, capacity: Exact, counted: Exact) -> Result<Option<Unit>, Arithmetic> {
    let mut above = capacity;
    let mut below = Exact::ONE;
    let mut each = Vec::new();
    for ingredient in &plan.ingredients {
        let factor = ingredient.correction.factor()?;
        let (mass, of_unit) = match ingredient.amount {
            Amount::Dose { mass, .. } => (mass, false),
            Amount::OfPlain(share) => (share.mul(capacity)?, false),
            Amount::OfVolume { share, density, .. } => (share.mul(capacity)?.div(density)?, false),
            Amount::Total(mass) => (mass.div(counted)?, false),
            Amount::Strength(share) => (share, true),
        };
        let mass = mass.mul(factor)?;
        let added = mass.sub(ingredient.displacing.displaced(mass, capacity)?)?;
        if of_unit {
            below = below.sub(added)?;
        } else {
            above = above.add(added)?;
        }
        each.push((mass, of_unit));
    }
    let below = below.settled();
    if !below.is_positive() || !above.is_positive() {
        return Ok(None);
    }
    let mass = above.div(below)?;
    let each = each.into_iter().map(|(of, of_unit)| if of_unit { of.mul(mass) } else { Ok(of) });
    Ok(Some(Unit { mass, each: each.collect::<Result<_, _>>()? }))
}

/// What is ordered of an ingredient in a unit.
fn ordered(
    ingredient: &Ingredient,
    (capacity, counted): (Exact, Exact),
    unit: Exact,
) -> Result<Exact, Arithmetic> {
    match ingredient.amount {
        Amount::Dose { mass, .. } => Ok(mass),
        Amount::OfPlain(share) => share.mul(capacity),
        Amount::OfVolume { share, density, .. } => share.mul(capacity)?.div(density),
        Amount::Total(mass) => mass.div(counted),
        Amount::Strength(share) => share.mul(unit),
    }
}

fn no_space(plan: &Plan, why: &str, capacity: Exact) -> OrderProblem {
    let names: Vec<&str> = plan.ingredients.iter().map(|it| it.name.as_str()).collect();
    OrderProblem {
        path: "drugs".to_owned(),
        what: format!(
            "expected space for base beside {}, found none in cavities of {}: {why}",
            words::listed(&names, "and"),
            show::grams(capacity)
        ),
        label: "too much for the mould".to_owned(),
        help: "check the doses and their units, or take a larger mould".to_owned(),
    }
}
