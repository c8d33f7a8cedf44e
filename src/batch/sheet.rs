//! The sheet for the bench as plain data, and the one entry that makes it of an order.

use serde::{Deserialize, Serialize};

use crate::bank::{Facts, Order, OrderProblem};

use super::bench;
use super::figures::Figures;
use super::implausible;
use super::plan::Plan;
use super::working;

/// A batch that was worked.
#[derive(Clone, Debug)]
pub struct Batch {
    /// The sheet, in words.
    pub sheet: BenchSheet,
    /// The exact figures behind it.
    pub figures: Figures,
    /// What readings of a class are compared with.
    pub(super) plan: Plan,
}

/// The sheet for the bench. Everything is text as it is read.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct BenchSheet {
    /// The heading.
    pub title: String,
    /// What is prepared, in one sentence.
    pub summary: String,
    /// What one unit and the batch are made of.
    pub ingredients: Vec<IngredientRow>,
    /// Everything that is weighed, and the mass of one unit.
    pub total: IngredientRow,
    /// What is implausible or should be thought of, with what to do.
    pub remarks: Vec<Remark>,
    /// The values worked with.
    pub values: Vec<ValueUsed>,
    /// What each drug displaces, with its convention.
    pub conventions: Vec<String>,
    /// Other values that the facts have.
    pub alternatives: Vec<String>,
    /// The working.
    pub working: Vec<WorkingSection>,
    /// What the finished units are checked against.
    pub checks: Vec<Check>,
    /// What is done at the bench, in order.
    pub steps: Vec<String>,
    /// The lines of the label.
    pub label: Vec<String>,
    /// Where steps, label and limits come from.
    pub sources: Vec<String>,
}

/// An ingredient with its masses.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct IngredientRow {
    /// Its name.
    pub name: String,
    /// Its mass in one unit.
    pub each: String,
    /// Its mass for the batch, as it is weighed.
    pub batch: String,
}

/// What should be thought of.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Remark {
    /// What was found.
    pub what: String,
    /// What to do.
    pub advice: String,
}

/// A value that was worked with.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct ValueUsed {
    /// What it is.
    pub what: String,
    /// The value.
    pub value: String,
    /// Where it comes from: `given by you`, or the source from which it was taken.
    pub from: String,
}

/// Steps that belong together.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct WorkingSection {
    /// What they find.
    pub title: String,
    /// The steps.
    pub steps: Vec<WorkingStep>,
}

/// A step of the working.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct WorkingStep {
    /// What is done, in a sentence.
    pub say: String,
    /// The sum in numbers: `15.00 g − 1.071 g`.
    pub sum: String,
    /// The sign between the two, which says whether the result is rounded.
    pub sign: String,
    /// The result.
    pub result: String,
}

/// What the finished units are checked against.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Check {
    /// What is checked.
    pub what: String,
    /// What is expected.
    pub value: String,
    /// The rule or the reason.
    pub why: String,
}

/// Works an order.
///
/// # Errors
/// Everything that is wrong with it, all together, each value by the keys that lead to it.
pub fn solve(order: &Order, facts: &Facts) -> Result<Batch, Vec<OrderProblem>> {
    let plan = Plan::read(order, facts)?;
    let figures = Figures::of(&plan).map_err(|problem| vec![problem])?;
    let sheet = lay_out(&plan, &figures, facts).map_err(|cause| {
        vec![OrderProblem {
            path: String::new(),
            what: format!("the numbers of the order have no result: {cause}"),
            label: "no result".to_owned(),
            help: "check the largest and the smallest of them".to_owned(),
        }]
    })?;
    Ok(Batch { sheet, figures, plan })
}

fn lay_out(
    plan: &Plan,
    figures: &Figures,
    facts: &Facts,
) -> Result<BenchSheet, crate::quantity::Arithmetic> {
    let (ingredients, total) = working::ingredients(plan, figures)?;
    let (label, label_source) = bench::label(plan, figures, facts);
    let (steps, steps_source) = bench::steps(plan, figures, facts)?;
    let base = plan.base.name.as_str();
    let conventions = plan.ingredients.iter().map(|it| it.displacing.sentence(&it.name, base));
    let alternatives = plan.ingredients.iter().filter(|it| it.displacing.listed.len() > 1);
    let alternatives = alternatives.map(|it| {
        format!(
            "Sources differ on {}; the facts have: {}.",
            it.name,
            it.displacing.listed.join("; ")
        )
    });
    let mut sources: Vec<String> = Vec::new();
    for source in steps_source.into_iter().chain(label_source).chain(bench::limits_source(facts)) {
        if !sources.contains(&source) {
            sources.push(source);
        }
    }
    Ok(BenchSheet {
        title: plan.title.clone().unwrap_or_else(|| bench::title(plan)),
        summary: bench::summary(plan, figures),
        ingredients,
        total,
        remarks: implausible::remarks(plan, figures, facts)?,
        values: plan.values(),
        conventions: conventions.collect(),
        alternatives: alternatives.collect(),
        working: working::sections(plan, figures)?,
        checks: bench::checks(plan, figures)?,
        steps,
        label,
        sources,
    })
}

impl ValueUsed {
    pub(super) fn yours(what: &str, value: &str) -> Self {
        Self { what: what.to_owned(), value: value.to_owned(), from: "given by you".to_owned() }
    }

    pub(super) fn taken(what: &str, value: &str, source: &str) -> Self {
        let from = format!("taken from {source}, not given by you");
        Self { what: what.to_owned(), value: value.to_owned(), from }
    }

    /// A value for which there is no source.
    pub(super) fn usual(what: &str, value: &str, why: &str) -> Self {
        let from = format!("{why}; not given by you");
        Self { what: what.to_owned(), value: value.to_owned(), from }
    }

    /// Whether it was given.
    pub fn is_given(&self) -> bool {
        self.from == "given by you"
    }
}

impl Remark {
    pub(super) fn new(what: &str, advice: &str) -> Self {
        Self { what: what.to_owned(), advice: advice.to_owned() }
    }
}

impl WorkingStep {
    pub(super) fn new(say: &str, sum: &str, sign: &str, result: &str) -> Self {
        let [say, sum, sign, result] = [say, sum, sign, result].map(str::to_owned);
        Self { say, sum, sign, result }
    }

    /// The sum with its result: `15.00 g − 1.071 g ≈ 13.929 g`.
    pub fn line(&self) -> String {
        format!("{} {} {}", self.sum, self.sign, self.result)
    }
}

impl Check {
    pub(super) fn new(what: &str, value: String, why: &str) -> Self {
        Self { what: what.to_owned(), value, why: why.to_owned() }
    }
}
