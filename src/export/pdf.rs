//! PDF: pages for print and for screen readers, set by Typst from a layout in its markup.
//!
//! Every file is PDF/UA-1: it is tagged, names its language and title, and says formulas and
//! drawings in words.

use std::sync::OnceLock;

use minijinja::Value;

use crate::formula::Math;

use super::layout::Format;
use super::typeset::typeset;
use super::{
    BenchDocument, ExportError, Exporter, Layout, LayoutProblem, Options, Sheet, Typesetter, batch,
    escape,
};

/// The PDF exporter.
#[derive(Clone, Copy, Debug)]
pub struct Pdf;

static FORMAT: Format = Format {
    name: "pdf",
    about: "pages to print, tagged for screen readers",
    extension: "pdf",
    media: "application/pdf",
    file: "sheet.typ.jinja",
    source: include_str!("../../exports/layouts/sheet.typ.jinja"),
    escape: escape::typst_text,
    formula,
    drawn: |picture, _| Value::from_safe_string(picture.typst()),
    square: |square| {
        let (svg, said) = (square.svg(""), square.sentence());
        let (svg, said) = (escape::typst_quoted(&svg), escape::typst_quoted(&said));
        Value::from_safe_string(format!(
            "#image(bytes({svg}), format: \"svg\", width: 22mm, alt: {said})"
        ))
    },
    compiled: OnceLock::new(),
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
        let markup = FORMAT.render(sheet, options)?;
        Ok(String::from_utf8_lossy(&markup).into_owned())
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

    fn bundled_layout(&self) -> Option<(&'static str, &'static str)> {
        Some((FORMAT.file, FORMAT.source))
    }

    fn layout(&self, name: &str, text: &str) -> Result<Layout, LayoutProblem> {
        FORMAT.layout(name, text)
    }

    fn export(&self, sheet: &Sheet, options: &Options) -> Result<Vec<u8>, ExportError> {
        let markup = self.markup(sheet, options)?;
        let set = options.layout.as_ref().map_or(typeset as Typesetter, Layout::typesetter);
        set(&markup, options.font.as_ref()).map_err(|(what, piece)| {
            let name = options.layout.as_ref().map_or(FORMAT.file, Layout::name);
            ExportError::Layout(LayoutProblem::not_set(name, &what, &piece))
        })
    }

    fn export_bench(
        &self,
        document: &BenchDocument,
        options: &Options,
    ) -> Result<Vec<u8>, ExportError> {
        if options.layout.is_some() {
            return Err(ExportError::NoLayouts(self.name()));
        }
        batch::pdf(document, options.paper, options.type_size)
    }
}
