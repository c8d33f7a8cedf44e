//! What can be practised in a bank.

use crate::bank::{Bank, Heading, Topic};

use super::{Mastery, Progress, Settings};

/// A topic with the templates that train it.
#[derive(Clone, Debug)]
pub struct Subject {
    /// The topic.
    pub topic: Topic,
    /// The headings of the templates, the simplest first.
    pub templates: Vec<Heading>,
}

/// How far a student is with a topic.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize, serde::Deserialize,
)]
#[serde(rename_all = "kebab-case")]
pub enum Stage {
    /// No problem of it has ended.
    New,
    /// It was begun and is not known.
    Begun,
    /// The estimate is high enough, and each template was solved alone once.
    Known,
}

impl Subject {
    /// Every topic that the wanted templates train, in the order of teaching.
    pub fn all(bank: &Bank, wanted: impl Fn(&Heading) -> bool) -> Vec<Self> {
        let of = |topic: &Topic| -> Vec<Heading> {
            let here = bank.headings().filter(|each| each.topic == topic.id);
            let mut here: Vec<Heading> = here.filter(|each| wanted(each)).cloned().collect();
            here.sort_by_key(|each| (each.level, each.steps, each.minutes));
            here
        };
        let subjects =
            bank.topics().iter().map(|topic| Self { topic: topic.clone(), templates: of(topic) });
        subjects.filter(|subject| !subject.templates.is_empty()).collect()
    }

    /// Its progress among that of all topics.
    pub fn progress<'a>(&self, progress: &'a [Progress]) -> Option<&'a Progress> {
        progress.iter().find(|each| each.topic == self.topic.id)
    }

    /// How far the student is with it.
    pub fn stage(&self, progress: &[Progress], settings: &Settings) -> Stage {
        match self.progress(progress) {
            Some(known) if self.is_known(known, settings) => Stage::Known,
            Some(known) if known.problems > 0 => Stage::Begun,
            _ => Stage::New,
        }
    }

    /// Whether it counts as known: the estimate is high enough, and each of its templates was solved
    /// alone once.
    fn is_known(&self, progress: &Progress, settings: &Settings) -> bool {
        Mastery::from_chance(progress.known).is_mastered(settings)
            && self.templates.iter().all(|each| is_alone(progress, each))
    }

    /// How many of its templates were not solved alone yet.
    pub fn templates_left(&self, progress: &[Progress]) -> usize {
        match self.progress(progress) {
            Some(known) => self.templates.iter().filter(|each| !is_alone(known, each)).count(),
            None => self.templates.len(),
        }
    }

    /// The template that is next: one not yet solved alone, the simplest first, but after every few
    /// problems of one that does not go well another is tried; later the one that has waited longest.
    pub fn next_template(&self, progress: Option<&Progress>) -> Option<&Heading> {
        let Some(progress) = progress else { return self.templates.first() };
        let seen = |each: &Heading| progress.template(&each.id);
        let turn =
            |each: &Heading| seen(each).map_or(0, |one| one.problems) / PROBLEMS_OF_ONE_TEMPLATE;
        let open = self.templates.iter().filter(|each| !is_alone(progress, each));
        open.min_by_key(|each| turn(each)).or_else(|| {
            self.templates.iter().min_by_key(|each| seen(each).map_or(0, |one| one.last))
        })
    }
}

/// After so many problems of one template that was not solved alone it is the turn of the next.
const PROBLEMS_OF_ONE_TEMPLATE: u64 = 4;

fn is_alone(progress: &Progress, template: &Heading) -> bool {
    progress.template(&template.id).is_some_and(|one| one.alone)
}

#[cfg(test)]
mod tests {
    use super::super::progress::tests::attempt;
    use super::*;
    use crate::practice::bundled;
    use crate::practice::{Attempt, Ending};

    fn all() -> Vec<Subject> {
        Subject::all(bundled(), |_| true)
    }

    #[test]
    fn every_template_belongs_to_one_topic_in_the_order_of_teaching() {
        let bank = bundled();
        let count: usize = all().iter().map(|subject| subject.templates.len()).sum();
        assert_eq!(count, bank.headings().count());
        assert_eq!(all().len(), bank.topics().len());
    }

    #[test]
    fn practice_begins_with_one_mould_and_one_weighing() {
        assert_eq!(all()[0].next_template(None).unwrap().id, "capacity-from-total");
    }

    #[test]
    fn every_topic_comes_after_those_it_builds_on() {
        let subjects = all();
        for (index, subject) in subjects.iter().enumerate() {
            for before in &subject.topic.builds_on {
                let found = subjects.iter().position(|each| each.topic.id == *before).unwrap();
                let other = subjects[found].topic.objective != subject.topic.objective;
                assert!(found < index || other, "{before} comes after {}", subject.topic.id);
            }
        }
    }

    #[test]
    fn a_topic_is_known_when_each_template_was_solved_alone() {
        let settings = Settings::default();
        let subject = &all()[0];
        let solved = |template: &Heading| Attempt {
            template: template.id.clone(),
            ..attempt(&subject.topic.id, Ending::Alone, 0)
        };
        let mut progress = None;
        let mut stages = Vec::new();
        for (number, template) in (1..).zip(&subject.templates) {
            let next = Progress::after(progress.take(), &solved(template), number, &settings);
            stages.push(subject.stage(std::slice::from_ref(&next), &settings));
            progress = Some(next);
        }
        assert_eq!(stages, [Stage::Begun, Stage::Begun, Stage::Known]);
    }

    #[test]
    fn a_template_that_does_not_go_well_gives_way_to_the_next() {
        let subject = &all()[0];
        let settings = Settings::default();
        let failed = attempt(&subject.topic.id, Ending::NotSolved, 0);
        let mut progress = None;
        for number in 1..=4 {
            progress = Some(Progress::after(progress.take(), &failed, number, &settings));
        }
        let next = subject.next_template(progress.as_ref()).unwrap();
        assert_eq!(next.id, subject.templates[1].id);
    }
}
