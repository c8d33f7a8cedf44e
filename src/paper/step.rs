//! Steps of the working that a candidate entered.

use crate::marking::{Account, AccountLine, Explanation, Item, Standing, home};
use crate::problem::Problem;

/// A step of the working that was entered.
#[derive(Clone, Debug)]
pub struct StepMarks {
    /// The name of the step in its template.
    pub id: String,
    /// The step in words: `step 2, base displaced`.
    pub label: String,
    /// What was written.
    pub answer: String,
    /// How it stands.
    pub standing: Standing,
    /// Why, in words.
    pub reasons: Vec<Explanation>,
}

impl StepMarks {
    /// The steps that were entered for a part; those that lead to none stand with the last.
    pub(super) fn of_part(problem: &Problem, part: usize, account: &Account) -> Vec<Self> {
        let last = problem.parts.len().saturating_sub(1);
        let mine = |line: &&AccountLine| {
            matches!(line.item, Item::Step(_)) && home(problem, line.item).min(last) == part
        };
        let step = |line: &AccountLine| Self {
            id: line.id.clone(),
            label: line.label.clone(),
            answer: line.answer.trim().to_owned(),
            standing: line.standing,
            reasons: line.reasons.clone(),
        };
        account.lines.iter().filter(mine).map(step).collect()
    }
}
