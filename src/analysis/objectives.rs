//! How the class did by objective and topic.

use std::collections::BTreeMap;

use super::{Class, ClassItem, Statistic, Undefined, moments};

/// How the class did on one objective, or on one topic of it.
#[derive(Clone, Debug, PartialEq)]
pub struct ObjectiveRow {
    /// The objective.
    pub objective: String,
    /// The topic; `None` for the objective as a whole.
    pub topic: Option<String>,
    /// How many items belong to it.
    pub items: usize,
    /// How many candidates were set any of them.
    pub candidates: usize,
    /// The mean over candidates of their marks over the marks they could have.
    pub facility: Statistic,
    /// The standard error of that mean.
    pub error: Statistic,
    /// The facility in the upper group, between the groups, and in the lower group.
    pub by_group: [Statistic; 3],
}

/// The objectives, each followed by its topics; the groups are in order.
pub fn objectives(class: &Class<'_>, upper: &[usize], lower: &[usize]) -> Vec<ObjectiveRow> {
    let mut belonging: BTreeMap<(&str, Option<&str>), Vec<&ClassItem<'_>>> = BTreeMap::new();
    for item in &class.items {
        let Some(first) = item.first() else { continue };
        let topic = Some(first.topic()).filter(|topic| !topic.is_empty());
        for topic in std::iter::once(None).chain(topic.map(Some)) {
            belonging.entry((first.objective(), topic)).or_default().push(item);
        }
    }
    let overlap = upper.iter().any(|row| is_in(lower, *row));

    let among = |shares: &[(usize, f64)], belongs: &dyn Fn(usize) -> bool| {
        if overlap {
            return Err(Undefined::GroupsOverlap);
        }
        let of_group = shares.iter().filter(|(row, _)| belongs(*row));
        moments::mean(&of_group.map(|(_, share)| *share).collect::<Vec<f64>>())
    };
    let rows = belonging.into_iter().map(|((objective, topic), items)| {
        let by_row = shares(&items, class.candidates.len());
        let shares: Vec<f64> = by_row.iter().map(|(_, share)| *share).collect();
        ObjectiveRow {
            objective: objective.to_owned(),
            topic: topic.map(str::to_owned),
            items: items.len(),
            by_group: [
                among(&by_row, &|row| is_in(upper, row)),
                among(&by_row, &|row| !is_in(upper, row) && !is_in(lower, row)),
                among(&by_row, &|row| is_in(lower, row)),
            ],
            candidates: shares.len(),
            facility: moments::mean(&shares),
            error: moments::sample_variance(&shares)
                .map(|variance| (variance / shares.len() as f64).sqrt()),
        }
    });
    rows.collect()
}

fn is_in(group: &[usize], row: usize) -> bool {
    group.binary_search(&row).is_ok()
}

/// The share of the marks on these items of each candidate who has marks on any, with the row.
fn shares(items: &[&ClassItem<'_>], candidates: usize) -> Vec<(usize, f64)> {
    // Marks and the marks that could be had, which are more than none.
    let mut had = vec![(0.0, 0.0); candidates];
    for (row, line) in items.iter().flat_map(|item| item.set()) {
        if let Some(marks) = line.marks() {
            had[row].0 += marks;
            had[row].1 += line.of();
        }
    }
    let had = had.into_iter().enumerate().filter(|(_, (_, of))| *of > 0.0);
    had.map(|(row, (marks, of))| (row, marks / of)).collect()
}
