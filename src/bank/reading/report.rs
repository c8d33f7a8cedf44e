//! The complaints about files, drawn with the lines they are about.

use std::collections::BTreeMap;
use std::fmt;

use annotate_snippets::{AnnotationKind, Group, Level, Renderer, Snippet};

use crate::bank::Complaint;

/// Everything that is wrong with a set of files: at least one complaint.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Report {
    /// The complaints, by file and then by location.
    pub complaints: Vec<Complaint>,
    /// How many more there are, by the path of the file.
    pub more: BTreeMap<String, usize>,
}

impl Report {
    /// A report of complaints, put in order.
    pub(in crate::bank) fn new(
        mut complaints: Vec<Complaint>,
        more: BTreeMap<String, usize>,
    ) -> Self {
        complaints.sort_by(|a, b| {
            (&a.source.path, a.range.start, &a.what).cmp(&(&b.source.path, b.range.start, &b.what))
        });
        complaints.dedup();
        Self { complaints, more }
    }

    /// The report as plain text.
    pub fn plain(&self) -> String {
        self.draw(&Renderer::plain())
    }

    /// The report with the colours of a terminal.
    pub fn styled(&self) -> String {
        self.draw(&Renderer::styled())
    }

    fn draw(&self, renderer: &Renderer) -> String {
        let mut text = String::new();
        for (n, complaint) in self.complaints.iter().enumerate() {
            let source = &complaint.source;
            let snippet = Snippet::source(&*source.text).path(source.path.as_str()).annotation(
                AnnotationKind::Primary
                    .span(complaint.range.clone())
                    .label(complaint.label.as_str()),
            );
            let mut group: Group<'_> =
                Level::ERROR.primary_title(complaint.what.as_str()).element(snippet);
            if let Some(help) = &complaint.help {
                group = group.element(Level::HELP.message(help.as_str()));
            }
            text.push_str(&renderer.render(&[group]));
            text.push_str("\n\n");
            let path = &source.path;
            let is_last = self.complaints.get(n + 1).is_none_or(|next| next.source.path != *path);
            if let Some(more) = self.more.get(path).filter(|_| is_last) {
                for words in ["and ", &more.to_string(), " more in ", path, "\n\n"] {
                    text.push_str(words);
                }
            }
        }
        let count = self.complaints.len() + self.more.values().sum::<usize>();
        let things = if count == 1 { "1 thing".to_owned() } else { format!("{count} things") };
        text.push_str(&things);
        text.push_str(" to put right\n");
        text
    }
}

impl fmt::Display for Report {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.plain())
    }
}

impl std::error::Error for Report {}
