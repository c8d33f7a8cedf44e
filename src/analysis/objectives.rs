//! How the class did by objective and topic.

use std::collections::BTreeMap;

use super::{Class, Statistic, Undefined, moments};

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
    let mut kept: BTreeMap<(&str, Option<&str>), Kept> = BTreeMap::new();
    for item in &class.items {
        let Some(first) = item.first() else { continue };
        let topic = Some(first.topic.as_str()).filter(|topic| !topic.is_empty());
        for topic in std::iter::once(None).chain(topic.map(Some)) {
            let row = kept.entry((&first.objective, topic)).or_default();
            row.items += 1;
            for (candidate, line) in item.set() {
                if let Some(marks) = line.marks {
                    let had = row.had.entry(candidate).or_default();
                    had.0 += marks;
                    had.1 += line.of;
                }
            }
        }
    }
    let overlap = upper.iter().any(|row| is_in(lower, *row));

    let among = |kept: &Kept, belongs: &dyn Fn(&usize) -> bool| {
        if overlap {
            return Err(Undefined::GroupsOverlap);
        }
        let of_group = kept.had.iter().filter(|(row, _)| belongs(row));
        moments::mean(&of_group.map(|(_, (marks, of))| marks / of).collect::<Vec<f64>>())
    };
    let rows = kept.into_iter().map(|((objective, topic), kept)| {
        let shares: Vec<f64> = kept.had.values().map(|(marks, of)| marks / of).collect();
        ObjectiveRow {
            objective: objective.to_owned(),
            topic: topic.map(str::to_owned),
            items: kept.items,
            by_group: [
                among(&kept, &|row| is_in(upper, *row)),
                among(&kept, &|row| !is_in(upper, *row) && !is_in(lower, *row)),
                among(&kept, &|row| is_in(lower, *row)),
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

/// What has been added up for one row.
#[derive(Default)]
struct Kept {
    items: usize,
    /// Marks and the marks that could be had, by candidate.
    had: BTreeMap<usize, (f64, f64)>,
}
