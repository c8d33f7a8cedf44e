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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bank::Bank;
    use crate::draw::Code;
    use crate::marking::{Entry, Settings, mark_problem};

    /// The melt is worked out for the drug, part (a), and needed again for (b) and (c); the pessary is
    /// worked out for (c) alone.
    #[test]
    fn a_step_stands_once_with_the_first_part_that_needs_it() {
        let bank = Bank::bundled().unwrap();
        let code = Code::new("one-melt-three-products", 1);
        let problem = Problem::from_code(&bank, &code).unwrap();
        let working = &problem.template.working;
        let names = |step: usize| problem.template.names[working[step].slot].name.as_str();
        let asked = ["drug_mass", "base", "pessary_dose"];
        let entries: Vec<Entry<'_>> = (0..working.len())
            .filter(|step| !asked.contains(&names(*step)))
            .map(|step| Entry { item: Item::Step(step), answer: "1 g" })
            .collect();
        let settings = Settings::default();
        let marked = mark_problem(&problem, &entries, &settings);
        let account = Account::of(&problem, &bank, &marked, &settings);
        let expected: [&[&str]; 3] = [&["total", "space", "melt"], &[], &["pessary"]];
        for (part, expected) in expected.into_iter().enumerate() {
            let steps = StepMarks::of_part(&problem, part, &account);
            let ids: Vec<&str> = steps.iter().map(|step| step.id.as_str()).collect();
            assert_eq!(ids, expected, "part {part}");
        }
    }
}
