//! Two slips made at once.

use crate::problem::{Problem, Response};
use crate::quantity::Exact;

use super::diagnosis::is_near;
use super::follow::in_unit_of;
use super::{Reason, Verdict};

/// The most pairs that are told. A number that more of them fit was hardly come by in that way.
const MOST_TOLD: usize = 3;

/// Puts the pairs of slips that lead to an answer in place of the reason that nothing explains it.
///
/// The search is for numbers that nothing single explains, and changes no mark.
pub(super) fn find_pairs(problem: &Problem, part: usize, verdict: &mut Verdict) {
    let place =
        verdict.reasons.iter().position(|reason| matches!(reason, Reason::Unexplained { .. }));
    let Some(place) = place else { return };
    let Some(Response::Number(key)) = problem.parts.get(part).map(|part| &part.response) else {
        return;
    };
    if key.slips.len() < 2 {
        return;
    }
    let Some(number) = in_unit_of(key.unit, verdict) else { return };
    let mut found: Vec<(Exact, [usize; 2])> = problem
        .slip_pairs(part)
        .into_iter()
        .filter(|pair| pair.low <= number && number <= pair.high)
        .filter(|pair| is_near(key, number, pair.value))
        .filter_map(|pair| Some((number.sub(pair.value).ok()?.abs(), pair.slips)))
        .collect();
    if found.is_empty() || found.len() > MOST_TOLD {
        return;
    }
    found.sort_unstable();
    let reasons = found.into_iter().map(|(_, slips)| Reason::TwoSlips { slips });
    verdict.reasons.splice(place..=place, reasons);
}
