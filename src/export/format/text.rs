//! Plain text, wrapped to a width, made to be read by eye or by a screen reader.

use minijinja::Value;

use crate::marking::Account;

use crate::export::format::laid_out::LaidOut;
use crate::export::layout::format::{Format, not_compiled};
use crate::export::writing::escape;
use crate::export::{BenchDocument, Options, account, batch};

/// The plain-text exporter.
#[derive(Clone, Copy, Debug)]
pub struct Text;

static FORMAT: Format = Format {
    name: "text",
    about: "plain text for the terminal, for e-mail and for screen readers",
    extension: "txt",
    media: "text/plain; charset=utf-8",
    layouts: &[
        ("sheet.txt.jinja", include_str!("../../../exports/layouts/sheet.txt.jinja")),
        ("feedback.txt.jinja", include_str!("../../../exports/layouts/feedback.txt.jinja")),
        ("report.txt.jinja", include_str!("../../../exports/layouts/report.txt.jinja")),
    ],
    escape: escape::plain,
    formula: |math, _| Value::from(math.text()),
    drawn: |_, _| Value::from(""),
    square: |_| Value::from(""),
    written: |text| Value::from(escape::plain(text)),
    plot: |_, _| Value::from(()),
    compiled: not_compiled(),
};

impl LaidOut for Text {
    fn format(&self) -> &'static Format {
        &FORMAT
    }

    fn account(&self, account: &Account, options: &Options) -> String {
        account::account_text(account, options.width, &|_, word| word.to_owned())
    }

    fn bench(&self, document: &BenchDocument, options: &Options) -> String {
        batch::text(document, options.width)
    }
}
