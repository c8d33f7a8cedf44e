//! PDF: pages for print and for screen readers, set by Typst from a layout in its markup.
//!
//! Every file is PDF/UA-1: it is tagged, names its language and title, and says formulas and
//! drawings in words.

use minijinja::Value;

use crate::analysis::Report;
use crate::formula::Math;

use crate::export::format::Exporter;
use crate::export::layout::format::{Format, not_compiled};
use crate::export::pages::LOOK;
use crate::export::typeset::setting::typeset;
use crate::export::writing::escape;
use crate::export::{
    BenchDocument, DocumentKind, ExportError, Feedback, Front, Layout, LayoutProblem, Options,
    Sheet, Typesetter, batch,
};

/// The PDF exporter.
#[derive(Clone, Copy, Debug)]
pub struct Pdf;

static FORMAT: Format = Format {
    name: "pdf",
    about: "pages to print, tagged for screen readers",
    extension: "pdf",
    media: "application/pdf",
    layouts: &[
        ("sheet.typ.jinja", include_str!("../../../exports/layouts/sheet.typ.jinja")),
        ("feedback.typ.jinja", include_str!("../../../exports/layouts/feedback.typ.jinja")),
        ("report.typ.jinja", include_str!("../../../exports/layouts/report.typ.jinja")),
        ("pages.typ", LOOK),
    ],
    escape: |text| escape::written(text, escape::typst_text),
    formula,
    drawn: |picture, _| Value::from_safe_string(picture.typst()),
    square: |square| {
        let (svg, said) = (square.svg(""), square.sentence());
        let (svg, said) = (escape::typst_quoted(&svg), escape::typst_quoted(&said));
        Value::from_safe_string(format!(
            "#image(bytes({svg}), format: \"svg\", width: 22mm, alt: {said})"
        ))
    },
    written: |text| {
        let mut written = String::new();
        escape::typst_written(&mut written, &escape::plain(text));
        Value::from_safe_string(written)
    },
    plot: |svg, said| {
        // Words of a drawing know nothing of the letters around it.
        let svg = svg.replacen("<svg ", "<svg font-family=\"Noto Sans\" ", 1);
        let (svg, said) = (escape::typst_quoted(&svg), escape::typst_quoted(said));
        Value::from_safe_string(format!(
            "image(bytes({svg}), format: \"svg\", alt: {said}, width: 92%)"
        ))
    },
    compiled: not_compiled(),
};

/// A formula as an equation; one too long for a line is text, which wraps better.
fn formula(math: &Math, room: usize) -> Value {
    let text = math.text();
    if text.chars().count() > room {
        return Value::from(text);
    }
    let said = escape::typst_quoted(&text);
    Value::from_safe_string(format!("#math.equation(alt: {said}, $display({})$)", math.typst()))
}

impl Pdf {
    /// The markup that is set in pages.
    ///
    /// # Errors
    /// When a layout of one's own cannot be filled in, or was compiled for another format.
    pub fn markup(self, sheet: &Sheet, options: &Options) -> Result<String, ExportError> {
        FORMAT.sheet(sheet, options)
    }

    /// The file of markup that was filled into a layout of that kind.
    fn set(
        self,
        kind: DocumentKind,
        markup: &str,
        options: &Options,
    ) -> Result<Vec<u8>, ExportError> {
        let own = options.layout.as_ref();
        let set = own.map_or(typeset as Typesetter, Layout::typesetter);
        set(markup, options.font.as_ref()).map_err(|problem| {
            let (bundled, source) = self.bundled_layout_of(kind).unwrap_or_default();
            let name = own.map_or(bundled, Layout::name);
            let text = own.map_or_else(|| source.to_owned(), Layout::text);
            ExportError::Layout(LayoutProblem::not_set(name, &text, &problem, markup))
        })
    }
}

impl Exporter for Pdf {
    fn name(&self) -> &'static str {
        FORMAT.name
    }

    fn about(&self) -> &'static str {
        FORMAT.about
    }

    fn extension(&self) -> &'static str {
        FORMAT.extension
    }

    fn media(&self) -> &'static str {
        FORMAT.media
    }

    fn is_text(&self) -> bool {
        false
    }

    fn makes(&self, kind: DocumentKind) -> bool {
        kind != DocumentKind::Account
    }

    fn bundled_layout_of(&self, kind: DocumentKind) -> Option<(&'static str, &'static str)> {
        FORMAT.layouts_of(kind).next().copied()
    }

    fn layout_of(
        &self,
        kind: DocumentKind,
        name: &str,
        text: &str,
    ) -> Result<Layout, LayoutProblem> {
        Layout::compile(&FORMAT, kind, name, text)
    }

    fn export(&self, sheet: &Sheet, options: &Options) -> Result<Vec<u8>, ExportError> {
        self.set(DocumentKind::Sheet, &FORMAT.sheet(sheet, options)?, options)
    }

    fn export_feedback(
        &self,
        feedback: &Feedback,
        options: &Options,
    ) -> Result<Vec<u8>, ExportError> {
        self.set(DocumentKind::Feedback, &FORMAT.feedback(feedback, options)?, options)
    }

    fn export_report(
        &self,
        report: &Report,
        front: &Front,
        options: &Options,
    ) -> Result<Vec<u8>, ExportError> {
        self.set(DocumentKind::Report, &FORMAT.report(report, front, options)?, options)
    }

    fn export_bench(
        &self,
        document: &BenchDocument,
        options: &Options,
    ) -> Result<Vec<u8>, ExportError> {
        options.without_layout(self.name())?;
        batch::pdf(document, options.paper, options.type_size)
    }
}
