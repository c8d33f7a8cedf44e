//! The reliability of a whole paper.

use statrs::distribution::{ContinuousCDF, FisherSnedecor};

use super::{Interval, Scores, Statistic, Undefined, moments};

/// How reliable the totals are.
#[derive(Clone, Debug, PartialEq)]
pub struct Reliability {
    /// How many candidates the numbers rest on.
    pub candidates: usize,
    /// How many items.
    pub items: usize,
    /// The mean total.
    pub mean: Statistic,
    /// The standard deviation of the totals, divisor N - 1.
    pub deviation: Statistic,
    /// Cronbach's alpha. It may be negative, and is then shown so.
    pub alpha: Statistic,
    /// The 95 % interval of alpha (Feldt).
    pub alpha_interval: Result<Interval, Undefined>,
    /// Kuder and Richardson's formula 20, with the population variance of the totals.
    pub kr20: Statistic,
    /// Kuder and Richardson's formula 21, a lower bound that takes all items as equally hard.
    pub kr21: Statistic,
    /// The standard error of measurement, from alpha and the standard deviation with divisor N - 1.
    pub error: Statistic,
}

/// The reliability of a table of scores.
pub fn reliability(scores: &Scores) -> Reliability {
    let columns: Vec<Vec<f64>> =
        (0..scores.names().len()).map(|item| scores.column(item)).collect();
    let totals = scores.totals();
    let alpha = alpha(&columns);
    let deviation = moments::sample_variance(&totals).map(f64::sqrt);
    let error = alpha.and_then(|alpha| Ok(deviation? * (1.0 - alpha).max(0.0).sqrt()));
    let right_or_wrong = || {
        if scores.is_right_or_wrong() { Ok(()) } else { Err(Undefined::NotRightOrWrong) }
    };
    Reliability {
        candidates: scores.candidates(),
        items: columns.len(),
        mean: moments::mean(&totals),
        deviation,
        alpha,
        alpha_interval: alpha.and_then(|alpha| alpha_interval(alpha, totals.len(), columns.len())),
        kr20: right_or_wrong().and_then(|()| kr20(&columns, &totals)),
        kr21: right_or_wrong().and_then(|()| kr21(columns.len(), &totals)),
        error,
    }
}

/// The reliability of a paper `times` as long as one of reliability `r` (Spearman and Brown).
pub fn spearman_brown(r: f64, times: f64) -> f64 {
    times * r / (1.0 + (times - 1.0) * r)
}

/// Cronbach's alpha of the columns: `k/(k-1) * (1 - sum of item variances / variance of totals)`.
pub(super) fn alpha(columns: &[Vec<f64>]) -> Statistic {
    let totals = total(columns);
    coefficient(columns.len(), sum_of(columns, moments::population_variance)?, &totals)
}

/// KR-20: alpha with `p(1 - p)` for the item variances, so both variances have the divisor N.
fn kr20(columns: &[Vec<f64>], totals: &[f64]) -> Statistic {
    let of_item = |marks: &[f64]| moments::mean(marks).map(|p| p * (1.0 - p));
    coefficient(columns.len(), sum_of(columns, of_item)?, totals)
}

/// KR-21: `k/(k-1) * (1 - M(k - M)/(k * variance))`.
fn kr21(items: usize, totals: &[f64]) -> Statistic {
    let mean = moments::mean(totals)?;
    let k = items as f64;
    coefficient(items, mean * (k - mean) / k, totals)
}

fn coefficient(items: usize, item_variance: f64, totals: &[f64]) -> Statistic {
    if items < 2 {
        return Err(Undefined::FewItems);
    }
    if totals.len() < 2 {
        return Err(Undefined::FewCandidates);
    }
    let variance = moments::population_variance(totals)?;
    if variance <= 0.0 {
        return Err(Undefined::SameTotal);
    }
    let k = items as f64;
    Ok(k / (k - 1.0) * (1.0 - item_variance / variance))
}

/// The 95 % interval of alpha: `1 - (1 - alpha) F` with F of `N - 1` and `(N - 1)(k - 1)` degrees
/// of freedom (Feldt 1965, as given in the documentation of the R language's psychometric functions).
fn alpha_interval(alpha: f64, candidates: usize, items: usize) -> Result<Interval, Undefined> {
    let (n, k) = (candidates as f64, items as f64);
    let f = FisherSnedecor::new(n - 1.0, (n - 1.0) * (k - 1.0))
        .map_err(|_| Undefined::FewCandidates)?;
    Ok(Interval {
        low: 1.0 - (1.0 - alpha) * f.inverse_cdf(0.975),
        high: 1.0 - (1.0 - alpha) * f.inverse_cdf(0.025),
    })
}

fn sum_of(columns: &[Vec<f64>], of: impl Fn(&[f64]) -> Statistic) -> Statistic {
    columns.iter().map(|column| of(column)).sum()
}

fn total(columns: &[Vec<f64>]) -> Vec<f64> {
    let candidates = columns.first().map_or(0, Vec::len);
    (0..candidates).map(|row| columns.iter().map(|column| column[row]).sum()).collect()
}
