//! Sharing draws out among the verdicts of a template, so that guessing the usual one earns little.

use crate::bank::{Template, VerdictPlan};
use crate::draw::Stream;
use crate::formula::Slot;

/// The verdicts among which the draws of a template are shared out: those of its first part that
/// asks for one.
///
/// Which verdict a problem has is chosen before its values, each as often as the others; then values
/// are drawn until they lead to it. The space of draws is the same as without.
#[derive(Clone, Copy, Debug)]
pub struct Balance<'a> {
    part: usize,
    plan: &'a VerdictPlan,
}

impl<'a> Balance<'a> {
    /// The verdicts of a template; `None` when it asks for none.
    pub fn of(template: &'a Template) -> Option<Self> {
        let mut parts = template.parts.iter().enumerate();
        parts.find_map(|(part, plan)| Some(Self { part, plan: plan.wanted.verdict()? }))
    }

    /// The part that asks for the verdict.
    pub fn part(self) -> usize {
        self.part
    }

    /// How many verdicts there are.
    pub fn count(self) -> usize {
        self.plan.choices.len()
    }

    /// The index of the verdict of the next problem.
    pub fn next(self, numbers: &mut Stream) -> usize {
        numbers.index(self.count())
    }

    /// The index of the verdict that solved values lead to; `None` when they lead to none.
    pub fn verdict(self, slots: &[Slot]) -> Option<usize> {
        self.plan.decide(slots).ok().flatten()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bank::Bank;

    #[test]
    fn verdicts_are_those_of_the_first_part_that_asks_for_one() {
        let bank = Bank::bundled().unwrap();
        let balance = Balance::of(bank.find("mould-choice").unwrap()).unwrap();
        assert_eq!((balance.part(), balance.count()), (2, 3));
        assert!(Balance::of(bank.find("base-one-drug").unwrap()).is_none());
    }
}
