//! One known slip in a step that is not asked for, which proves the rest of the method.

use crate::problem::Problem;

use super::award::{Faults, Situation};
use super::entry::Item;
use super::likeliest::single_slips;
use super::open::Open;
use super::{Cause, Finding, Settings};

/// Lets the answers that come of a single slip keep their marks for method, when the slip was made in
/// steps that are not asked for: the number is then right in everything else. It is done for one slip
/// of a problem, the one for which it is worth most.
pub(super) fn keep_method_of_one_slip(
    problem: &Problem,
    entries: &mut [Open],
    settings: &Settings,
) {
    let mut slips: Vec<usize> = entries.iter().flat_map(single_slips).collect();
    slips.sort_unstable();
    slips.dedup();
    slips.retain(|slip| !problem.slip_is_asked(*slip));
    let worth = |slip: &usize| -> u32 {
        let gain = |entry: &Open| {
            let kept = keeping(entry, *slip);
            marks(&kept, settings).saturating_sub(marks(entry, settings))
        };
        entries.iter().map(gain).sum()
    };
    let best = slips.into_iter().rev().max_by_key(worth);
    let Some(slip) = best else { return };
    for entry in entries {
        *entry = keeping(entry, slip);
    }
}

/// The same answer with the method of that slip kept.
fn keeping(entry: &Open, slip: usize) -> Open {
    let mut entry = entry.clone();
    for finding in &mut entry.findings {
        let Finding::Known(causes) = finding else { continue };
        for cause in causes {
            if let Cause::Slip { slip: made, power: 0, keeps_method } = cause {
                *keeps_method |= *made == slip;
            }
        }
    }
    entry
}

/// What an answer earns with every fault charged.
fn marks(entry: &Open, settings: &Settings) -> u32 {
    entry.marks(&Situation {
        of: entry.of,
        method: entry.method,
        is_step: matches!(entry.item, Item::Step(_)),
        settings,
        forgiven: Faults::default(),
    })
}
