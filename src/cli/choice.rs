//! Choosing what a practice sheet holds.

use std::collections::BTreeSet;

use castmark::bank::{Bank, Objective};
use castmark::problem::{Problem, Selection, SelectionProblem};

use super::outcome::Failure;

/// What a sheet should hold.
#[derive(Clone, Debug, Default)]
pub(super) struct Wish {
    /// Only this template.
    pub template: Option<String>,
    /// Only templates of this objective.
    pub objective: Option<Objective>,
    /// Only templates of this level.
    pub level: Option<u8>,
    /// How many problems; otherwise one, or one of each objective when none is named.
    pub count: Option<usize>,
}

/// Draws the problems of a sheet, in the order of the objectives. The same seed gives the same
/// sheet.
///
/// # Errors
/// When the bank has nothing of the kind, or a template has no fair problem.
pub(super) fn draw(bank: &Bank, wish: &Wish, seed: u64) -> Result<Vec<Problem>, Failure> {
    if let Some(id) = &wish.template {
        super::banks::template(bank, id)?;
    }
    let selection = Selection {
        templates: wish.template.iter().cloned().collect(),
        objectives: wish.objective.into_iter().collect(),
        level: wish.level,
        count: wish.count,
        ..Selection::default()
    };
    selection.draw(bank, seed).map_err(|problem| match problem {
        SelectionProblem::Nothing => nothing(wish, &BTreeSet::new()),
        SelectionProblem::NoneAtLevel(levels) => nothing(wish, &levels),
        SelectionProblem::Draw(problem) => Failure::unusable(problem),
    })
}

/// That the bank has nothing of the kind, and at which levels it has something.
fn nothing(wish: &Wish, levels: &BTreeSet<u8>) -> Failure {
    let of = wish.objective.map(|objective| format!(" of `{objective}`")).unwrap_or_default();
    if levels.is_empty() {
        return Failure::unusable(format!(
            "the bank has no templates{of}; `castmark bank list` shows what it has"
        ));
    }
    let levels: Vec<String> = levels.iter().map(ToString::to_string).collect();
    Failure::unusable(format!(
        "the bank has no templates{of} at level {}; it has some at level {}",
        wish.level.unwrap_or_default(),
        levels.join(", ")
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ids(wish: &Wish, seed: u64) -> Vec<String> {
        let bank = Bank::bundled().unwrap();
        let problems = draw(&bank, wish, seed).unwrap();
        problems.iter().map(|problem| problem.template.id.clone()).collect()
    }

    #[track_caller]
    fn check_refused(wish: &Wish, expected: &str) {
        let bank = Bank::bundled().unwrap();
        let Failure::Unusable(text) = draw(&bank, wish, 1).unwrap_err() else { panic!() };
        assert_eq!(text, expected);
    }

    #[test]
    fn without_a_wish_there_is_one_of_each_objective_in_teaching_order() {
        let bank = Bank::bundled().unwrap();
        let problems = draw(&bank, &Wish::default(), 5).unwrap();
        let objectives: Vec<Objective> =
            problems.iter().map(|problem| problem.template.objective).collect();
        let all: Vec<Objective> = Objective::ALL
            .into_iter()
            .filter(|each| bank.templates().iter().any(|template| template.objective == *each))
            .collect();
        assert_eq!(objectives, all);
    }

    #[test]
    fn no_template_comes_twice_before_all_were_taken() {
        let wish =
            Wish { objective: Some(Objective::Calibration), count: Some(8), ..Wish::default() };
        let chosen = ids(&wish, 3);
        let different: BTreeSet<&String> = chosen.iter().collect();
        assert_eq!(different.len(), chosen.len());
    }

    #[test]
    fn the_same_seed_gives_the_same_sheet_and_another_seed_another() {
        let codes = |seed: u64| -> Vec<String> {
            let bank = Bank::bundled().unwrap();
            let problems = draw(&bank, &Wish::default(), seed).unwrap();
            problems.iter().map(|problem| problem.code.as_ref().unwrap().to_string()).collect()
        };
        assert_eq!(codes(7), codes(7));
        assert_ne!(codes(7), codes(8));
    }

    #[test]
    fn refuses_what_the_bank_does_not_have() {
        check_refused(
            &Wish { level: Some(9), ..Wish::default() },
            "the bank has no templates at level 9; it has some at level 1, 2, 3",
        );
    }
}
