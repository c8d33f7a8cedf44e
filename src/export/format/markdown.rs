//! Markdown (`CommonMark` with tables), for wikis, notes and further editing.

use minijinja::Value;

use crate::marking::Account;

use crate::export::format::laid_out::LaidOut;
use crate::export::layout::format::{Format, not_compiled};
use crate::export::writing::escape;
use crate::export::{BenchDocument, Options, account, batch};

/// The Markdown exporter.
#[derive(Clone, Copy, Debug)]
pub struct Markdown;

static FORMAT: Format = Format {
    name: "markdown",
    about: "Markdown with tables, for course pages and further editing",
    extension: "md",
    media: "text/markdown; charset=utf-8",
    layouts: &[
        ("sheet.md.jinja", include_str!("../../../exports/layouts/sheet.md.jinja")),
        ("feedback.md.jinja", include_str!("../../../exports/layouts/feedback.md.jinja")),
        ("report.md.jinja", include_str!("../../../exports/layouts/report.md.jinja")),
    ],
    escape: |text| escape::written(text, escape::markdown),
    formula: |math, _| Value::from(math.text()),
    drawn: |_, _| Value::from(""),
    square: |_| Value::from(""),
    written: |text| Value::from(escape::plain(text)),
    plot: |_, _| Value::from(()),
    compiled: not_compiled(),
};

impl LaidOut for Markdown {
    fn format(&self) -> &'static Format {
        &FORMAT
    }

    fn account(&self, account: &Account, _: &Options) -> String {
        account::account_markdown(account)
    }

    fn bench(&self, document: &BenchDocument, _: &Options) -> String {
        batch::markdown(document)
    }
}
