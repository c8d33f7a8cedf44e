//! Plain text, wrapped to a width, made to be read by eye or by a screen reader.

use std::sync::OnceLock;

use minijinja::Value;

use super::layout::Format;
use super::{ExportError, Exporter, Layout, LayoutProblem, Options, Sheet, escape};

/// The plain-text exporter.
#[derive(Clone, Copy, Debug)]
pub struct Text;

static FORMAT: Format = Format {
    name: "text",
    file: "sheet.txt.jinja",
    source: include_str!("../../exports/layouts/sheet.txt.jinja"),
    escape: |out, text| out.push_str(&escape::plain(text)),
    formula: |math, _| Value::from(math.text()),
    drawn: |_, _| Value::from(""),
    compiled: OnceLock::new(),
};

impl Exporter for Text {
    fn name(&self) -> &'static str {
        FORMAT.name
    }

    fn about(&self) -> &'static str {
        "plain text for the terminal, for e-mail and for screen readers"
    }

    fn extension(&self) -> &'static str {
        "txt"
    }

    fn media(&self) -> &'static str {
        "text/plain; charset=utf-8"
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
