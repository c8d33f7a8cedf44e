//! One candidate's paper.

use std::sync::Arc;

use crate::bank::{Bank, Blueprint, Template};
use crate::draw::{Seed, Space, Stream};
use crate::problem::{DrawProblem, Problem};

use super::check::check;
use super::{Candidate, PaperCode, PaperProblem};

/// Everything from which a paper is made again, without the secret.
///
/// Whoever has this and the bank has the answers.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Paper {
    /// Whose it is.
    pub candidate: Candidate,
    /// Its number under the secret, from 0, which decides its problems and its code. No two papers of
    /// a blueprint under one secret have the same.
    pub number: u64,
    /// The code printed on it.
    pub code: PaperCode,
    /// From which words and wordings are chosen.
    pub presentation: Seed,
    /// The questions in the order in which they are printed.
    pub questions: Vec<PaperQuestion>,
}

/// A question of a paper.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PaperQuestion {
    /// Which of the questions of the blueprint, from 0.
    pub planned: usize,
    /// Which problem of its template.
    pub place: u128,
    /// The first eight bytes of a hash of the problem, to see whether it comes out the same again.
    pub check: u64,
}

impl Paper {
    /// The problems in the order in which they are printed.
    ///
    /// # Errors
    /// When one cannot be drawn, or is another than when the paper was made; `made_by` is the version
    /// of the program that made it.
    pub fn problems(
        &self,
        bank: &Bank,
        blueprint: &Blueprint,
        made_by: &str,
    ) -> Result<Vec<Problem>, PaperProblem> {
        let mut problems = Vec::with_capacity(self.questions.len());
        for (index, question) in self.questions.iter().enumerate() {
            let different = |template: &str| PaperProblem::Different {
                candidate: self.candidate.number.clone(),
                question: index + 1,
                template: template.to_owned(),
                made_by: made_by.to_owned(),
            };
            let Some(planned) = blueprint.questions.get(question.planned) else {
                return Err(different("none"));
            };
            let template = &planned.template;
            match drawn(bank, template, &self.presentation, *question)? {
                Some(problem) if check(&problem) == question.check => problems.push(problem),
                _ => return Err(different(&template.id)),
            }
        }
        Ok(problems)
    }

    /// Notes what the problems come out as, for comparing later.
    pub(super) fn seal(&mut self, bank: &Bank, blueprint: &Blueprint) -> Result<(), PaperProblem> {
        for question in &mut self.questions {
            let template = &blueprint.questions[question.planned].template;
            if let Some(problem) = drawn(bank, template, &self.presentation, *question)? {
                question.check = check(&problem);
            }
        }
        Ok(())
    }
}

/// The problem of a question; nothing when its place gives no fair one.
fn drawn(
    bank: &Bank,
    template: &Arc<Template>,
    presentation: &Seed,
    question: PaperQuestion,
) -> Result<Option<Problem>, DrawProblem> {
    let space = Space::of(template).ok_or_else(|| DrawProblem::TooLarge(template.id.clone()))?;
    // Stream 0 is for the order of the questions.
    let mut presentation = Stream::numbered(presentation, question.planned as u64 + 1);
    match Problem::solved(template, &space, question.place, &mut presentation) {
        Ok(solved) => solved.problem(bank, template).map(Some),
        Err(_) => Ok(None),
    }
}
