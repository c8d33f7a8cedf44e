//! What the page holds, for its lists.

use serde::Serialize;

use crate::bank::{Bank, Heading, Objective, Source};
use crate::export::{CAUTION, readable};
use crate::practice::{MEANING, Subject};

use super::fault::Fault;
use super::talk::{Answered, Asked};

#[derive(Serialize)]
struct Catalogue<'a> {
    title: String,
    version: &'static str,
    made: &'a str,
    exam: Option<&'a str>,
    seed: Option<u64>,
    caution: &'static str,
    meaning: &'static str,
    objectives: Vec<ObjectiveRow>,
    count: Count,
    sources: Vec<SourceRow>,
}

#[derive(Default, Serialize)]
struct Count {
    objectives: usize,
    topics: usize,
    templates: usize,
}

#[derive(Serialize)]
struct ObjectiveRow {
    id: &'static str,
    title: String,
    topics: Vec<TopicRow>,
}

#[derive(Serialize)]
struct TopicRow {
    id: String,
    title: String,
    templates: Vec<TemplateRow>,
}

#[derive(Serialize)]
struct TemplateRow {
    id: String,
    title: String,
    minutes: u32,
    level: u8,
    /// Whether one's own numbers can be put in.
    works: bool,
}

#[derive(Serialize)]
struct SourceRow {
    short: String,
    full: String,
}

/// What the page holds.
pub(super) fn contents(asked: &Asked<'_>) -> Result<Answered, Fault> {
    let (contents, bank) = (&asked.page.contents, &asked.page.bank);
    let subjects = Subject::all(bank, |_| true);
    let objectives: Vec<ObjectiveRow> = Objective::ALL
        .into_iter()
        .map(|objective| ObjectiveRow {
            id: objective.name(),
            title: objective_title(objective),
            topics: subjects
                .iter()
                .filter(|subject| subject.topic.objective == objective)
                .map(topic_row)
                .collect(),
        })
        .filter(|row| !row.topics.is_empty())
        .collect();
    asked.say(&Catalogue {
        title: readable(&contents.title),
        version: env!("CARGO_PKG_VERSION"),
        made: &contents.made,
        exam: contents.exam.as_deref(),
        seed: contents.seed,
        caution: CAUTION,
        meaning: MEANING,
        count: Count {
            objectives: objectives.len(),
            topics: subjects.len(),
            templates: bank.headings().count(),
        },
        objectives,
        sources: sources(&contents.cited, bank),
    })
}

fn topic_row(subject: &Subject) -> TopicRow {
    let row = |template: &Heading| TemplateRow {
        id: template.id.clone(),
        title: readable(&template.title),
        minutes: template.minutes,
        level: template.level,
        works: template.steps > 0,
    };
    TopicRow {
        id: subject.topic.id.clone(),
        title: readable(&subject.topic.title),
        templates: subject.templates.iter().map(row).collect(),
    }
}

/// The sources that the bank names.
fn sources(cited: &[String], bank: &Bank) -> Vec<SourceRow> {
    let row = |source: &Source| SourceRow {
        short: readable(&source.short),
        full: readable(if source.short_on_sheets { &source.short } else { &source.full }),
    };
    let sources = bank.facts().sources().iter();
    sources.filter(|source| cited.contains(&source.id)).map(row).collect()
}

/// The title of an objective: `Base quantity`.
pub(super) fn objective_title(objective: Objective) -> String {
    title_of(objective.name())
}

/// The title of the objective of this name.
pub(super) fn title_of(objective: &str) -> String {
    let name = objective.replace('-', " ");
    let mut letters = name.chars();
    letters.next().map_or(String::new(), |first| first.to_uppercase().chain(letters).collect())
}
