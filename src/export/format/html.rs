//! HTML: one file with everything in it and no scripts, made to be printed and to be read on screen.

use minijinja::Value;

use crate::formula::Math;
use crate::marking::Account;

use crate::export::format::laid_out::LaidOut;
use crate::export::layout::format::{Format, not_compiled};
use crate::export::writing::escape;
use crate::export::{BenchDocument, Layout, LayoutProblem, Options, account, batch};

/// The HTML exporter.
#[derive(Clone, Copy, Debug)]
pub struct Html;

static FORMAT: Format = Format {
    name: "html",
    about: "one web page with everything in it, made to be printed",
    extension: "html",
    media: "text/html; charset=utf-8",
    layouts: &[
        ("sheet.html.jinja", include_str!("../../../exports/layouts/sheet.html.jinja")),
        PAPER,
        ("feedback.html.jinja", include_str!("../../../exports/layouts/feedback.html.jinja")),
        ("report.html.jinja", include_str!("../../../exports/layouts/report.html.jinja")),
    ],
    escape: escape::in_html,
    formula,
    drawn: |picture, number| Value::from_safe_string(picture.svg(&format!("drawing-{number}"))),
    square: |square| {
        let mut said = String::new();
        escape::html(&mut said, &square.sentence());
        Value::from_safe_string(square.svg(&format!(" role=\"img\" aria-label=\"{said}\"")))
    },
    // White space counts here, so the blanks before units stay as they are.
    written: |text| {
        let mut written = String::new();
        escape::html(&mut written, &escape::plain(text));
        Value::from_safe_string(written)
    },
    plot: |svg, _| Value::from_safe_string(svg.to_owned()),
    compiled: not_compiled(),
};

/// The layout of a candidate's paper, which extends that of sheets.
pub(in crate::export) const PAPER: (&str, &str) =
    ("paper.html.jinja", include_str!("../../../exports/layouts/paper.html.jinja"));

/// A formula as MathML, which is not broken over lines; one too long for the page is text instead.
fn formula(math: &Math, room: usize) -> Value {
    let text = math.text();
    if text.chars().count() > room {
        return Value::from(text);
    }
    Value::from_safe_string(math.mathml_beside(&text))
}

impl Html {
    /// Compiles a layout of ours for a piece of a page that says the caution elsewhere.
    pub(crate) fn piece(name: &str, text: &str) -> Result<Layout, LayoutProblem> {
        Layout::piece(&FORMAT, name, text)
    }
}

impl LaidOut for Html {
    fn format(&self) -> &'static Format {
        &FORMAT
    }

    fn account(&self, account: &Account, _: &Options) -> String {
        account::account_html(account)
    }

    fn bench(&self, document: &BenchDocument, options: &Options) -> String {
        batch::page(document, options.paper, options.type_size)
    }
}
