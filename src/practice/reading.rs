//! What practice needs to know of a verdict of marking; the only place here that reads one.

use crate::bank::Bank;
use crate::marking::{Reason, Standing, Verdict, explain, mark_together};
use crate::problem::{Problem, Response, letter};

/// How an answer is, as far as practice is concerned.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Outcome {
    /// It earns all marks.
    Correct,
    /// It earns some of them.
    PartlyCorrect,
    /// It earns none.
    NotCorrect,
    /// It could not be read, so it counts as not given.
    NotRead,
    /// A person has to decide: the student, in practice.
    ForAPerson,
}

/// An answer that was marked.
#[derive(Clone, Debug)]
pub struct Marked {
    /// How it is.
    pub outcome: Outcome,
    /// The marks it earns.
    pub marks: u32,
    /// The marks it could earn.
    pub of: u32,
    /// The slips that fit it, as indices into the slips of the template.
    pub slips: Vec<usize>,
    /// The options that were chosen and are wrong, by place.
    pub wrong_options: Vec<usize>,
    verdict: Option<Verdict>,
}

impl Marked {
    /// Marks the last of the answers, each with the part it belongs to, with those before it.
    pub(super) fn mark(problem: &Problem, answers: &[(usize, &str)]) -> Self {
        let part = answers.last().map_or(usize::MAX, |(part, _)| *part);
        let verdicts = mark_together(problem, answers);
        let verdict = verdicts.into_iter().find(|(other, _)| *other == part);
        verdict.map_or_else(Self::nothing, |(_, verdict)| Self::of(verdict, problem, part))
    }

    /// What follows from so many points that the student found in an answer.
    pub(super) fn by_points(points: u32, of: u32) -> Self {
        let outcome = match points {
            0 => Outcome::NotCorrect,
            made if made >= of => Outcome::Correct,
            _ => Outcome::PartlyCorrect,
        };
        Self { outcome, marks: points.min(of), of, ..Self::nothing() }
    }

    fn nothing() -> Self {
        Self {
            outcome: Outcome::NotRead,
            marks: 0,
            of: 0,
            slips: Vec::new(),
            wrong_options: Vec::new(),
            verdict: None,
        }
    }

    fn of(verdict: Verdict, problem: &Problem, part: usize) -> Self {
        let outcome = match verdict.standing {
            Standing::Right => Outcome::Correct,
            Standing::Partly => Outcome::PartlyCorrect,
            Standing::Wrong => Outcome::NotCorrect,
            Standing::Unread => Outcome::NotRead,
            Standing::ByHand => Outcome::ForAPerson,
        };
        let options = match problem.parts.get(part).map(|part| &part.response) {
            Some(Response::Choice(key)) => key.options.len(),
            _ => 0,
        };
        let (mut slips, mut wrong_options) = (Vec::new(), Vec::new());
        for reason in &verdict.reasons {
            match reason {
                Reason::Slip { slip, .. } => slips.push(*slip),
                Reason::TwoSlips { slips: both } => slips.extend(both),
                Reason::WrongOption { letter: chosen, .. } => {
                    wrong_options.extend((0..options).find(|place| letter(*place, 'A') == *chosen));
                }
                _ => {}
            }
        }
        let (marks, of) = (verdict.marks, verdict.of);
        Self { outcome, marks, of, slips, wrong_options, verdict: Some(verdict) }
    }

    /// Whether it earns all marks.
    pub fn is_correct(&self) -> bool {
        self.outcome == Outcome::Correct
    }

    /// Why, in sentences for the student.
    pub fn sentences(&self, problem: &Problem, bank: &Bank) -> Vec<String> {
        let verdict = self.verdict.as_ref();
        let explained = verdict.map(|verdict| explain(verdict, problem, bank));
        explained.into_iter().flatten().map(|one| one.text).collect()
    }
}
