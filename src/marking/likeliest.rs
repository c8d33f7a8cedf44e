//! Which of several slips was made, as far as the other answers of a problem tell.

use crate::problem::Problem;

use super::entry::Item;
use super::open::Open;
use super::{Cause, Finding};

/// What the other answers say about a slip; the greater, the likelier it was made.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
struct Evidence {
    /// Whether another answer comes of the same slip. It weighs more, since a slip need not be made
    /// each time.
    repeated: bool,
    /// Whether no answer that the slip changes is right.
    never_avoided: bool,
}

/// Where several slips lead to an answer, leaves those that the other answers speak for, or at least
/// not against.
///
/// It is only about what is told: a slip that keeps the marks for method is left, and so is the last.
pub(super) fn keep_likeliest_slips(problem: &Problem, entries: &mut [Open]) {
    for index in 0..entries.len() {
        let slips = single_slips(&entries[index]);
        if slips.len() < 2 {
            continue;
        }
        let evidence: Vec<(usize, Evidence)> =
            slips.iter().map(|slip| (*slip, evidence(problem, entries, index, *slip))).collect();
        let Some(best) = evidence.iter().map(|(_, evidence)| *evidence).max() else { continue };
        let is_out = |slip: usize| {
            evidence.iter().any(|(other, evidence)| *other == slip && *evidence < best)
        };
        for finding in &mut entries[index].findings {
            let Finding::Known(causes) = finding else { continue };
            let left = |cause: &Cause| !matches!(cause, Cause::Slip { slip, keeps_method: false, .. } if is_out(*slip));
            if causes.iter().any(left) {
                causes.retain(left);
            }
        }
    }
}

/// The slips that lead to an answer by themselves.
pub(super) fn single_slips(entry: &Open) -> Vec<usize> {
    let causes = entry.findings.iter().flat_map(Finding::causes);
    let slips = causes.filter_map(|cause| match cause {
        Cause::Slip { slip, power: 0, .. } => Some(*slip),
        _ => None,
    });
    slips.collect()
}

/// What the answers other than the one at an index say about a slip.
fn evidence(problem: &Problem, entries: &[Open], index: usize, slip: usize) -> Evidence {
    let others = || entries.iter().enumerate().filter(|(other, _)| *other != index);
    let avoids = |other: &Open| {
        let Item::Part(part) = other.item else { return false };
        let key = problem.parts.get(part).and_then(|part| part.response.number());
        let is_changed = key.is_some_and(|key| key.slips.iter().any(|value| value.slip == slip));
        // By the true values, not by numbers of the candidate's own.
        is_changed && other.findings.first().is_some_and(Finding::is_right)
    };
    Evidence {
        repeated: others().any(|(_, other)| single_slips(other).contains(&slip)),
        never_avoided: !others().any(|(_, other)| avoids(other)),
    }
}
