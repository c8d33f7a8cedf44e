//! Two slips made at once.

use crate::problem::{Problem, Response};
use crate::quantity::Exact;

use super::diagnosis::is_near;
use super::entry::Item;
use super::open::Open;
use super::{Cause, Finding};

/// The most pairs that are told. A number that more of them fit was hardly come by in that way.
const MOST_TOLD: usize = 3;

/// Puts the pairs of slips that lead to an answer in place of the finding that nothing explains it.
///
/// The search is for numbers that nothing single explains, and changes no mark.
pub(super) fn find_pairs(problem: &Problem, entry: &mut Open) {
    let [Finding::Unexplained(_)] = entry.findings.as_slice() else { return };
    let Item::Part(part) = entry.item else { return };
    let Some(Response::Number(key)) = problem.parts.get(part).map(|part| &part.response) else {
        return;
    };
    let Some(number) = entry.understood.number().filter(|_| key.slips.len() > 1) else { return };
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
    let causes = found.into_iter().map(|(_, slips)| Cause::TwoSlips(slips)).collect();
    entry.findings = vec![Finding::Known(causes)];
}
