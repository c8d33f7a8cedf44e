//! What a blueprint comes to, before any paper is made.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::bank::{Bank, Blueprint, Objective, PlannedQuestion, Template, parallel};
use crate::draw::Count;
use crate::problem::Problem;

use super::{Band, Spread};

/// How many different facts a class should see in a question of theory, if it is as large as that.
pub const ENOUGH_KEYS: usize = 30;

/// What a blueprint comes to.
#[derive(Clone, Debug)]
pub struct Plan {
    /// The marks of the paper.
    pub marks: u32,
    /// How long a candidate should need, by the templates.
    pub minutes: u32,
    /// The table of specifications: a row for each objective, in teaching order.
    pub specifications: Vec<Specification>,
    /// A row for each template.
    pub supplies: Vec<Supply>,
}

/// A row of the table of specifications.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Specification {
    /// The objective.
    pub objective: Objective,
    /// The questions at levels 1, 2 and 3.
    pub questions: [u32; 3],
    /// The marks at levels 1, 2 and 3.
    pub marks: [u32; 3],
}

/// How many problems a template has for the paper.
#[derive(Clone, Debug)]
pub struct Supply {
    /// The template.
    pub template: Arc<Template>,
    /// How many problems of its own each paper holds.
    pub each: u32,
    /// How many problems all papers share.
    pub shared: u32,
    /// How many fair problems there are within the band; nothing when they cannot be numbered.
    pub there: Option<Count>,
    /// How alike they are in difficulty; nothing when none can be drawn.
    pub spread: Option<Spread>,
    /// Within what difficulty the problems of the class are kept.
    pub band: Option<Band>,
}

impl Plan {
    /// Looks at a blueprint. The problems of every template are counted, which may take seconds.
    pub fn of(bank: &Bank, blueprint: &Blueprint) -> Self {
        let questions = &blueprint.questions;
        let specifications = Objective::ALL.into_iter().filter_map(|objective| {
            let mut row = Specification { objective, questions: [0; 3], marks: [0; 3] };
            for question in questions.iter().filter(|it| it.template.objective == objective) {
                let level = usize::from(question.template.level.clamp(1, 3) - 1);
                row.questions[level] += 1;
                row.marks[level] += question.marks();
            }
            (row.questions != [0; 3]).then_some(row)
        });
        let mut each: BTreeMap<&str, (Arc<Template>, u32, u32)> = BTreeMap::new();
        let mut order = Vec::new();
        for question in questions {
            let id = question.template.id.as_str();
            let entry = each.entry(id).or_insert_with(|| {
                order.push(id);
                (Arc::clone(&question.template), 0, 0)
            });
            entry.1 += u32::from(!question.same);
            entry.2 += u32::from(question.same);
        }
        let counted = parallel::each(&order, |id| {
            let (template, each, shared) = &each[id];
            let spread = Spread::of(bank, template).ok();
            let band = spread.map(|spread| spread.band(blueprint.difficulty));
            let starts = template.starts();
            let there = Problem::count_such(template, |solved| {
                band.is_none_or(|band| band.takes(template, &starts, solved))
            });
            let template = Arc::clone(template);
            Supply { template, each: *each, shared: *shared, there, spread, band }
        });
        Self {
            marks: questions.iter().map(PlannedQuestion::marks).sum(),
            minutes: questions.iter().map(|it| it.template.minutes).sum(),
            specifications: specifications.collect(),
            supplies: counted,
        }
    }
}

impl Specification {
    /// The marks at all levels.
    pub fn all_marks(&self) -> u32 {
        self.marks.iter().sum()
    }
}

impl Supply {
    /// Whether a class of that size can have different problems.
    pub fn serves(&self, class: u32) -> bool {
        self.there.is_some_and(|there| there.number() >= self.needed(class))
    }

    /// How many problems a class of that size needs.
    pub fn needed(&self, class: u32) -> u128 {
        u128::from(class) * u128::from(self.each) + u128::from(self.shared)
    }

    /// How many different facts the template asks; nothing where numbers are asked as well.
    pub fn keys(&self) -> Option<usize> {
        Some(self.template.keys()).filter(|keys| *keys > 0 && self.steps() == 0)
    }

    /// Whether a class of that size sees too few different facts in this question.
    pub fn repeats(&self, class: u32) -> bool {
        let enough = ENOUGH_KEYS.min(class as usize);
        self.each > 0 && self.keys().is_some_and(|keys| keys < enough)
    }

    /// How many steps the working has.
    pub fn steps(&self) -> usize {
        self.template.working.len()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bank::SourceText;

    #[test]
    fn a_template_serves_a_class_up_to_the_last_problem_and_repeats_beyond_the_last_fact() {
        let bank = Bank::bundled().unwrap();
        let few = |template: &&Arc<Template>| {
            template.working.is_empty() && (2..ENOUGH_KEYS).contains(&template.keys())
        };
        let template = Arc::clone(bank.templates().iter().find(few).unwrap());
        let keys = u32::try_from(template.keys()).unwrap();
        let there = Some(Count::of(&template.id, 12, |_| true));
        let supply = Supply { template, each: 1, shared: 2, there, spread: None, band: None };
        assert!(supply.serves(10) && !supply.serves(11));
        assert!(!supply.repeats(keys) && supply.repeats(keys + 1));
        assert!(!Supply { each: 0, ..supply }.repeats(keys + 1));
    }

    #[test]
    fn a_number_without_a_working_is_no_fact() {
        let text = "\
castmark: 1
id: all
title: Mass of all
objective: calibration
topic: capacity
level: 1
minutes: 2
convention: none
about: A number without a working.
values:
  number: { label: number cast, unit: unit, from: 8, to: 20, step: 1 }
  capacity: { label: capacity of the mould, unit: g/unit, choose: [0.98, 1.02, 1.05] }
  total: { label: mass of all, unit: g, is: number * capacity, round: 2 places }
stem:
  - A mould holds {{ capacity }} at each place. You cast {{ number }}.
  - You cast {{ number }} in a mould that holds {{ capacity }} at each place.
parts:
  total: { ask: What do all weigh?, unit: g, round: 2 places, tolerance: 0.02, marks: 2 }
";
        let file = SourceText::new("all.yaml", text.to_owned());
        let bank = Bank::load(&[file]).unwrap();
        let template = Arc::clone(bank.find("all").unwrap());
        let supply = Supply { template, each: 1, shared: 0, there: None, spread: None, band: None };
        assert_eq!((supply.keys(), supply.steps(), supply.repeats(30)), (None, 0, false));
    }
}
