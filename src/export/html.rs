//! HTML: one file with everything in it and no scripts, made to be printed and to be read on screen.

use std::sync::OnceLock;

use minijinja::Value;

use crate::formula::Math;

use super::layout::Format;
use super::{ExportError, Exporter, Layout, LayoutProblem, Options, Sheet, escape};

/// The HTML exporter.
#[derive(Clone, Copy, Debug)]
pub struct Html;

static FORMAT: Format = Format {
    name: "html",
    file: "sheet.html.jinja",
    source: include_str!("../../exports/layouts/sheet.html.jinja"),
    escape: escape::html_text,
    formula,
    drawn: |picture, number| Value::from_safe_string(picture.svg(&format!("drawing-{number}"))),
    compiled: OnceLock::new(),
};

/// A formula as MathML, which is not broken over lines; one too long for the page is text instead.
fn formula(math: &Math, options: &Options) -> Value {
    // A line of the page holds about 80 letters at 11 points beside the name of the result.
    let room = 880 / options.type_size.points() as usize;
    let text = math.text();
    if text.chars().count() > room {
        return Value::from(text);
    }
    Value::from_safe_string(math.mathml())
}

impl Exporter for Html {
    fn name(&self) -> &'static str {
        FORMAT.name
    }

    fn about(&self) -> &'static str {
        "one web page with everything in it, made to be printed"
    }

    fn extension(&self) -> &'static str {
        "html"
    }

    fn media(&self) -> &'static str {
        "text/html; charset=utf-8"
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
