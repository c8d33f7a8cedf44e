//! What a template asks, apart from what is shown beside it.

use std::collections::BTreeSet;

use crate::bank::template::theory::{Case, TheoryPlan};
use crate::bank::template::{Template, Wanted};

impl Template {
    /// How many different facts the parts of theory ask; none where only numbers are asked.
    pub fn keys(&self) -> usize {
        self.theory().flat_map(TheoryPlan::keys).collect::<BTreeSet<_>>().len()
    }

    /// The ids of the sources of points of written answers.
    pub(in crate::bank) fn point_sources(&self) -> impl Iterator<Item = &str> {
        let cases = self.theory().flat_map(|plan| &plan.cases);
        let points = cases.filter_map(|case| match case {
            Case::Written(case) => Some(&case.points),
            _ => None,
        });
        points.flatten().map(|point| point.source.as_str())
    }

    fn theory(&self) -> impl Iterator<Item = &TheoryPlan> {
        self.parts.iter().filter_map(|part| match &part.wanted {
            Wanted::Theory(plan) => Some(plan),
            _ => None,
        })
    }
}
