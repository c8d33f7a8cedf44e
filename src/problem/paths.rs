//! The legal ways of rounding early along a working, and where slips lead.

use std::collections::BTreeSet;

use crate::bank::{Slip, Step, VerdictPlan};
use crate::draw::NoValue;
use crate::formula::Slot;
use crate::quantity::{Exact, Rounding};

use super::solve::{Rules, round};

/// The most ways of rounding that are followed one by one.
const MOST_PATHS: usize = 256;

/// The lowest and the highest value that a slot takes along the ways of rounding.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Interval {
    /// The lowest, in coherent units.
    pub(super) low: Exact,
    /// The highest.
    pub(super) high: Exact,
}

impl Interval {
    /// The interval of both.
    pub(super) fn with(self, other: Self) -> Self {
        Self { low: self.low.min(other.low), high: self.high.max(other.high) }
    }
}

/// The options of a verdict that ways of rounding lead to; `None` among them where no condition holds.
pub(super) type Decided = BTreeSet<Option<usize>>;

/// The walk along the ways of rounding a working, towards some wanted slots.
///
/// The wanted value itself is taken before its own rounding, which is the tolerance's business.
pub(super) struct Paths<'a> {
    rules: Rules<'a>,
    wanted: &'a [usize],
    /// The verdicts that are wanted besides.
    verdicts: &'a [&'a VerdictPlan],
    /// For each wanted slot the index of its step; `None` for a value.
    indices: Vec<Option<usize>>,
    /// The values as they are used.
    slots: Vec<Slot>,
    /// The values of the steps before their own rounding.
    raw: Vec<Exact>,
    found: Vec<Interval>,
    decided: Vec<Decided>,
    /// What the last slips lead to without rounding.
    exact: Vec<Exact>,
    /// For each step whether the last slips may change its value.
    affected: Vec<bool>,
    /// The right working without rounding, and with everything rounded as shown; made for the first slip.
    right: Option<(Trace, Trace)>,
}

/// One way through a working: the values of its steps before their own rounding, and as they are used.
#[derive(Debug)]
struct Trace {
    raw: Vec<Exact>,
    used: Vec<Exact>,
}

/// How the steps of a working are rounded along one way.
type Choice = fn(usize) -> Option<usize>;

/// Without rounding.
const BARE: Choice = |_| None;

/// With everything rounded as shown.
const SHOWN: Choice = |_| Some(0);

impl<'a> Paths<'a> {
    /// Paths from these values; the steps need not be solved.
    pub(super) fn new(rules: Rules<'a>, slots: &[Slot], wanted: &'a [usize]) -> Self {
        let working = rules.working;
        let index = |slot: &usize| working.iter().position(|step| step.slot == *slot);
        Self {
            rules,
            wanted,
            indices: wanted.iter().map(index).collect(),
            slots: slots.to_vec(),
            raw: vec![Exact::ZERO; working.len()],
            found: Vec::with_capacity(wanted.len()),
            verdicts: &[],
            decided: Vec::new(),
            exact: Vec::with_capacity(wanted.len()),
            affected: Vec::with_capacity(working.len()),
            right: None,
        }
    }

