//! How often each verdict of a template is right.

use std::collections::BTreeMap;

use castmark::problem::{Problem, VerdictKey};

/// A share is looked at from so many draws on.
const ENOUGH: u64 = 100;

/// The least share of a verdict in per cent, so that guessing the usual one earns little.
const LEAST_SHARE: u64 = 20;

/// By how much a sample may miss it by chance, in per cent.
const BY_CHANCE: u64 = 3;

/// How often each verdict of each part was right, by the index of the part.
#[derive(Debug, Default)]
pub(super) struct Shares(BTreeMap<usize, Vec<u64>>);

impl Shares {
    /// Counts the verdict of one problem.
    pub(super) fn note(&mut self, part: usize, key: &VerdictKey) {
        let counts = self.0.entry(part).or_insert_with(|| vec![0; key.options.len()]);
        if let Some(count) = counts.get_mut(key.right) {
            *count += 1;
        }
    }

    /// The share of every verdict in per cent: `34 : 33 : 33 %`; empty where none is asked for.
    pub(super) fn in_words(&self) -> String {
        let parts = self.0.values().map(|counts| {
            let all: u64 = counts.iter().sum();
            let share = |count: &u64| count.saturating_mul(100).checked_div(all).unwrap_or(0);
            let shares: Vec<String> = counts.iter().map(|count| share(count).to_string()).collect();
            format!("{} %", shares.join(" : "))
        });
        parts.collect::<Vec<_>>().join("; ")
    }

    /// The verdicts that are right too seldom, in words.
    pub(super) fn judge(&self, problem: &Problem) -> Vec<String> {
        let mut faults = Vec::new();
        for (part, counts) in &self.0 {
            let Some(part) = problem.parts.get(*part) else { continue };
            let Some(key) = part.response.verdict() else { continue };
            let all: u64 = counts.iter().sum();
            // With more than five verdicts each has most of its equal share.
            let verdicts = counts.len() as u64;
            let least = LEAST_SHARE.min(80 / verdicts.max(1)).saturating_sub(BY_CHANCE);
            for (option, count) in key.options.iter().zip(counts) {
                let share = count.saturating_mul(100).checked_div(all).unwrap_or(0);
                if all >= ENOUGH && share < least {
                    faults.push(format!(
                        "part `{}`: \"{option}\" is the verdict in {share} of 100 draws; widen the \
                         values that lead to it",
                        part.id
                    ));
                }
            }
        }
        faults
    }
}
