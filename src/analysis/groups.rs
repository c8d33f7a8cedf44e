//! The groups of a class beside each other.

use super::passing::Total;
use super::{Statistic, Undefined, chance_of, moments, quantile};
use crate::bank::Grading;

/// How a group, or a whole class, did.
#[derive(Clone, Debug, PartialEq)]
pub struct GroupRow {
    /// The name; empty for those of whom no group is known.
    pub name: String,
    /// How many there are.
    pub candidates: usize,
    /// The mean share of the marks.
    pub mean: Statistic,
    /// The standard deviation of the shares, divisor N - 1.
    pub deviation: Statistic,
    /// The standard error of the mean.
    pub error: Statistic,
    /// The share of the marks that half of them reach.
    pub median: Statistic,
    /// The share who passed; nothing without a pass mark.
    pub passed: Option<Statistic>,
}

/// The groups of a class, and the chance of means so far apart if all were alike.
#[derive(Clone, Debug, PartialEq)]
pub struct Groups {
    /// The groups by name.
    pub rows: Vec<GroupRow>,
    /// The chance.
    pub chance: Statistic,
}

impl GroupRow {
    /// The row of these totals.
    pub fn of(name: &str, totals: &[&Total], grading: &Grading) -> Self {
        let shares: Vec<f64> = totals.iter().map(|total| total.share()).collect();
        let deviation = moments::sample_variance(&shares).map(f64::sqrt);
        let passed = grading.pass.map(|pass| {
            let passed: Vec<f64> =
                totals.iter().map(|total| f64::from(u8::from(total.reaches(pass)))).collect();
            moments::mean(&passed)
        });
        Self {
            name: name.to_owned(),
            candidates: shares.len(),
            mean: moments::mean(&shares),
            deviation,
            error: deviation.map(|deviation| deviation / (shares.len() as f64).sqrt()),
            median: quantile(&shares, 0.5),
            passed,
        }
    }
}

impl Groups {
    /// The groups of these totals; nothing where there are not two.
    pub fn of(totals: &[Total], grading: &Grading) -> Option<Self> {
        let mut names: Vec<&str> =
            totals.iter().map(|total| total.group.as_deref().unwrap_or_default()).collect();
        names.sort_unstable();
        names.dedup();
        if names.len() < 2 {
            return None;
        }
        let of_group = |name: &str| -> Vec<&Total> {
            totals.iter().filter(|it| it.group.as_deref().unwrap_or_default() == name).collect()
        };
        let shares: Vec<Vec<f64>> = names
            .iter()
            .map(|name| of_group(name).iter().map(|total| total.share()).collect())
            .collect();
        let chance: Result<f64, Undefined> = chance_of(&shares);
        let rows = names.iter().map(|name| GroupRow::of(name, &of_group(name), grading));
        Some(Self { rows: rows.collect(), chance })
    }
}
