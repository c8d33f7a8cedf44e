//! Two slips made at once.

use crate::problem::{Problem, Response};
use crate::quantity::Exact;

use super::diagnosis::{has_figures, is_told};
use super::entry::Item;
use super::open::Open;
use super::{Cause, Finding, Lies};

/// The most pairs that are told. A number that more of them fit was hardly come by in that way.
const MOST_TOLD: usize = 3;

/// Puts the pairs of slips that lead to an answer in place of the finding that nothing explains it.
///
/// The search is for numbers that nothing single explains, and changes no mark.
pub(super) fn find_pairs(problem: &Problem, entry: &mut Open) {
    // What lies close to the right answer is called close.
    let [Finding::Unexplained(Lies::Far { .. })] = entry.findings.as_slice() else { return };
    let Item::Part(part) = entry.item else { return };
    let Some(Response::Number(key)) = problem.parts.get(part).map(|part| &part.response) else {
        return;
    };
    // Few figures fit so many pairs of slips that they show none.
    let tells = |number: &Exact| key.slips.len() > 1 && has_figures(*number);
    let Some(number) = entry.understood.number().filter(tells) else { return };
    let mut found: Vec<(Exact, [usize; 2])> = problem
        .slip_pairs(part)
        .into_iter()
        .filter(|pair| is_told(key, &pair.value, number))
        .filter_map(|pair| Some((number.sub(pair.value.value).ok()?.abs(), pair.slips)))
        .collect();
    if found.is_empty() || found.len() > MOST_TOLD {
        return;
    }
    found.sort_unstable();
    let causes = found.into_iter().map(|(_, slips)| Cause::TwoSlips(slips)).collect();
    entry.findings = vec![Finding::Known(causes)];
}
