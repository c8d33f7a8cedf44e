//! Choosing what a practice sheet holds.

use std::collections::BTreeSet;
use std::sync::Arc;

use castmark::bank::{Bank, Objective, Template};
use castmark::draw::{Seed, Stream};
use castmark::problem::Problem;

use super::outcome::Failure;

/// How often a problem that is on the sheet already is drawn again. A template with few draws may
/// run out of new ones; then one comes twice.
const TRIES_FOR_ANOTHER: u32 = 50;

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
    let seed = Seed::derive(b"castmark practice", "castmark sheet 1", &[&seed.to_string()]);
    let templates = templates(bank, wish, &mut Stream::new(&seed))?;
    let mut numbers = Stream::numbered(&seed, 1);
    let mut seen = BTreeSet::new();
    let mut problems = Vec::with_capacity(templates.len());
    for template in &templates {
        let mut draw = || Problem::draw(bank, template, numbers.word()).map_err(Failure::unusable);
        let mut problem = draw()?;
        for _ in 0..TRIES_FOR_ANOTHER {
            if !seen.contains(&(template.id.as_str(), problem.draw.place)) {
                break;
            }
            problem = draw()?;
        }
        seen.insert((template.id.as_str(), problem.draw.place));
        problems.push(problem);
    }
    Ok(problems)
}

/// The templates of a sheet: each objective in turn, and within an objective none twice before all
/// were taken.
fn templates(bank: &Bank, wish: &Wish, stream: &mut Stream) -> Result<Vec<Arc<Template>>, Failure> {
    if let Some(id) = &wish.template {
        let template = super::banks::template(bank, id)?;
        return Ok(vec![Arc::clone(template); wish.count.unwrap_or(1)]);
    }
    let mut decks: Vec<Vec<&Arc<Template>>> = Objective::ALL
        .into_iter()
        .filter(|objective| wish.objective.is_none_or(|wanted| wanted == *objective))
        .map(|objective| {
            let fits = |template: &&Arc<Template>| {
                template.objective == objective
                    && wish.level.is_none_or(|level| level == template.level)
            };
            bank.templates().iter().filter(fits).collect()
        })
        .filter(|deck: &Vec<_>| !deck.is_empty())
        .collect();
    if decks.is_empty() {
        return Err(nothing(bank, wish));
    }
    for deck in &mut decks {
        stream.shuffle(deck);
    }
    let count = wish.count.unwrap_or(decks.len());
    let mut chosen: Vec<Arc<Template>> = (0..count)
        .filter_map(|n| {
            let deck = decks.get(n % decks.len())?;
            deck.get(n / decks.len() % deck.len()).map(|template| Arc::clone(template))
        })
        .collect();
    chosen.sort_by_key(|template| template.objective);
    Ok(chosen)
}

/// That the bank has nothing of the kind, and what it has.
fn nothing(bank: &Bank, wish: &Wish) -> Failure {
    let fits = |template: &&Arc<Template>| {
        wish.objective.is_none_or(|objective| objective == template.objective)
    };
    let levels: BTreeSet<u8> =
        bank.templates().iter().filter(fits).map(|template| template.level).collect();
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
