//! The templates of a bank with their headings, each read when it is first asked for.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::bank::deferred::Deferred;
use crate::bank::template::Template;
use crate::bank::template::heading::Heading;
use crate::bank::wording::texts;

/// A template with its texts, by their names behind its id.
#[derive(Debug)]
pub(super) struct Ready {
    template: Arc<Template>,
    texts: BTreeMap<String, String>,
}

/// The templates of a bank, by objective and then by id.
#[derive(Debug)]
pub(super) struct Shelf {
    rows: Vec<(Heading, Deferred<Ready>)>,
    /// The row of each id.
    indices: BTreeMap<String, usize>,
}

impl Ready {
    /// A template that was read and checked.
    pub(super) fn new(template: Template) -> Self {
        let texts = texts::texts(&template).into_iter();
        Self {
            texts: texts.map(|(name, text)| (name, text.to_owned())).collect(),
            template: Arc::new(template),
        }
    }

    /// The heading of the template.
    pub(super) fn heading(&self) -> Heading {
        Heading::of(&self.template)
    }
}

impl Shelf {
    /// The templates of these headings.
    pub(super) fn new(mut rows: Vec<(Heading, Deferred<Ready>)>) -> Self {
        rows.sort_by(|(a, _), (b, _)| (a.objective, &a.id).cmp(&(b.objective, &b.id)));
        let indices =
            rows.iter().enumerate().map(|(index, (heading, _))| (heading.id.clone(), index));
        Self { indices: indices.collect(), rows }
    }

    /// The template of that id with its heading, to be shared by another bank.
    pub(super) fn row(&self, id: &str) -> Option<&(Heading, Deferred<Ready>)> {
        self.rows.get(*self.indices.get(id)?)
    }

    /// The headings, in the order of the rows.
    pub(super) fn headings(&self) -> impl Iterator<Item = &Heading> {
        self.rows.iter().map(|(heading, _)| heading)
    }

    /// The template of that id.
    pub(super) fn template(&self, id: &str) -> Option<&Arc<Template>> {
        self.ready(id).map(|ready| &ready.template)
    }

    /// The text of that name, such as `base-one-drug#stem/0`.
    pub(super) fn text(&self, name: &str) -> Option<&str> {
        let (id, name) = name.split_once('#')?;
        self.ready(id)?.texts.get(name).map(String::as_str)
    }

    fn ready(&self, id: &str) -> Option<&Ready> {
        self.row(id)?.1.get()
    }
}
