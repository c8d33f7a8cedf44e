//! Who passed, and who was near the pass mark.

use crate::bank::{Grading, Threshold};

use super::{Class, Statistic};

/// The total of a candidate.
#[derive(Clone, Debug, PartialEq)]
pub struct Total {
    /// The candidate.
    pub candidate: String,
    /// The group of the candidate.
    pub group: Option<String>,
    /// The marks.
    pub marks: f64,
    /// The marks that could be had.
    pub of: f64,
}

/// How the class stands to the pass mark and the grades.
#[derive(Clone, Debug, PartialEq)]
pub struct Passing {
    /// The pass mark, in words.
    pub pass: Option<String>,
    /// How many passed; nothing without a pass mark.
    pub passed: Option<usize>,
    /// How many have a final total.
    pub candidates: usize,
    /// Those whose total lies within one standard error of measurement of the pass mark, the lowest
    /// first.
    pub near: Vec<Near>,
    /// How many have each grade, the highest first; then those below the lowest.
    pub grades: Vec<(String, usize)>,
}

/// A candidate near the pass mark.
#[derive(Clone, Debug, PartialEq)]
pub struct Near {
    /// The candidate.
    pub candidate: String,
    /// The marks.
    pub marks: f64,
    /// The marks that could be had.
    pub of: f64,
    /// Whether it is a pass.
    pub passed: bool,
}

/// The totals of those who have no answer waiting to be marked.
pub fn totals(class: &Class<'_>) -> Vec<Total> {
    let rows = class.candidates.iter().zip(class.groups.iter().copied()).enumerate();
    let total = |(row, (candidate, group)): (usize, (&&str, Option<&str>))| {
        let lines: Vec<_> = class.items.iter().filter_map(|item| item.line(row)).collect();
        let marks: Option<f64> = lines.iter().map(|line| line.marks()).sum();
        Some(Total {
            candidate: (*candidate).to_owned(),
            group: group.map(str::to_owned),
            marks: marks?,
            of: lines.iter().map(|line| line.of()).sum(),
        })
    };
    rows.filter_map(total).collect()
}

impl Total {
    /// The share of the marks.
    pub fn share(&self) -> f64 {
        self.marks / self.of
    }

    /// Whether the total reaches a boundary.
    pub fn reaches(&self, threshold: Threshold) -> bool {
        self.marks >= needed(threshold, self.of)
    }
}

impl Passing {
    /// How these totals stand; `error` is the standard error of measurement.
    pub fn of(totals: &[Total], grading: &Grading, error: Statistic) -> Self {
        let near = |total: &&Total| {
            let pass = grading.pass.map(|pass| needed(pass, total.of));
            pass.zip(error.ok()).is_some_and(|(pass, error)| (total.marks - pass).abs() <= error)
        };
        let passes = |total: &Total| grading.pass.is_some_and(|pass| total.reaches(pass));
        let mut near: Vec<Near> = totals
            .iter()
            .filter(near)
            .map(|total| Near {
                candidate: total.candidate.clone(),
                marks: total.marks,
                of: total.of,
                passed: passes(total),
            })
            .collect();
        near.sort_by(|a, b| {
            a.marks.total_cmp(&b.marks).then_with(|| a.candidate.cmp(&b.candidate))
        });
        let mut grades: Vec<(String, usize)> =
            grading.grades.iter().map(|grade| (grade.grade.clone(), 0)).collect();
        let mut below = 0;
        for total in totals {
            match grading.grades.iter().position(|grade| total.reaches(grade.from)) {
                Some(index) => grades[index].1 += 1,
                None => below += 1,
            }
        }
        if !grades.is_empty() {
            grades.push(("none".to_owned(), below));
        }
        Self {
            pass: grading.pass.map(|pass| pass.to_string()),
            passed: grading.pass.map(|_| totals.iter().filter(|total| passes(total)).count()),
            candidates: totals.len(),
            near,
            grades,
        }
    }
}

/// The marks that a boundary asks for.
fn needed(threshold: Threshold, of: f64) -> f64 {
    let number: f64 = threshold.number().to_string().parse().unwrap_or(f64::INFINITY);
    // Marks are halves and boundaries have two places, so that this is beyond what rounding can do.
    let needed = if threshold.is_per_cent() { number * of / 100.0 } else { number };
    needed - 1e-9
}
