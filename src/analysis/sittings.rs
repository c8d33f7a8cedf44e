//! A class beside other sittings of the examination, or its resit.

use std::collections::BTreeMap;

use super::passing::{Total, totals};
use super::{
    Class, Difference, GroupRow, Marks, MarksProblem, Statistic, change, difference, templates,
};

/// Another marked class to compare with.
#[derive(Clone, Debug)]
pub struct OtherSitting {
    /// What it is called.
    pub name: String,
    /// Its marks.
    pub marks: Marks,
}

/// A class beside others.
#[derive(Clone, Debug, PartialEq)]
pub struct Sittings {
    /// A row for each, this class first.
    pub rows: Vec<GroupRow>,
    /// How much better this class did than each of the others, in shares of the marks.
    pub differences: Vec<Option<Difference>>,
    /// The templates that any of the others was set too, in the order of this class, each with its
    /// title and the facility of whole questions in each sitting; nothing where it was not set.
    pub templates: Vec<(String, Vec<Option<Statistic>>)>,
    /// For each of the others, those who sat both.
    pub both: Vec<Both>,
}

/// Candidates who sat twice.
#[derive(Clone, Debug, PartialEq)]
pub struct Both {
    /// What the other sitting is called.
    pub name: String,
    /// Each with the share of the marks here and there.
    pub candidates: Vec<(String, f64, f64)>,
    /// The mean change from here to there.
    pub change: Option<Difference>,
}

impl Sittings {
    /// This class beside the others.
    ///
    /// # Errors
    /// Items of one of them that are not worth the same for all, with its name.
    pub fn of(
        name: &str,
        marks: &Marks,
        others: &[OtherSitting],
    ) -> Result<Self, (String, Vec<MarksProblem>)> {
        let mut all = vec![Summary::of(name, marks)?];
        for other in others {
            all.push(Summary::of(&other.name, &other.marks)?);
        }
        let (here, there) = (&all[0], &all[1..]);
        let shares =
            |sitting: &Summary| sitting.totals.iter().map(Total::share).collect::<Vec<f64>>();
        let shared = here.templates.iter().filter(|(template, _, _)| {
            there.iter().any(|other| other.facility(template).is_some())
        });
        let both = there.iter().map(|other| {
            let theirs: BTreeMap<&str, f64> =
                other.totals.iter().map(|it| (it.candidate.as_str(), it.share())).collect();
            let candidates: Vec<(String, f64, f64)> = here
                .totals
                .iter()
                .filter_map(|it| {
                    let after = theirs.get(it.candidate.as_str())?;
                    Some((it.candidate.clone(), it.share(), *after))
                })
                .collect();
            let pairs: Vec<(f64, f64)> =
                candidates.iter().map(|(_, before, after)| (*before, *after)).collect();
            Both { name: other.row.name.clone(), change: change(&pairs).ok(), candidates }
        });
        Ok(Self {
            rows: all.iter().map(|sitting| sitting.row.clone()).collect(),
            differences: there
                .iter()
                .map(|other| difference(&shares(here), &shares(other)).ok())
                .collect(),
            templates: shared
                .map(|(template, title, _)| {
                    (title.clone(), all.iter().map(|sitting| sitting.facility(template)).collect())
                })
                .collect(),
            both: both.filter(|both| !both.candidates.is_empty()).collect(),
        })
    }
}

/// What is compared of a class.
struct Summary {
    row: GroupRow,
    totals: Vec<Total>,
    /// The templates with their titles.
    templates: Vec<(String, String, Statistic)>,
}

impl Summary {
    fn of(name: &str, marks: &Marks) -> Result<Self, (String, Vec<MarksProblem>)> {
        let class = Class::of(marks).map_err(|problems| (name.to_owned(), problems))?;
        let totals = totals(&class);
        let row = GroupRow::of(name, &totals.iter().collect::<Vec<_>>(), &marks.head.grading);
        let rows = templates(&class, None).into_iter();
        let templates = rows.map(|row| (row.template, row.title, row.facility)).collect();
        Ok(Self { row, totals, templates })
    }

    fn facility(&self, template: &str) -> Option<Statistic> {
        self.templates.iter().find(|(known, _, _)| known == template).map(|(_, _, it)| *it)
    }
}
