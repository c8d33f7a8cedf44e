//! What is handed in for marking, and what comes back.

use crate::bank::{PartPlan, Template};

use super::Verdict;

/// What an answer belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Item {
    /// A step of the working, by its index, written down on the way.
    Step(usize),
    /// A part of the problem, by its index.
    Part(usize),
}

impl Item {
    /// The step of that name or label; the part that asks for it, where one does.
    pub fn of_step(template: &Template, name: &str) -> Option<Self> {
        let plainly = |name: &str| name.to_lowercase().replace('_', " ");
        let step = template.working.iter().position(|step| {
            template.names.get(step.slot).is_some_and(|known| {
                known.name == name
                    || plainly(&known.name) == plainly(name)
                    || plainly(&known.label) == plainly(name)
            })
        })?;
        let slot = template.working.get(step)?.slot;
        let asks = |part: &PartPlan| part.wanted.number().is_some_and(|plan| plan.slot == slot);
        Some(template.parts.iter().position(asks).map_or(Self::Step(step), Self::Part))
    }
}

/// One answer of a candidate.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Entry<'a> {
    /// What it belongs to.
    pub item: Item,
    /// What was written.
    pub answer: &'a str,
}

/// One answer, marked.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MarkedEntry {
    /// What it belongs to.
    pub item: Item,
    /// What was written.
    pub answer: String,
    /// The marks and why.
    pub verdict: Verdict,
}

/// The answers to one problem, marked together: in the order of the parts, each part after the steps
/// that lead to it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Marked {
    /// The answers.
    pub entries: Vec<MarkedEntry>,
}

impl Marked {
    /// The marks they have.
    pub fn marks(&self) -> u32 {
        self.entries.iter().map(|entry| entry.verdict.award.marks).sum()
    }

    /// The marks they could have.
    pub fn of(&self) -> u32 {
        self.entries.iter().map(|entry| entry.verdict.award.of).sum()
    }
}
