//! A problem worked with slips: two at once, and the step in which they first show.

use crate::bank::Slip;
use crate::formula::Slot;

use super::key::{slip_value, working_of};
use super::paths::Paths;
use super::solve::{Rules, solve};
use super::{Problem, SlipValue};

/// The most pairs of slips that are looked into; beyond that a pair explains too many numbers.
const MOST_PAIRS: usize = 45;

/// The number that two slips made together lead to, in the unit of the part.
#[derive(Clone, Debug)]
pub struct PairValue {
    /// The slips, as indices into the slips of the template, the lower first.
    pub slips: [usize; 2],
    /// The number, under the first of them.
    pub value: SlipValue,
}

impl Problem {
    /// The numbers that two slips together lead to in a numeric part, by its index in the problem, as
    /// far as each of them changes the answer alone and both change it further.
    ///
    /// Slips with a rule for the same value cannot both be made.
    pub fn slip_pairs(&self, part: usize) -> Vec<PairValue> {
        let template = &self.template;
        let Some(plan) = template.parts.get(part).and_then(|part| part.wanted.number()) else {
            return Vec::new();
        };
        let Some(key) = self.parts.get(part).and_then(|part| part.response.number()) else {
            return Vec::new();
        };
        let wanted = [plan.slot];
        let mut paths = Paths::new(Rules::of(template), &self.slots, &wanted);
        let mut found = Vec::new();
        let pairs = key.slips.iter().enumerate().flat_map(|(index, one)| {
            key.slips.iter().skip(index + 1).map(move |other| (one, other))
        });
        for (one, other) in pairs.take(MOST_PAIRS) {
            let slips = [one.slip, other.slip];
            let [Some(first), Some(second)] = slips.map(|slip| template.slips.get(slip)) else {
                continue;
            };
            if overlap(first, second) {
                continue;
            }
            let Ok(mut intervals) = paths.slips([Some(first), Some(second)]) else { continue };
            let Some((value, interval)) = intervals.next() else { continue };
            let Ok(number) = slip_value(one.slip, plan, value, interval) else { continue };
            let alone = [key.exact, one.value, other.value];
            if !alone.contains(&number.value) {
                found.push(PairValue { slips, value: number });
            }
        }
        found
    }

    /// Whether a slip changes the rule, or a value in the rule, of a step that a part asks for.
    pub fn slip_is_asked(&self, slip: usize) -> bool {
        let template = &self.template;
        let Some(slip) = template.slips.get(slip) else { return true };
        let changes = |slot: usize| slip.instead.iter().any(|(changed, ..)| *changed == slot);
        template.parts.iter().filter_map(|part| part.wanted.number()).any(|plan| {
            let step = template.working.iter().find(|step| step.slot == plan.slot);
            let values = step.into_iter().flat_map(|step| step.program.reads());
            let mistaken = |slot: usize| !template.is_step(slot) && changes(slot);
            changes(plan.slot) || values.into_iter().any(|slot| mistaken(*slot))
        })
    }

    /// The index of the first step of the working whose number is another when the slips are made.
    pub fn first_wrong_step(&self, slips: &[usize]) -> Option<usize> {
        let template = &self.template;
        let mut made = slips.iter().map(|slip| template.slips.get(*slip));
        let rules = Rules::of(template).with_slips([made.next().flatten(), made.next().flatten()]);
        let mut slots = self.slots.clone();
        let slip = slips.first().and_then(|slip| template.slips.get(*slip))?;
        let rules = rules.along(working_of(template, slip));
        rules.prepare(&mut slots).ok()?;
        solve(rules, &mut slots).ok()?;
        template.working.iter().position(|step| is_other(&slots, &self.slots, step.slot))
    }
}

/// Whether both slips have a rule for the same value.
fn overlap(one: &Slip, other: &Slip) -> bool {
    one.instead.iter().any(|(slot, ..)| other.instead.iter().any(|(taken, ..)| taken == slot))
}

fn is_other(slots: &[Slot], right: &[Slot], slot: usize) -> bool {
    slots.get(slot) != right.get(slot)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bank::Bank;
    use crate::draw::Code;

    fn problem(template: &str) -> Problem {
        Problem::from_code(&Bank::bundled().unwrap(), &Code::new(template, 1)).unwrap()
    }

    fn asked(problem: &Problem) -> Vec<&str> {
        let slips = problem.template.slips.iter().enumerate();
        slips.filter(|(n, _)| problem.slip_is_asked(*n)).map(|(_, slip)| slip.id.as_str()).collect()
    }

    #[test]
    fn a_slip_in_a_value_is_asked_about_where_the_step_that_reads_it_is() {
        // What the cavities hold together is no part of the question, so a slip there is not asked.
        let one_drug = problem("base-one-drug");
        assert_eq!(one_drug.template.slips.len(), asked(&one_drug).len() + 1);
        assert!(!asked(&one_drug).contains(&"marked-size"));
        assert!(one_drug.slip_is_asked(99));
        // Here the part that is asked reads the capacity itself.
        assert!(asked(&problem("capacity-another-base")).contains(&"marked-size"));
        assert!(!asked(&problem("glycero-gelatin-masses")).contains(&"marked-size"));
    }
}
