//! Statistics of one item.

use super::{Interval, Scores, Statistic, Undefined, moments, reliability};

/// What the class shows about one item.
#[derive(Clone, Debug, PartialEq)]
pub struct Item {
    /// The item's name.
    pub name: String,
    /// The maximum mark.
    pub maximum: f64,
    /// The mean mark over the maximum: the share that got it, for items marked right or wrong.
    pub facility: Statistic,
    /// The standard error of the facility, from the sample variance of the marks.
    pub facility_error: Statistic,
    /// Mean mark of the upper group less that of the lower group, over the maximum.
    pub upper_lower: Statistic,
    /// Correlation of the item with the total of the other items.
    pub item_rest: Statistic,
    /// The 95 % interval of that correlation.
    pub item_rest_interval: Result<Interval, Undefined>,
    /// Alpha of the other items.
    pub alpha_without: Statistic,
}

/// The statistics of every item; `share` is the share of the class in the upper and in the lower
/// group, 0.27 by an old convention (Kelley 1939).
pub fn items(scores: &Scores, share: f64) -> Vec<Item> {
    let (upper, lower) = scores.groups(share);
    (0..scores.names().len()).map(|index| item(scores, index, &upper, &lower)).collect()
}

fn item(scores: &Scores, index: usize, upper: &[usize], lower: &[usize]) -> Item {
    let marks = scores.column(index);
    let maximum = scores.maxima()[index];
    let item_rest = if scores.names().len() < 2 {
        Err(Undefined::FewItems)
    } else {
        moments::correlation(&marks, &scores.rest(index))
    };
    let group_sum = |rows: &[usize]| rows.iter().map(|row| marks[*row]).sum::<f64>();
    let upper_lower = if marks.is_empty() {
        Err(Undefined::NoCandidates)
    } else if upper.iter().any(|row| lower.contains(row)) {
        Err(Undefined::GroupsOverlap)
    } else {
        Ok((group_sum(upper) - group_sum(lower)) / (upper.len() as f64 * maximum))
    };
    Item {
        name: scores.names()[index].clone(),
        maximum,
        facility: moments::mean(&marks).map(|mean| mean / maximum),
        facility_error: moments::sample_variance(&marks)
            .map(|variance| (variance / marks.len() as f64).sqrt() / maximum),
        upper_lower,
        item_rest,
        item_rest_interval: item_rest.and_then(|r| moments::correlation_interval(r, marks.len())),
        alpha_without: reliability::alpha(&columns_without(scores, index)),
    }
}

fn columns_without(scores: &Scores, index: usize) -> Vec<Vec<f64>> {
    (0..scores.names().len())
        .filter(|column| *column != index)
        .map(|column| scores.column(column))
        .collect()
}
