//! Markdown (`CommonMark` with tables), for wikis, notes and further editing.

use std::sync::OnceLock;

use minijinja::Value;

use super::layout::{Format, LaidOut};
use super::{BenchDocument, Options, batch, escape};

/// The Markdown exporter.
#[derive(Clone, Copy, Debug)]
pub struct Markdown;

static FORMAT: Format = Format {
    name: "markdown",
    about: "Markdown with tables, for course pages and further editing",
    extension: "md",
    media: "text/markdown; charset=utf-8",
    file: "sheet.md.jinja",
    source: include_str!("../../exports/layouts/sheet.md.jinja"),
    escape: escape::markdown,
    formula: |math, _| Value::from(math.text()),
    drawn: |_, _| Value::from(""),
    square: |_| Value::from(""),
    compiled: OnceLock::new(),
};

impl LaidOut for Markdown {
    fn format(&self) -> &'static Format {
        &FORMAT
    }

    fn bench(&self, document: &BenchDocument, _: &Options) -> String {
        batch::markdown(document)
    }
}
