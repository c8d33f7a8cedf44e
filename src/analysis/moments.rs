//! Means, variances and correlations of lists of marks.
//!
//! Sums are kept as sums as long as possible, so that whole marks give exact numerators and a
//! correlation that is zero comes out as zero.

use super::{Interval, Statistic, Undefined};

/// Between minus and plus this lie 95 % of a normal distribution.
const NORMAL_95: f64 = 1.959_963_984_540_054;

/// The mean.
pub fn mean(values: &[f64]) -> Statistic {
    if values.is_empty() {
        return Err(Undefined::NoCandidates);
    }
    Ok(values.iter().sum::<f64>() / values.len() as f64)
}

/// The population variance, divisor N.
pub fn population_variance(values: &[f64]) -> Statistic {
    if values.is_empty() {
        return Err(Undefined::NoCandidates);
    }
    let n = values.len() as f64;
    Ok(centred_sum(values, values) / (n * n))
}

/// The sample variance, divisor N - 1.
pub fn sample_variance(values: &[f64]) -> Statistic {
    if values.len() < 2 {
        return Err(Undefined::FewCandidates);
    }
    let n = values.len() as f64;
    Ok(centred_sum(values, values) / (n * (n - 1.0)))
}

/// Pearson's correlation of an item's marks with other totals.
pub fn correlation(marks: &[f64], totals: &[f64]) -> Statistic {
    if marks.len() < 2 || marks.len() != totals.len() {
        return Err(Undefined::FewCandidates);
    }
    let of_marks = centred_sum(marks, marks);
    let of_totals = centred_sum(totals, totals);
    if of_marks <= 0.0 {
        return Err(Undefined::SameMark);
    }
    if of_totals <= 0.0 {
        return Err(Undefined::SameTotal);
    }
    let r = centred_sum(marks, totals) / (of_marks.sqrt() * of_totals.sqrt());
    Ok(r.clamp(-1.0, 1.0))
}

/// The 95 % interval of a correlation by Fisher's transformation; needs more than three candidates, and a
/// correlation that is not perfect, which the transformation sends to infinity.
pub fn correlation_interval(r: f64, n: usize) -> Result<Interval, Undefined> {
    if n <= 3 {
        return Err(Undefined::FewCandidates);
    }
    if r.abs() > 1.0 - 1e-12 {
        return Err(Undefined::Perfect);
    }
    let half = NORMAL_95 / (n as f64 - 3.0).sqrt();
    let centre = r.atanh();
    Ok(Interval { low: (centre - half).tanh(), high: (centre + half).tanh() })
}

/// The 95 % interval of a share of `n` candidates, by Wilson's score (1927), which does not shrink to
/// nothing where all or none have it. For a mean of part marks over the maximum it is wider than need
/// be, since such marks vary less than right and wrong.
pub fn share_interval(share: f64, n: usize) -> Result<Interval, Undefined> {
    if n == 0 {
        return Err(Undefined::NoCandidates);
    }
    let n = n as f64;
    let z2 = NORMAL_95 * NORMAL_95;
    let centre = share + z2 / (2.0 * n);
    let spread = (share * (1.0 - share) / n + z2 / (4.0 * n * n)).max(0.0).sqrt();
    let (half, whole) = (NORMAL_95 * spread, 1.0 + z2 / n);
    Ok(Interval {
        low: ((centre - half) / whole).clamp(0.0, 1.0),
        high: ((centre + half) / whole).clamp(0.0, 1.0),
    })
}

/// `N * sum(xy) - sum(x) * sum(y)`: N squared times the covariance.
fn centred_sum(xs: &[f64], ys: &[f64]) -> f64 {
    let products: f64 = xs.iter().zip(ys).map(|(x, y)| x * y).sum();
    xs.len() as f64 * products - xs.iter().sum::<f64>() * ys.iter().sum::<f64>()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_two_variances_differ_by_their_divisor() {
        // mean 2.5, squares about it 5: 5/4 and 5/3, by hand.
        let values = [1.0, 2.0, 3.0, 4.0];
        assert_eq!(population_variance(&values), Ok(1.25));
        assert_eq!(sample_variance(&values), Ok(5.0 / 3.0));
    }

    #[test]
    fn a_constant_side_has_no_correlation_and_says_which() {
        assert_eq!(correlation(&[1.0, 1.0], &[1.0, 2.0]), Err(Undefined::SameMark));
        assert_eq!(correlation(&[1.0, 2.0], &[3.0, 3.0]), Err(Undefined::SameTotal));
    }

    #[test]
    fn nothing_has_no_mean() {
        assert_eq!(mean(&[]), Err(Undefined::NoCandidates));
        assert_eq!(sample_variance(&[1.0]), Err(Undefined::FewCandidates));
    }

    #[test]
    fn an_interval_needs_more_than_three_candidates() {
        assert_eq!(correlation_interval(0.5, 3), Err(Undefined::FewCandidates));
        assert_eq!(correlation_interval(1.0, 10), Err(Undefined::Perfect));
        let interval = correlation_interval(0.0, 103).unwrap();
        assert!((interval.high + interval.low).abs() < 1e-12);
    }

    #[test]
    fn the_interval_of_a_share_stays_open_at_the_ends() {
        // With z squared 3.841458820694124: none of 10 gives z2/(10 + z2); 5 of 10 gives
        // 1/2 -+ z/(2 sqrt(10 + z2)), worked from the formula by hand.
        let none = share_interval(0.0, 10).unwrap();
        assert!(none.low.abs() < 1e-12);
        assert!((none.high - 3.841_458_820_694_124 / 13.841_458_820_694_124).abs() < 1e-12);
        let half = share_interval(0.5, 10).unwrap();
        assert!(
            (half.high - 0.5 - NORMAL_95 / 2.0 / 13.841_458_820_694_124_f64.sqrt()).abs() < 1e-12
        );
        assert!((half.low + half.high - 1.0).abs() < 1e-12);
    }
}
