//! Mistakes that cost marks once: in a question, or in a paper.

use crate::problem::{Problem, Response};

use super::entry::{Item, Marked};
use super::number::{Fault, accepted_by, marks_of, standing};
use super::{Counts, Reason, Settings};

/// What has cost marks already.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Counting {
    paper: Seen,
}

/// The kinds of mistakes that have cost marks.
#[derive(Clone, Copy, Debug, Default)]
struct Seen {
    unit: bool,
    rounding: bool,
}

impl Counting {
    /// Gives back the marks for what has cost some already, and takes note of what does now.
    pub(super) fn count(&mut self, problem: &Problem, marked: &mut Marked, settings: &Settings) {
        let mut question = Seen::default();
        for entry in &mut marked.entries {
            let Item::Part(part) = entry.item else { continue };
            let Some(Response::Number(key)) = problem.parts.get(part).map(|part| &part.response)
            else {
                continue;
            };
            let verdict = &mut entry.verdict;
            let is_settled = |reason: &Reason| {
                matches!(
                    reason,
                    Reason::Follows | Reason::FollowsWorking | Reason::WorkingWrong { .. }
                )
            };
            if verdict.marks == verdict.of || verdict.reasons.iter().any(is_settled) {
                continue;
            }
            let marks = |forgiven: &[Fault]| {
                marks_of(&verdict.reasons, verdict.of, key.method_marks, settings, forgiven)
            };
            let mut forgiven: Vec<Fault> = Vec::new();
            for fault in Fault::ALL {
                let without: Vec<Fault> = forgiven.iter().copied().chain([fault]).collect();
                if marks(&without) == marks(&forgiven) {
                    continue;
                }
                let seen = match settings.counts(fault) {
                    Counts::Question => question.contains(fault),
                    Counts::Paper => self.paper.contains(fault),
                    Counts::Never | Counts::Always => false,
                };
                if seen {
                    forgiven.push(fault);
                } else {
                    question.note(fault);
                    self.paper.note(fault);
                }
            }
            if forgiven.is_empty() {
                continue;
            }
            verdict.marks = marks(&forgiven);
            let accepted = accepted_by(&verdict.reasons);
            verdict.standing = standing(accepted, verdict.marks, verdict.of);
            for fault in forgiven {
                let reason = match settings.counts(fault) {
                    Counts::Paper => Reason::CountedInPaper(fault),
                    _ => Reason::CountedInQuestion(fault),
                };
                verdict.reasons.push(reason);
            }
        }
    }
}

impl Seen {
    fn contains(self, fault: Fault) -> bool {
        match fault {
            Fault::Unit => self.unit,
            Fault::Rounding => self.rounding,
        }
    }

    fn note(&mut self, fault: Fault) {
        match fault {
            Fault::Unit => self.unit = true,
            Fault::Rounding => self.rounding = true,
        }
    }
}
