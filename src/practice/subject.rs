//! What can be practised in a bank.

use std::collections::HashMap;
use std::sync::Arc;

use crate::bank::{Bank, Objective, Template};

use super::{Candidate, Mastery, Place, Progress, Settings};

/// One topic of an objective, with the templates that train it.
#[derive(Clone, Debug)]
pub struct Subject {
    /// The objective.
    pub objective: Objective,
    /// The topic.
    pub topic: String,
    /// The templates.
    pub templates: Vec<Arc<Template>>,
}

impl Subject {
    /// Every topic that the wanted templates train, in the order of teaching: by objective, then by
    /// the lowest level of its templates.
    pub fn all(bank: &Bank, wanted: impl Fn(&Template) -> bool) -> Vec<Self> {
        let mut subjects: Vec<Self> = Vec::new();
        for template in bank.templates().iter().filter(|template| wanted(template)) {
            let same = |subject: &&mut Self| {
                subject.objective == template.objective && subject.topic == template.topic
            };
            match subjects.iter_mut().find(same) {
                Some(subject) => subject.templates.push(Arc::clone(template)),
                None => subjects.push(Self {
                    objective: template.objective,
                    topic: template.topic.clone(),
                    templates: vec![Arc::clone(template)],
                }),
            }
        }
        subjects.sort_by_key(|subject| {
            (subject.objective, subject.templates.iter().map(|each| each.level).min())
        });
        subjects
    }

    /// Its name among candidates: `base-quantity/one-drug`.
    pub fn name(&self) -> String {
        subject_name(self.objective.name(), &self.topic)
    }

    /// The subjects as candidates for what comes next, each with what is known of the student.
    pub fn candidates(
        subjects: &[Self],
        progress: &[Progress],
        settings: &Settings,
    ) -> Vec<Candidate> {
        let known: HashMap<String, &Progress> = progress
            .iter()
            .map(|each| (subject_name(&each.objective, &each.topic), each))
            .collect();
        let candidate = |subject: &Self| {
            let name = subject.name();
            let known = known.get(&name);
            Candidate {
                attempts: known.map_or(0, |each| each.attempts),
                mastery: known
                    .map_or(Mastery::start(settings), |each| Mastery::from_chance(each.known)),
                place: known.map_or_else(Place::default, |each| Place {
                    number: each.box_number as usize,
                    last: each.last_day,
                }),
                name,
            }
        };
        subjects.iter().map(candidate).collect()
    }
}

/// The name of a topic of an objective among candidates.
pub fn subject_name(objective: &str, topic: &str) -> String {
    format!("{objective}/{topic}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_template_belongs_to_one_subject_in_teaching_order() {
        let bank = Bank::bundled().unwrap();
        let subjects = Subject::all(&bank, |_| true);
        let count: usize = subjects.iter().map(|subject| subject.templates.len()).sum();
        assert_eq!(count, bank.templates().len());
        assert!(subjects.is_sorted_by_key(|subject| subject.objective));
    }

    #[test]
    fn a_candidate_knows_what_the_record_knows() {
        let bank = Bank::bundled().unwrap();
        let settings = Settings::default();
        let subjects = Subject::all(&bank, |template| template.id == "base-one-drug");
        let progress = Progress {
            objective: subjects[0].objective.name().to_owned(),
            topic: subjects[0].topic.clone(),
            attempts: 4,
            right: 3,
            known: 0.5,
            box_number: 2,
            last_day: 9,
            missing: 1,
        };
        let candidates = Subject::candidates(&subjects, &[progress], &settings);
        assert_eq!(candidates.len(), 1);
        assert_eq!(candidates[0].attempts, 4);
        assert_eq!(candidates[0].place, Place { number: 2, last: 9 });
    }
}
