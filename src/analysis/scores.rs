//! The table of scores.

use std::fmt;

/// Marks by candidate and item: every row a candidate, every column an item.
///
/// A blank counts as no marks. An item a candidate was never set is not in the table: classes with
/// unlike papers are analysed on the columns they share.
#[derive(Clone, Debug, PartialEq)]
pub struct Scores {
    names: Vec<String>,
    maxima: Vec<f64>,
    rows: Vec<Vec<f64>>,
}

/// Why marks make no table.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ScoresProblem {
    /// A row has not one mark an item.
    Ragged {
        /// The row, from 1.
        row: usize,
        /// Marks found.
        found: usize,
        /// Items.
        expected: usize,
    },
    /// A mark is below zero, above the item's maximum or no number.
    OutOfRange {
        /// The row, from 1.
        row: usize,
        /// The item's name.
        item: String,
    },
}

impl fmt::Display for ScoresProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Ragged { row, found, expected } => {
                write!(f, "row {row}: expected {expected} marks, found {found}; give one an item")
            }
            Self::OutOfRange { row, item } => write!(
                f,
                "row {row}, item `{item}`: expected a mark from zero to the item's maximum; correct it"
            ),
        }
    }
}

impl std::error::Error for ScoresProblem {}

impl Scores {
    /// A table of marks with the items' names and maximum marks.
    ///
    /// # Errors
    /// All rows that are too short or long, and all marks out of range.
    pub fn new(items: Vec<(String, f64)>, rows: Vec<Vec<f64>>) -> Result<Self, Vec<ScoresProblem>> {
        let (names, maxima): (Vec<_>, Vec<_>) = items.into_iter().unzip();
        let mut problems = Vec::new();
        for (index, row) in rows.iter().enumerate() {
            if row.len() != names.len() {
                let (found, expected) = (row.len(), names.len());
                problems.push(ScoresProblem::Ragged { row: index + 1, found, expected });
                continue;
            }
            for ((mark, maximum), name) in row.iter().zip(&maxima).zip(&names) {
                if !(0.0..=*maximum).contains(mark) {
                    problems.push(ScoresProblem::OutOfRange { row: index + 1, item: name.clone() });
                }
            }
        }
        if problems.is_empty() { Ok(Self { names, maxima, rows }) } else { Err(problems) }
    }

    /// A table without candidates and items.
    pub(super) fn none() -> Self {
        Self { names: Vec::new(), maxima: Vec::new(), rows: Vec::new() }
    }

    /// How many candidates there are.
    pub fn candidates(&self) -> usize {
        self.rows.len()
    }

    /// The names of the items.
    pub fn names(&self) -> &[String] {
        &self.names
    }

    /// The maximum marks of the items.
    pub fn maxima(&self) -> &[f64] {
        &self.maxima
    }

    /// The marks of one item, by candidate.
    pub fn column(&self, item: usize) -> Vec<f64> {
        self.rows.iter().filter_map(|row| row.get(item).copied()).collect()
    }

    /// The totals, by candidate.
    pub fn totals(&self) -> Vec<f64> {
        self.rows.iter().map(|row| row.iter().sum()).collect()
    }

    /// The totals without one item, by candidate.
    pub fn rest(&self, item: usize) -> Vec<f64> {
        self.totals().iter().zip(self.column(item)).map(|(total, mark)| total - mark).collect()
    }

    /// Whether every item is worth one mark and given whole or not at all.
    pub fn is_right_or_wrong(&self) -> bool {
        let whole = |mark: &f64| *mark <= 0.0 || *mark >= 1.0;
        self.maxima.iter().all(|maximum| (*maximum - 1.0).abs() < f64::EPSILON)
            && self.rows.iter().flatten().all(whole)
    }

    /// The candidates of the upper and of the lower group, as row numbers.
    ///
    /// Each group is the given share of the class, rounded, and at least one. Candidates are
    /// ranked by total; ties keep the order of the table.
    pub fn groups(&self, share: f64) -> (Vec<usize>, Vec<usize>) {
        let totals = self.totals();
        let mut ranked: Vec<usize> = (0..totals.len()).collect();
        ranked.sort_by(|a, b| totals[*b].total_cmp(&totals[*a]));
        let wanted = (share * totals.len() as f64).round();
        let size = (0..=totals.len() / 2).rev().find(|n| *n as f64 <= wanted).unwrap_or(0);
        let size = size.max(1).min(ranked.len());
        let lower = ranked[ranked.len() - size..].to_vec();
        ranked.truncate(size);
        (ranked, lower)
    }
}
