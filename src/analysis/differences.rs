//! How far apart groups of candidates are, and how much of that chance could do.

use statrs::distribution::{ContinuousCDF, FisherSnedecor, StudentsT};

use super::{Interval, Statistic, Undefined, moments};

/// A difference of two means with its 95 % interval.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Difference {
    /// The first mean less the second.
    pub by: f64,
    /// The 95 % interval.
    pub interval: Result<Interval, Undefined>,
}

/// The value below which that share of the values lies, between the two nearest where it falls between
/// them; the lowest value is at 0 and the highest at 1.
pub fn quantile(values: &[f64], share: f64) -> Statistic {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    let last = sorted.len().checked_sub(1).ok_or(Undefined::NoCandidates)?;
    let at = share.clamp(0.0, 1.0) * last as f64;
    // The figures are few, so the search is short.
    let below = (0..=last).take_while(|index| *index as f64 <= at).last().unwrap_or(0);
    let above = (below + 1).min(last);
    Ok(sorted[below] + (at - below as f64) * (sorted[above] - sorted[below]))
}

/// The chance of means at least as far apart if all groups were alike: the analysis of variance with
/// one factor (F test). Needs two groups of at least two candidates.
pub fn chance_of(groups: &[Vec<f64>]) -> Statistic {
    let groups: Vec<&Vec<f64>> = groups.iter().filter(|group| group.len() > 1).collect();
    if groups.len() < 2 {
        return Err(Undefined::FewGroups);
    }
    let all: Vec<f64> = groups.iter().copied().flatten().copied().collect();
    let mean = moments::mean(&all)?;
    let mut between = 0.0;
    let mut within = 0.0;
    for group in &groups {
        let of_group = moments::mean(group)?;
        between += group.len() as f64 * (of_group - mean).powi(2);
        within += group.iter().map(|value| (value - of_group).powi(2)).sum::<f64>();
    }
    let (factors, rest) = ((groups.len() - 1) as f64, (all.len() - groups.len()) as f64);
    if within <= 0.0 {
        return Err(Undefined::SameMark);
    }
    let ratio = (between / factors) / (within / rest);
    let spread = FisherSnedecor::new(factors, rest).map_err(|_| Undefined::FewCandidates)?;
    Ok(spread.sf(ratio))
}

/// The difference of the means of two classes, with the interval of Welch, which does not take their
/// spread as the same.
///
/// # Errors
/// When one of them is empty.
pub fn difference(first: &[f64], second: &[f64]) -> Result<Difference, Undefined> {
    let by = moments::mean(first)? - moments::mean(second)?;
    Ok(Difference { by, interval: welch(first, second, by) })
}

fn welch(first: &[f64], second: &[f64], by: f64) -> Result<Interval, Undefined> {
    let share = |values: &[f64]| {
        moments::sample_variance(values).map(|variance| variance / values.len() as f64)
    };
    let (one, other) = (share(first)?, share(second)?);
    let error = (one + other).sqrt();
    let degrees = (one + other).powi(2)
        / (one.powi(2) / (first.len() as f64 - 1.0) + other.powi(2) / (second.len() as f64 - 1.0));
    interval(by, error, degrees)
}

/// The mean change of candidates who sat twice, from the first to the second, with its interval.
///
/// # Errors
/// When nobody did.
pub fn change(pairs: &[(f64, f64)]) -> Result<Difference, Undefined> {
    let changes: Vec<f64> = pairs.iter().map(|(before, after)| after - before).collect();
    let by = moments::mean(&changes)?;
    let error =
        moments::sample_variance(&changes).map(|variance| (variance / changes.len() as f64).sqrt());
    Ok(Difference {
        by,
        interval: error.and_then(|it| interval(by, it, changes.len() as f64 - 1.0)),
    })
}

fn interval(by: f64, error: f64, degrees: f64) -> Result<Interval, Undefined> {
    let spread = StudentsT::new(0.0, 1.0, degrees).map_err(|_| Undefined::SameMark)?;
    let half = spread.inverse_cdf(0.975) * error;
    Ok(Interval { low: by - half, high: by + half })
}
