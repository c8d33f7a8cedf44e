//! The one rule by which intermediate results may be rounded.

use std::collections::BTreeSet;

use crate::bank::checking::names::Names;
use crate::bank::template::{NumberPlan, PartPlan, Step};
use crate::quantity::{Dimension, Rounding};

/// The rule as it is printed on sheets.
pub const ROUNDING_RULE: &str = "Intermediate results may be used unrounded or rounded: \
     masses and volumes of the whole batch to no fewer decimal places than the answer asks for and \
     no fewer than two significant figures, everything else to no fewer than three significant \
     figures.";

/// How many figures an amount of the whole batch keeps at least.
const FIGURES_OF_AMOUNTS: u32 = 2;

/// How many figures everything else keeps.
const FIGURES: u32 = 3;

/// Adds to every step of a working the roundings that the rule allows, where they are coarser than
/// the one with which it is shown.
pub(super) fn apply(working: &mut [Step], parts: &[PartPlan], names: &Names) {
    let plans: Vec<&NumberPlan> = parts.iter().filter_map(|part| part.wanted.number()).collect();
    let needed: Vec<BTreeSet<usize>> =
        plans.iter().map(|plan| needed(working, plan.slot)).collect();
    for step in working.iter_mut() {
        let leads_to = plans.iter().zip(&needed).filter(|(_, slots)| slots.contains(&step.slot));
        let dimension = names.unit(step.slot).dimension();
        // Things counted are whole, and degrees Celsius have no first figure.
        if dimension == Dimension::COUNT || dimension == Dimension::TEMPERATURE {
            continue;
        }
        let is_amount = dimension == Dimension::MASS || dimension == Dimension::VOLUME;
        let plans = leads_to.map(|(plan, _)| plan);
        let alike = plans.filter(|plan| plan.unit == names.unit(step.slot));
        let places = alike.filter_map(|plan| match plan.rounding {
            Rounding::Places(places) => Some(places),
            _ => None,
        });
        let allowed = match places.min().filter(|_| is_amount) {
            Some(places) => Rounding::AtLeast { places, figures: FIGURES_OF_AMOUNTS },
            None => Rounding::Figures(FIGURES),
        };
        let is_finer = match (allowed, step.rounding) {
            (Rounding::AtLeast { places: allowed, .. }, Rounding::Places(shown))
            | (Rounding::Figures(allowed), Rounding::Figures(shown)) => allowed >= shown,
            _ => false,
        };
        if !is_finer && !step.also.contains(&allowed) {
            step.also.push(allowed);
        }
    }
}

/// The slots from which a slot follows, itself among them.
fn needed(working: &[Step], slot: usize) -> BTreeSet<usize> {
    let mut needed = BTreeSet::from([slot]);
    for step in working.iter().rev() {
        if needed.contains(&step.slot) {
            needed.extend(step.program.reads());
        }
    }
    needed
}
