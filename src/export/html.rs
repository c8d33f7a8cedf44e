//! HTML: one file with everything in it and no scripts, made to be printed and to be read on screen.

use std::sync::OnceLock;

use minijinja::Value;

use crate::formula::Math;

use super::layout::{Format, LaidOut};
use super::{BenchDocument, Layout, LayoutProblem, Options, batch, escape};

/// The HTML exporter.
#[derive(Clone, Copy, Debug)]
pub struct Html;

static FORMAT: Format = Format {
    name: "html",
    about: "one web page with everything in it, made to be printed",
    extension: "html",
    media: "text/html; charset=utf-8",
    file: "sheet.html.jinja",
    source: include_str!("../../exports/layouts/sheet.html.jinja"),
    escape: escape::html_text,
    formula,
    drawn: |picture, number| Value::from_safe_string(picture.svg(&format!("drawing-{number}"))),
    square: |square| {
        let mut said = String::new();
        escape::html(&mut said, &square.sentence());
        Value::from_safe_string(square.svg(&format!(" role=\"img\" aria-label=\"{said}\"")))
    },
    compiled: OnceLock::new(),
};

/// A formula as MathML, which is not broken over lines; one too long for the page is text instead.
fn formula(math: &Math, room: usize) -> Value {
    let text = math.text();
    if text.chars().count() > room {
        return Value::from(text);
    }
    Value::from_safe_string(math.mathml())
}

impl Html {
    /// Compiles a layout of ours for a piece of a page that says the caution elsewhere.
    pub(crate) fn piece(name: &str, text: &str) -> Result<Layout, LayoutProblem> {
        FORMAT.piece(name, text)
    }
}

impl LaidOut for Html {
    fn format(&self) -> &'static Format {
        &FORMAT
    }

    fn bench(&self, document: &BenchDocument, options: &Options) -> String {
        batch::page(document, options.paper, options.type_size)
    }
}
