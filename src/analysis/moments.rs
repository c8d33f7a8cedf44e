//! Means, variances and correlations of lists of marks.
//!
//! Sums are kept as sums as long as possible, so that whole marks give exact numerators and a
//! correlation that is zero comes out as zero.

use super::{Interval, Statistic, Undefined};

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

/// The 95 % interval of a correlation by Fisher's transformation; needs more than three candidates.
pub fn correlation_interval(r: f64, n: usize) -> Result<Interval, Undefined> {
    if n <= 3 {
        return Err(Undefined::FewCandidates);
    }
    let half = 1.959_963_984_540_054 / (n as f64 - 3.0).sqrt();
    let centre = r.clamp(-0.999_999_999, 0.999_999_999).atanh();
    Ok(Interval { low: (centre - half).tanh(), high: (centre + half).tanh() })
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
        let interval = correlation_interval(0.0, 103).unwrap();
        assert!((interval.high + interval.low).abs() < 1e-12);
    }
}
