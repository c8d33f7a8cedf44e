//! Markdown (`CommonMark` with tables), for wikis, notes and further editing.

use std::sync::OnceLock;

use minijinja::Value;

use super::layout::Format;
use super::{ExportError, Exporter, Layout, LayoutProblem, Options, Sheet, escape};

/// The Markdown exporter.
#[derive(Clone, Copy, Debug)]
pub struct Markdown;

static FORMAT: Format = Format {
    name: "markdown",
    file: "sheet.md.jinja",
    source: include_str!("../../exports/layouts/sheet.md.jinja"),
    escape: escape::markdown,
    formula: |math, _| Value::from(math.text()),
    drawn: |_, _| Value::from(""),
    compiled: OnceLock::new(),
};

impl Exporter for Markdown {
    fn name(&self) -> &'static str {
        FORMAT.name
    }

    fn about(&self) -> &'static str {
        "Markdown with tables, for course pages and further editing"
    }

    fn extension(&self) -> &'static str {
        "md"
    }

    fn media(&self) -> &'static str {
        "text/markdown; charset=utf-8"
    }

    fn bundled_layout(&self) -> Option<(&'static str, &'static str)> {
        Some((FORMAT.file, FORMAT.source))
    }

    fn layout(&self, name: &str, text: &str) -> Result<Layout, LayoutProblem> {
        FORMAT.layout(name, text)
    }

    fn export(&self, sheet: &Sheet, options: &Options) -> Result<Vec<u8>, ExportError> {
        FORMAT.render(sheet, options)
    }
}
