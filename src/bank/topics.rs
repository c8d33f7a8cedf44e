//! Topics: what a student practises, with a title to read and what each builds on.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::bank::SourceText;
use crate::bank::reading::checker::Checker;
use crate::bank::reading::locations::{Located, Location};
use crate::bank::reading::noted::{Notes, Unsound};
use crate::bank::template::Objective;
use crate::bank::template::heading::Heading;
use crate::bank::written::template::TemplateText;
use crate::bank::written::topics::TopicsText;

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

/// What a template says of its topic, with its file and the locations in it.
pub(super) struct Placing {
    topic: (String, Location),
    /// Unless it is wrong.
    objective: Option<(Objective, Location)>,
    source: Arc<SourceText>,
}

impl Placing {
    pub(super) fn of(template: &TemplateText, source: Arc<SourceText>) -> Self {
        let TemplateText { topic, objective, .. } = template;
        Self {
            topic: (topic.to_string(), topic.location()),
            objective: objective.meaning().ok().map(|it| (it, objective.location())),
            source,
        }
    }
}

/// A topic with its file, and the locations of the topics that it builds on.
struct Row {
    topic: Topic,
    source: Arc<SourceText>,
    builds_on: Location,
    each: Vec<Location>,
}

/// The topics of a bank while it is put together.
#[derive(Default)]
pub(super) struct Topics {
    rows: Vec<Row>,
    /// The row of each topic.
    indices: BTreeMap<String, usize>,
    /// The ids of topics with which something is wrong.
    pub(super) unsound: Unsound,
}

impl Topics {
    /// Takes the rows of a file. A row of one's own replaces the bundled one of the same id, in its
    /// place among the others.
    pub(super) fn add(&mut self, checker: &mut Checker<'_>, written: &TopicsText) {
        self.unsound.join(&written.topics.unsound);
        for (id, text) in written.topics.iter() {
            id.expect_id(checker, "a topic");
            let Some(objective) = self.unsound.keep(id, text.objective.meaning()) else { continue };
            let before = || text.builds_on.iter().flat_map(|all| all.iter());
            let topic = Topic {
                id: id.to_string(),
                title: text.title.to_string(),
                objective,
                builds_on: before().map(ToString::to_string).collect(),
            };
            let row = Row {
                topic,
                source: Arc::clone(checker.file.source),
                builds_on: text.builds_on.as_ref().map_or(Location::FILE, Located::location),
                each: before().map(Located::location).collect(),
            };
            match self.indices.get(&**id) {
                Some(index) => self.rows[*index] = row,
                None => {
                    self.indices.insert(id.to_string(), self.rows.len());
                    self.rows.push(row);
                }
            }
        }
    }

    /// What is wrong between the topics, and between them and the templates: an unknown id, a circle,
    /// a template of another objective than its topic. A bank without a file of topics has none.
    pub(super) fn check(&self, templates: &[Placing]) -> Notes {
        let mut notes = Notes::default();
        if self.rows.is_empty() {
            return notes;
        }
        for Row { topic, source, each, .. } in &self.rows {
            let mut checker = Checker::new(source);
            for (before, at) in topic.builds_on.iter().zip(each) {
                if self.find(before).is_none() && self.unsound.of(before).is_none() {
                    checker.unknown(at, "a topic", before, self.ids());
                }
            }
            notes.append(checker.notes);
        }
        for circle in self.circles() {
            let Some(row) = circle.first().and_then(|index| self.rows.get(*index)) else {
                continue;
            };
            let ids: Vec<&str> =
                circle.iter().map(|index| self.rows[*index].topic.id.as_str()).collect();
            let shown = ids.join("` -> `");
            let mut checker = Checker::new(&row.source);
            let what = format!(
                "expected topics that can be learnt before this one, found a circle: `{shown}`"
            );
            let help = "remove one of these from `builds_on`".to_owned();
            checker.key(&row.builds_on, what, "leads back here", Some(help));
            notes.append(checker.notes);
        }
        for placing in templates {
            let mut checker = Checker::new(&placing.source);
            self.check_template(&mut checker, placing);
            notes.append(checker.notes);
        }
        notes
    }

    fn check_template(&self, checker: &mut Checker<'_>, placing: &Placing) {
        let Placing { topic: (id, at), objective, .. } = placing;
        let Some(topic) = self.find(id) else {
            if self.unsound.of(id).is_none() {
                let help = "add a row for it to a file `topics.yaml` in your folder";
                checker.unknown_or(at, "a topic", id, self.ids(), help);
            }
            return;
        };
        let Some((objective, at)) = objective.filter(|(it, _)| *it != topic.objective) else {
            return;
        };
        checker.value(
            &at,
            format!(
                "expected `{}`, the objective of the topic `{id}`, found `{}`",
                topic.objective.name(),
                objective.name()
            ),
            "another objective",
            Some("change this, or give the template another topic".to_owned()),
        );
    }

    fn find(&self, id: &str) -> Option<&Topic> {
        self.indices.get(id).and_then(|index| self.rows.get(*index)).map(|row| &row.topic)
    }

    fn ids(&self) -> impl Iterator<Item = &str> {
        self.rows.iter().map(|row| row.topic.id.as_str())
    }

    /// The circles among the topics, each from its first topic over what that builds on back to it.
    fn circles(&self) -> Vec<Vec<usize>> {
        let before = |index: usize, n: usize| {
            let before = self.rows.get(index)?.topic.builds_on.get(n)?;
            Some(self.indices.get(before).copied())
        };
        let mut circles = Vec::new();
        let mut is_done = vec![false; self.rows.len()];
        for start in 0..self.rows.len() {
            // The topics on the path, each with how many of those before it were looked at.
            let mut path: Vec<(usize, usize)> = vec![(start, 0)];
            let mut at_depth: BTreeMap<usize, usize> = BTreeMap::from([(start, 0)]);
            while let Some((index, n)) = path.last_mut().filter(|(index, _)| !is_done[*index]) {
                let (at, next) = (*index, before(*index, *n));
                *n += 1;
                match next {
                    None => {
                        is_done[at] = true;
                        at_depth.remove(&at);
                        path.pop();
                    }
                    Some(Some(next)) if at_depth.contains_key(&next) => {
                        let circle = path[at_depth[&next]..].iter().map(|(index, _)| *index);
                        circles.push(from_the_first(circle.collect()));
                    }
                    Some(Some(next)) if !is_done[next] => {
                        at_depth.insert(next, path.len());
                        path.push((next, 0));
                    }
                    Some(_) => {}
                }
            }
        }
        circles
    }

    /// The topics in order. Without a file of topics, every topic of a template is one, and its title
    /// is its id.
    pub(super) fn finish<'a>(self, templates: impl Iterator<Item = &'a Heading>) -> Vec<Topic> {
        if !self.rows.is_empty() {
            return self.rows.into_iter().map(|row| row.topic).collect();
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

/// A circle begun at its first topic, which closes it, too.
fn from_the_first(mut circle: Vec<usize>) -> Vec<usize> {
    let first = circle.iter().enumerate().min_by_key(|(_, index)| **index).map_or(0, |(n, _)| n);
    circle.rotate_left(first);
    circle.extend(circle.first().copied());
    circle
}
