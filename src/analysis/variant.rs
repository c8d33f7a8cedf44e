//! Whether one variant of a template was harder than the others.

use statrs::distribution::{ChiSquared, ContinuousCDF};

use super::{Statistic, Undefined};

/// How the variants of one template compare.
#[derive(Clone, Debug, PartialEq)]
pub struct Between {
    /// The groups, with candidates and the share of full marks in each.
    pub groups: Vec<(String, usize, f64)>,
    /// The largest facility less the smallest.
    pub range: f64,
    /// The chance of differences at least as large, were all groups equally hard; by a chi-square
    /// test of full marks against group.
    pub chance: Statistic,
}

/// Compares groups of variants: name, candidates, and how many of them had full marks.
///
/// The test is not made when an expected count is below 5, the usual rule for chi-square tables.
pub fn between_variants(groups: &[(String, usize, usize)]) -> Between {
    let with_share: Vec<(String, usize, f64)> = groups
        .iter()
        .filter(|(_, candidates, _)| *candidates > 0)
        .map(|(name, candidates, right)| {
            (name.clone(), *candidates, *right as f64 / *candidates as f64)
        })
        .collect();
    let shares = || with_share.iter().map(|(_, _, share)| *share);
    let high = shares().fold(0.0, f64::max);
    let low = shares().fold(high, f64::min);
    Between { range: high - low, chance: chance(groups), groups: with_share }
}

fn chance(groups: &[(String, usize, usize)]) -> Statistic {
    let sizes = || groups.iter().map(|(_, candidates, _)| *candidates).filter(|n| *n > 0);
    if sizes().count() < 2 {
        return Err(Undefined::FewItems);
    }
    let all: usize = sizes().sum();
    let right: usize = groups.iter().map(|(_, _, right)| *right).sum();
    if right == 0 || right == all {
        return Err(Undefined::SameMark);
    }
    let share = right as f64 / all as f64;
    let mut statistic = 0.0;
    for (_, candidates, right) in groups.iter().filter(|(_, candidates, _)| *candidates > 0) {
        let expected = [*candidates as f64 * share, *candidates as f64 * (1.0 - share)];
        let found = [*right as f64, *candidates as f64 - *right as f64];
        if expected.iter().any(|count| *count < 5.0) {
            return Err(Undefined::FewCandidates);
        }
        statistic += found
            .iter()
            .zip(expected)
            .map(|(found, expected)| (found - expected).powi(2) / expected)
            .sum::<f64>();
    }
    let freedom = sizes().count() as f64 - 1.0;
    let distribution = ChiSquared::new(freedom).map_err(|_| Undefined::FewItems)?;
    Ok(distribution.sf(statistic))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn group(name: &str, candidates: usize, right: usize) -> (String, usize, usize) {
        (name.to_owned(), candidates, right)
    }

    #[test]
    fn equal_groups_differ_by_chance_alone() {
        let between = between_variants(&[group("a", 40, 20), group("b", 40, 20)]);
        assert!((between.chance.unwrap() - 1.0).abs() < 1e-12);
        assert!(between.range.abs() < 1e-12);
    }

    #[test]
    fn an_unlucky_variant_shows() {
        // Chi-square of [[30, 10], [10, 30]] is 20 with one degree of freedom; its upper tail from
        // the identity erfc(sqrt(10)), computed with Python 3.11, is 7.744216431044087e-06.
        let between = between_variants(&[group("a", 40, 30), group("b", 40, 10)]);
        assert!((between.chance.unwrap() - 7.744_216_431_044_087e-6).abs() < 1e-15);
        assert!((between.range - 0.5).abs() < 1e-12);
    }

    #[test]
    fn makes_no_test_on_small_counts_or_one_group() {
        assert_eq!(
            between_variants(&[group("a", 4, 2), group("b", 4, 1)]).chance,
            Err(Undefined::FewCandidates)
        );
        assert_eq!(between_variants(&[group("a", 40, 2)]).chance, Err(Undefined::FewItems));
    }
}
