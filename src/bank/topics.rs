//! Topics: what a student practises, with a title to read and what each builds on.

use std::collections::BTreeSet;
use std::sync::Arc;

use crate::bank::SourceText;
use crate::bank::reading::desk::{Desk, way};
use crate::bank::reading::noted::Notes;
use crate::bank::template::{Objective, Template};
use crate::bank::written::{TopicEntry, TopicsText};

/// A topic: what some templates have in common, and what a student learns as one thing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Topic {
    /// Its id in templates: `finding-the-value`.
    pub id: String,
    /// Its title for students: `Displacement value from a casting`.
    pub title: String,
    /// The objective it belongs to.
    pub objective: Objective,
    /// The ids of the topics that come before it.
    pub builds_on: Vec<String>,
}

/// The topics of a bank while it is put together, each with its file.
#[derive(Default)]
pub(super) struct Topics {
    rows: Vec<(Topic, Arc<SourceText>)>,
}

impl Topics {
    /// Takes the rows of a file. A row of one's own replaces the bundled one of the same id, in its
    /// place among the others.
    pub(super) fn add(&mut self, desk: &mut Desk<'_>, written: TopicsText) {
        for (id, entry) in written.topics.0 {
            desk.id(&way!["topics", &id], "a topic", &id);
            let TopicEntry { title, objective, builds_on } = entry;
            let Some(objective) = Objective::parse(&objective) else {
                let known = Objective::ALL.map(Objective::name);
                desk.unknown(&way!["topics", &id, "objective"], "an objective", &objective, known);
                continue;
            };
            let topic = Topic { id, title, objective, builds_on };
            match self.rows.iter_mut().find(|(known, _)| known.id == topic.id) {
                Some(row) => *row = (topic, Arc::clone(desk.source)),
                None => self.rows.push((topic, Arc::clone(desk.source))),
            }
        }
    }

    /// What is wrong between the topics, and between them and the templates: an unknown id, a circle,
    /// a template of another objective than its topic. A bank without a file of topics has none.
    pub(super) fn check(&self, templates: &[(Arc<Template>, Arc<SourceText>)]) -> Notes {
        let mut notes = Notes::default();
        if self.rows.is_empty() {
            return notes;
        }
        for (topic, source) in &self.rows {
            let mut desk = Desk::new(source);
            for (place, before) in topic.builds_on.iter().enumerate() {
                if self.find(before).is_none() {
                    let way = way!["topics", &topic.id, "builds_on", place];
                    desk.unknown(&way, "a topic", before, self.ids());
                }
            }
            if let Some(circle) = self.circle(&topic.id) {
                let shown = circle.join("` -> `");
                desk.key(
                    &way!["topics", &topic.id, "builds_on"],
                    format!("expected topics that can be learnt before this one, found a circle: `{shown}`"),
                    "leads back here",
                    Some("remove one of these from `builds_on`".to_owned()),
                );
            }
            notes.append(desk.notes);
        }
        for (template, source) in templates {
            let mut desk = Desk::new(source);
            self.check_template(&mut desk, template);
            notes.append(desk.notes);
        }
        notes
    }

    fn check_template(&self, desk: &mut Desk<'_>, template: &Template) {
        let Some(topic) = self.find(&template.topic) else {
            desk.unknown_or(
                &way!["topic"],
                "a topic",
                &template.topic,
                self.ids(),
                "add a row for it to a file `topics.yaml` in your folder",
            );
            return;
        };
        if topic.objective != template.objective {
            desk.value(
                &way!["objective"],
                format!(
                    "expected `{}`, the objective of the topic `{}`, found `{}`",
                    topic.objective.name(),
                    topic.id,
                    template.objective.name()
                ),
                "another objective",
                Some("change this, or give the template another topic".to_owned()),
            );
        }
    }

    fn find(&self, id: &str) -> Option<&Topic> {
        self.rows.iter().map(|(topic, _)| topic).find(|topic| topic.id == id)
    }

    fn ids(&self) -> impl Iterator<Item = &str> {
        self.rows.iter().map(|(topic, _)| topic.id.as_str())
    }

    /// The way from a topic over what it builds on back to itself; each circle is found once, at its
    /// first topic.
    fn circle(&self, start: &str) -> Option<Vec<String>> {
        let mut seen: BTreeSet<&str> = BTreeSet::new();
        let mut ways: Vec<Vec<&str>> = vec![vec![self.find(start)?.id.as_str()]];
        while let Some(way) = ways.pop() {
            let before = way.last().and_then(|last| self.find(last));
            for next in before.map(|topic| topic.builds_on.as_slice()).unwrap_or_default() {
                let mut longer = way.clone();
                longer.push(next);
                if next == start {
                    let first = self.ids().find(|id| way.contains(id));
                    let circle = longer.iter().map(|id| (*id).to_owned()).collect();
                    return (first == Some(start)).then_some(circle);
                }
                if seen.insert(next) {
                    ways.push(longer);
                }
            }
        }
        None
    }

    /// The topics in order. Without a file of topics, every topic of a template is one, and its title
    /// is its id.
    pub(super) fn finish(self, templates: &[Arc<Template>]) -> Vec<Topic> {
        if !self.rows.is_empty() {
            return self.rows.into_iter().map(|(topic, _)| topic).collect();
        }
        let mut topics: Vec<Topic> = Vec::new();
        for template in templates {
            if !topics.iter().any(|topic| topic.id == template.topic) {
                topics.push(Topic {
                    id: template.topic.clone(),
                    title: template.topic.replace('-', " "),
                    objective: template.objective,
                    builds_on: Vec::new(),
                });
            }
        }
        topics
    }
}
