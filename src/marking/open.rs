//! An answer while it is being marked: what was found of it so far.

use super::award::{Situation, award};
use super::{Award, Cause, Finding, Item, MarkedEntry, Note, Understood, Verdict};

/// An answer whose award is not decided yet.
#[derive(Clone, Debug)]
pub(super) struct Open {
    /// What it belongs to.
    pub item: Item,
    /// What was written.
    pub answer: String,
    /// What was understood.
    pub understood: Understood,
    /// What can be found of it: by the true values first, then by the candidate's own. Never empty.
    pub findings: Vec<Finding>,
    /// What else is true of it.
    pub notes: Vec<Note>,
    /// The marks it could earn.
    pub of: u32,
    /// How many of them are for the method.
    pub method: u32,
}

impl Open {
    /// Whether its number is accepted, by the true values or by accepted ones of the candidate's own.
    pub(super) fn is_accepted(&self) -> bool {
        self.findings.iter().any(Finding::is_right)
    }

    /// Whether its number is right and its unit is not.
    pub(super) fn has_wrong_unit(&self) -> bool {
        let causes = || self.findings.iter().flat_map(Finding::causes);
        causes().any(|cause| matches!(cause, Cause::WrongUnit { .. }))
    }

    /// The marks that it earns at best in this situation.
    pub(super) fn marks(&self, at: &Situation<'_>) -> u32 {
        self.findings.iter().map(|one| award(one, &self.notes, at).marks).max().unwrap_or_default()
    }

    /// The verdict: by what earns the most; at equal marks an accepted number comes before one that
    /// follows, and that before what is wrong.
    pub(super) fn decide(mut self, at: &Situation<'_>) -> MarkedEntry {
        let rank = |finding: &Finding| match finding {
            Finding::Accepted(_) => 2,
            Finding::Follows(_) => 1,
            _ => 0,
        };
        let awards: Vec<Award> =
            self.findings.iter().map(|one| award(one, &self.notes, at)).collect();
        let best = (0..self.findings.len())
            .rev()
            .max_by_key(|index| (awards[*index].marks, rank(&self.findings[*index])))
            .unwrap_or_default();
        let verdict = Verdict {
            understood: self.understood,
            finding: self.findings.swap_remove(best),
            notes: self.notes,
            award: awards[best].clone(),
        };
        MarkedEntry { item: self.item, answer: self.answer, verdict }
    }
}