    /// The steps that are followed.
    pub(super) fn working(&self) -> &'a [Step] {
        self.rules.working
    }

    /// The same, towards verdicts as well.
    pub(super) fn deciding(self, verdicts: &'a [&'a VerdictPlan]) -> Self {
        Self { verdicts, decided: vec![Decided::new(); verdicts.len()], ..self }
    }

    /// For each verdict what the ways walked since the last question lead to.
    pub(super) fn decided(&mut self) -> Vec<Decided> {
        std::mem::replace(&mut self.decided, vec![Decided::new(); self.verdicts.len()])
    }

    /// The interval of each wanted slot along the legal ways of rounding.
    ///
    /// A step that others use may be used as it is, rounded as shown, or rounded in another legal
    /// way (`also`). All combinations are followed while they are at most 256. Beyond that the
    /// combinations of exact and shown alone are followed, and beyond that too: nothing rounded,
    /// everything rounded as shown, everything rounded in the first, second, … other way, and each
    /// rounding alone. What is dropped lies between these but for rare turns, so an answer that only
    /// a dropped way reaches must be within the tolerance to be right.
    ///
    /// # Errors
    /// The step that has no result along some way, and why.
    pub(super) fn intervals(&mut self) -> Result<Vec<Interval>, NoValue> {
        let working = self.rules.working;
        let roundings = |(index, step): (usize, &Step)| {
            let reads = |later: &Step| later.program.reads().contains(&step.slot);
            let decides = self.verdicts.iter().any(|plan| plan.reads().contains(&step.slot));
            let is_used = decides || working.iter().skip(index + 1).any(reads);
            let is_free = self.rules.carried(step.slot).is_none();
            if is_used && is_free { 1 + step.also.len() } else { 0 }
        };
        let roundings: Vec<usize> = working.iter().enumerate().map(roundings).collect();
        let ways = |most: usize| {
            roundings.iter().map(|count| 1 + most.min(*count)).fold(1, usize::saturating_mul)
        };
        self.found.clear();
        self.decided();
        if ways(usize::MAX) <= MOST_PATHS {
            self.branch(0, &roundings)?;
        } else {
            let shown: Vec<usize> = roundings.iter().map(|count| 1.min(*count)).collect();
            if ways(1) <= MOST_PATHS {
                self.branch(0, &shown)?;
            } else {
                self.run(BARE)?;
                self.run(SHOWN)?;
            }
            for which in 1..roundings.iter().copied().max().unwrap_or(0) {
                self.run(|_| Some(which))?;
            }
            for (alone, count) in roundings.iter().enumerate() {
                for which in 0..*count {
                    self.run(|index| (index == alone).then_some(which))?;
                }
            }
        }
        Ok(std::mem::take(&mut self.found))
    }

    /// For each wanted slot the value that slips lead to without rounding, and the interval of it and
    /// the value with everything rounded as shown: a slip need not be known to the last digit.
    ///
    /// # Errors
    /// The value or step that has no result by the wrong rule, and why.
    pub(super) fn slips(
        &mut self,
        slips: [Option<&'a Slip>; 2],
    ) -> Result<impl Iterator<Item = (Exact, Interval)>, NoValue> {
        // A right working without a result is no help; then everything is worked out.
        let right = self.right.take().or_else(|| self.traces().ok());
        let found = self.with_slips(slips, |paths| {
            paths.mark_affected();
            paths.found.clear();
            paths.decided();
            let (bare, shown) = right.as_ref().map(|(bare, shown)| (bare, shown)).unzip();
            paths.run_from(bare, BARE)?;
            paths.exact.clear();
            paths.exact.extend(paths.found.iter().map(|interval| interval.low));
            paths.run_from(shown, SHOWN)
        });
        self.right = right;
        found.map(|()| self.exact.iter().copied().zip(self.found.iter().copied()))
    }

    /// For each wanted slot the interval of what a slip leads to along the legal ways of rounding.
    ///
    /// # Errors
    /// As for [`slips`](Self::slips).
    pub(super) fn slip_intervals(&mut self, slip: &'a Slip) -> Result<Vec<Interval>, NoValue> {
        self.with_slips([Some(slip), None], Self::intervals)
    }

    /// What is found by the wrong rules; the right ones are put back afterwards.
    fn with_slips<T>(
        &mut self,
        slips: [Option<&'a Slip>; 2],
        find: impl FnOnce(&mut Self) -> Result<T, NoValue>,
    ) -> Result<T, NoValue> {
        let own = self.rules;
        self.rules = own.with_slips(slips);
        let right = self.rules.prepare(&mut self.slots);
        let found = right.and_then(|right| {
            let found = find(self);
            for (slot, value) in right {
                self.slots[slot] = value;
            }
            found
        });
        self.rules = own;
        found
    }

    /// Every combination of so many roundings of each step, from the given step on.
    fn branch(&mut self, index: usize, most: &[usize]) -> Result<(), NoValue> {
        let rules = self.rules;
        let Some(step) = rules.working.get(index) else {
            self.note();
            return Ok(());
        };
        let value = self.step(index, step)?;
        self.branch(index + 1, most)?;
        let mut last = value;
        for rounding in roundings(step).take(most[index]) {
            let rounded = round(rules.template, step.slot, rounding, value)
                .map_err(|cause| NoValue { slot: step.slot, cause })?;
            // A rounding that changes nothing leads the same way again.
            if rounded != value && rounded != last {
                last = rounded;
                self.slots[step.slot] = Slot::Number(rounded);
                self.branch(index + 1, most)?;
            }
        }
        Ok(())
    }

    /// One way through the working. `choose` tells for the index of a step which of its roundings
    /// is taken, if any; a step that lacks it is rounded as shown.
    fn run(&mut self, choose: impl Fn(usize) -> Option<usize>) -> Result<(), NoValue> {
        self.run_from(None, choose)
    }

    /// The same where a way is known that differs in the affected steps alone.
    fn run_from(
        &mut self,
        known: Option<&Trace>,
        choose: impl Fn(usize) -> Option<usize>,
    ) -> Result<(), NoValue> {
        let rules = self.rules;
        for (index, step) in rules.working.iter().enumerate() {
            if let Some(known) = known.filter(|_| self.affected.get(index) == Some(&false)) {
                self.raw[index] = known.raw[index];
                self.slots[step.slot] = Slot::Number(known.used[index]);
                continue;
            }
            let value = self.step(index, step)?;
            if let Some(which) = choose(index).filter(|_| rules.carried(step.slot).is_none()) {
                let rounding = roundings(step).nth(which).unwrap_or(step.rounding);
                let rounded = round(rules.template, step.slot, rounding, value)
                    .map_err(|cause| NoValue { slot: step.slot, cause })?;
                self.slots[step.slot] = Slot::Number(rounded);
            }
        }
        self.note();
        Ok(())
    }

    /// The ways that slips are compared with: without rounding, and with everything rounded as shown.
    fn traces(&mut self) -> Result<(Trace, Trace), NoValue> {
        Ok((self.trace(BARE)?, self.trace(SHOWN)?))
    }

    fn trace(&mut self, choose: Choice) -> Result<Trace, NoValue> {
        self.run(choose)?;
        let used = self.rules.working.iter().map(|step| match &self.slots[step.slot] {
            Slot::Number(used) => *used,
            Slot::Empty | Slot::List(_) => Exact::ZERO,
        });
        Ok(Trace { raw: self.raw.clone(), used: used.collect() })
    }

    fn mark_affected(&mut self) {
        let rules = self.rules;
        self.affected.clear();
        for step in rules.working {
            let is_other = |slot: &usize| {
                rules.instead().any(|(changed, ..)| changed == slot)
                    || rules
                        .working
                        .iter()
                        .zip(&self.affected)
                        .any(|(earlier, is_affected)| *is_affected && earlier.slot == *slot)
            };
            let is_affected = is_other(&step.slot) || step.program.reads().iter().any(is_other);
            self.affected.push(is_affected && rules.carried(step.slot).is_none());
        }
    }

    fn step(&mut self, index: usize, step: &'a Step) -> Result<Exact, NoValue> {
        let value = self.rules.value(step, &self.slots)?;
        self.slots[step.slot] = Slot::Number(value);
        self.raw[index] = value;
        Ok(value)
    }

    fn note(&mut self) {
        for (plan, decided) in self.verdicts.iter().zip(&mut self.decided) {
            decided.insert(plan.decide(&self.slots).ok().flatten());
        }
        for (which, (slot, index)) in self.wanted.iter().zip(&self.indices).enumerate() {
            let value = match (index, self.slots.get(*slot)) {
                (Some(index), _) => self.raw[*index],
                (None, Some(Slot::Number(value))) => *value,
                _ => Exact::ZERO,
            };
            let alone = Interval { low: value, high: value };
            match self.found.get_mut(which) {
                Some(interval) => *interval = interval.with(alone),
                None => self.found.push(alone),
            }
        }
    }
}

/// The legal roundings of a step: as shown, and the others.
fn roundings(step: &Step) -> impl Iterator<Item = Rounding> {
    std::iter::once(step.rounding).chain(step.also.iter().copied())
}

#[cfg(test)]
mod tests {
    use std::fmt::Write;
    use std::sync::Arc;

    use super::super::solve::solve;
    use super::*;
    use crate::bank::{Bank, SourceText, Template};
    use crate::quantity::Arithmetic;

    fn exact(text: &str) -> Exact {
        Exact::parse(text).unwrap()
    }

    /// A working that divides 10 g by 3, `count` times over, and takes the sum; each third may be
    /// rounded as `roundings` say.
    fn thirds(count: usize, roundings: &str) -> Arc<Template> {
        thirds_with(count, roundings, ["+", "+"])
    }

    /// The same with the thirds added or taken off in turn.
    fn thirds_with(count: usize, roundings: &str, signs: [&str; 2]) -> Arc<Template> {
        let mut text = "castmark: 1\nid: thirds\ntitle: t\nobjective: calibration\ntopic: t\n\
            level: 1\nminutes: 1\nconvention: none\nabout: t\nvalues:\n  \
            all: { unit: g, choose: [10, 20] }\n  by: { unit: \"1\", choose: [3, 7] }\n\
            stem: ['{{ all }}, {{ by }}', '{{ by }}, {{ all }}']\nworking:\n"
            .to_owned();
        for which in 0..count {
            let _ = writeln!(text, "  t{which}: {{ say: s, is: all / by, unit: g, {roundings} }}");
        }
        let mut sum = "t0".to_owned();
        for which in 1..count {
            let _ = write!(sum, " {} t{which}", signs[which % 2]);
        }
        let _ = write!(
            text,
            "  sum: {{ say: s, is: {sum}, unit: g, show: 2 places }}\nparts:\n  \
             sum: {{ ask: q, unit: g, round: 2 places, tolerance: 0.01, marks: 1 }}\nslips:\n  \
             turned: {{ instead: {{ t0: all * by }}, say: s }}\n  \
             nothing: {{ instead: {{ by: by - by }}, say: s }}\n"
        );
        let source = SourceText::new("thirds.yaml", text);
        match Bank::load(&[source]) {
            Ok(bank) => Arc::clone(&bank.templates()[0]),
            Err(report) => panic!("{report}"),
        }
    }

    /// The values of the template, 10 g and 3, with its steps empty.
    fn slots(template: &Template) -> Vec<Slot> {
        let mut slots = vec![Slot::Empty; template.names.len()];
        slots[0] = Slot::Number(exact("10"));
        slots[1] = Slot::Number(exact("3"));
        slots
    }

    #[track_caller]
    fn check(count: usize, roundings: &str, low: &str, high: &str) {
        check_template(&thirds(count, roundings), low, high);
    }

    #[track_caller]
    fn check_template(template: &Template, low: &str, high: &str) {
        let wanted = [template.names.len() - 1];
        let mut paths = Paths::new(Rules::of(template), &slots(template), &wanted);
        let interval = paths.intervals().unwrap()[0];
        let found =
            [interval.low, interval.high].map(|number| number.to_places(4).trimmed().to_string());
        assert_eq!(found, [low, high]);
    }

    #[test]
    fn all_ways_are_followed_while_they_are_few() {
        check(1, "show: 1 place", "3.3", "3.3333");
        check(2, "show: 1 place, also: [whole]", "6", "6.6667");
        // Two different roundings in one way: 3.3 and 3.333.
        check(2, "show: 3 places, also: [1 place]", "6.6", "6.6667");
    }

    #[test]
    fn beyond_that_all_at_once_and_each_alone_are_followed() {
        // 3^6 ways are too many, 2^6 are not: the whole numbers come in all at once.
        check(6, "show: 1 place, also: [whole]", "18", "20");
        // 2^9 are too many as well.
        check(9, "show: 1 place, also: [whole]", "27", "30");
        check(9, "show: 1 place", "29.7", "30");
        // Five thirds less four: all at once the roundings nearly cancel. A single third that is taken
        // for 3 makes the sum a third less, or a third more where it is taken off.
        let in_turn = thirds_with(9, "show: 1 place, also: [whole]", ["+", "-"]);
        check_template(&in_turn, "3", "3.6667");
        // 2^8 are just few enough: five thirds rounded down less three that are not, and the other way.
        let in_turn = thirds_with(8, "show: 1 place, also: [2 places]", ["-", "+"]);
        check_template(&in_turn, "6.5", "6.7667");
    }

    #[test]
    fn an_answer_is_taken_before_its_own_rounding() {
        // The sum is asked for to two places and is 10.00 g in the first case.
        // The rule that every sheet prints lets each third be 3.33, of three figures.
        check(3, "show: 3 places", "9.99", "10");
        check(3, "show: 2 places", "9.99", "10");
    }

    #[test]
    fn a_slip_goes_through_the_rest_and_leaves_no_trace() {
        let template = thirds(2, "show: 1 place");
        let wanted = [template.names.len() - 1];
        let before = slots(&template);
        let mut paths = Paths::new(Rules::of(&template), &before, &wanted);
        let slip = paths.slips([Some(&template.slips[0]), None]).unwrap();
        let [(value, interval)] = slip.collect::<Vec<_>>()[..] else { panic!() };
        assert_eq!(value.to_places(4), exact("33.3333"));
        assert_eq!((interval.low, interval.high.to_places(4)), (exact("33.3"), exact("33.3333")));
        let nothing = paths.slips([Some(&template.slips[1]), None]).err();
        assert_eq!(nothing.unwrap(), NoValue { slot: 2, cause: Arithmetic::DivisionByZero });
        assert_eq!(paths.intervals().unwrap()[0].high.to_places(4), exact("6.6667"));
    }

    #[test]
    fn a_carried_number_is_neither_computed_nor_rounded() {
        let template = thirds(2, "show: 1 place");
        let wanted = [template.names.len() - 1];
        let own = [(2, exact("3.25"))];
        let rules = Rules::of(&template).carrying(&own);
        let mut solved = slots(&template);
        solve(rules, &mut solved).unwrap();
        assert_eq!(solved[2], Slot::Number(exact("3.25")));
        let interval = Paths::new(rules, &slots(&template), &wanted).intervals().unwrap()[0];
        assert_eq!((interval.low, interval.high.to_places(4)), (exact("6.55"), exact("6.5833")));
    }
}
