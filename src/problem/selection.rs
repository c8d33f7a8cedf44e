//! Choosing what a practice sheet holds.

use std::collections::BTreeSet;
use std::fmt;
use std::sync::Arc;

use crate::bank::{Bank, Heading, Objective, Template};
use crate::draw::{Seed, Stream};

use super::{DrawProblem, Problem};

/// How often a problem that is on the sheet already is drawn again. A template with few draws may
/// run out of new ones; then one comes twice.
const TRIES_FOR_ANOTHER: u32 = 50;

/// What a practice sheet should hold. Whatever is named is taken; where nothing is, everything.
#[derive(Clone, Debug, Default)]
pub struct Selection {
    /// Templates, by id.
    pub templates: Vec<String>,
    /// Topics, by id.
    pub topics: Vec<String>,
    /// Objectives.
    pub objectives: Vec<Objective>,
    /// Only templates of this level.
    pub level: Option<u8>,
    /// How many problems; otherwise one of each template or objective that is named.
    pub count: Option<usize>,
}

/// Why a selection gives no problems.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum SelectionProblem {
    /// The bank has no template of what is named at all, or none at all.
    Nothing,
    /// The bank has none at that level; it has some at these.
    NoneAtLevel(BTreeSet<u8>),
    /// A template has no fair problem.
    Draw(DrawProblem),
}

impl fmt::Display for SelectionProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Nothing => f.write_str("there is no template of what was chosen; choose another"),
            Self::NoneAtLevel(levels) => {
                let levels: Vec<String> = levels.iter().map(ToString::to_string).collect();
                write!(f, "there are templates at level {} only; choose one", levels.join(", "))
            }
            Self::Draw(problem) => problem.fmt(f),
        }
    }
}

impl std::error::Error for SelectionProblem {}

impl From<DrawProblem> for SelectionProblem {
    fn from(problem: DrawProblem) -> Self {
        Self::Draw(problem)
    }
}

impl Selection {
    /// Draws the problems of a sheet, in the order of the objectives. The same seed gives the same
    /// sheet.
    ///
    /// # Errors
    /// When the bank has nothing of the kind, or a template has no fair problem.
    pub fn draw(&self, bank: &Bank, seed: u64) -> Result<Vec<Problem>, SelectionProblem> {
        let seed = Seed::derive(b"castmark practice", "castmark sheet 1", &[&seed.to_string()]);
        let templates = self.chosen(bank, &mut Stream::new(&seed))?;
        let mut numbers = Stream::numbered(&seed, 1);
        let mut seen = BTreeSet::new();
        let mut problems = Vec::with_capacity(templates.len());
        for template in &templates {
            let mut problem = Problem::draw(bank, template, numbers.word())?;
            for _ in 0..TRIES_FOR_ANOTHER {
                if !seen.contains(&(template.id.as_str(), problem.draw.place)) {
                    break;
                }
                problem = Problem::draw(bank, template, numbers.word())?;
            }
            seen.insert((template.id.as_str(), problem.draw.place));
            problems.push(problem);
        }
        Ok(problems)
    }

    /// The templates of a sheet: each objective in turn, and within an objective none twice before all
    /// were taken.
    fn chosen(
        &self,
        bank: &Bank,
        stream: &mut Stream,
    ) -> Result<Vec<Arc<Template>>, SelectionProblem> {
        if let ([id], [], []) =
            (self.templates.as_slice(), self.topics.as_slice(), self.objectives.as_slice())
        {
            let template = bank.find(id).ok_or(SelectionProblem::Nothing)?;
            return Ok(vec![Arc::clone(template); self.count.unwrap_or(1)]);
        }
        let mut decks: Vec<Vec<&Heading>> = Objective::ALL
            .into_iter()
            .map(|objective| {
                let fits = |template: &&Heading| {
                    template.objective == objective
                        && self.names(template)
                        && self.level.is_none_or(|level| level == template.level)
                };
                bank.headings().filter(fits).collect()
            })
            .filter(|deck: &Vec<_>| !deck.is_empty())
            .collect();
        if decks.is_empty() {
            return Err(self.nothing(bank));
        }
        for deck in &mut decks {
            stream.shuffle(deck);
        }
        let count = self.count.unwrap_or(decks.len());
        let mut chosen: Vec<Arc<Template>> = (0..count)
            .filter_map(|n| {
                let deck = decks.get(n % decks.len())?;
                let chosen = deck.get(n / decks.len() % deck.len())?;
                bank.find(&chosen.id).map(Arc::clone)
            })
            .collect();
        chosen.sort_by_key(|template| template.objective);
        Ok(chosen)
    }

    /// Whether the template is named, or nothing is.
    fn names(&self, template: &Heading) -> bool {
        let nothing =
            self.templates.is_empty() && self.topics.is_empty() && self.objectives.is_empty();
        nothing
            || self.templates.contains(&template.id)
            || self.topics.contains(&template.topic)
            || self.objectives.contains(&template.objective)
    }

    fn nothing(&self, bank: &Bank) -> SelectionProblem {
        let named = bank.headings().filter(|template| self.names(template));
        let levels: BTreeSet<u8> = named.map(|template| template.level).collect();
        if levels.is_empty() {
            SelectionProblem::Nothing
        } else {
            SelectionProblem::NoneAtLevel(levels)
        }
    }
}

/// The title of a sheet of problems for practice.
pub fn practice_title(problems: &[Problem]) -> &'static str {
    if problems.len() == 1 { "Practice problem" } else { "Practice problems" }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_named_in_any_way_is_taken_and_nothing_else() {
        let bank = Bank::bundled().unwrap();
        let selection = Selection {
            templates: vec!["base-one-drug".to_owned()],
            topics: vec!["mean-capacity".to_owned()],
            count: Some(8),
            ..Selection::default()
        };
        let problems = selection.draw(&bank, 4).unwrap();
        assert_eq!(problems.len(), 8);
        let named = |problem: &Problem| {
            let template = &problem.template;
            template.id == "base-one-drug" || template.topic == "mean-capacity"
        };
        assert!(problems.iter().all(named));
        assert!(problems.iter().any(|problem| problem.template.id == "base-one-drug"));
    }

    #[test]
    fn of_each_thing_that_is_named_another_template_comes_until_there_are_no_more() {
        let bank = Bank::bundled().unwrap();
        let objectives: Vec<_> = vec![Objective::Calibration, Objective::Displacement];
        let of = |objective: Objective| {
            bank.templates().iter().filter(|it| it.objective == objective).count()
        };
        let all = objectives.iter().map(|objective| of(*objective)).min().unwrap();
        let selection = Selection { objectives, count: Some(2 * all), ..Selection::default() };
        let problems = selection.draw(&bank, 4).unwrap();
        let mut ids: Vec<&str> = problems.iter().map(|it| it.template.id.as_str()).collect();
        ids.sort_unstable();
        ids.dedup();
        assert_eq!(ids.len(), 2 * all);
    }

    #[test]
    fn what_the_bank_does_not_have_is_refused() {
        let bank = Bank::bundled().unwrap();
        let selection =
            Selection { topics: vec!["no-such-topic".to_owned()], ..Selection::default() };
        assert_eq!(selection.draw(&bank, 1).unwrap_err(), SelectionProblem::Nothing);
        let selection = Selection { level: Some(9), ..Selection::default() };
        let levels = SelectionProblem::NoneAtLevel([1, 2, 3].into());
        assert_eq!(selection.draw(&bank, 1).unwrap_err(), levels);
    }
}
