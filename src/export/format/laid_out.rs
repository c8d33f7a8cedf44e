//! Formats with layouts: how a document is filled into one.

use std::fmt;

use minijinja::Value;

use crate::analysis::Report;
use crate::marking::Account;

use crate::export::analysis::report_fields;
use crate::export::fields::view;
use crate::export::format::Exporter;
use crate::export::layout::format::Format;
use crate::export::layout::mistakes::{OWN, problem};
use crate::export::marks::feedback_fields;
use crate::export::{
    BenchDocument, CAUTION, DocumentKind, ExportError, Feedback, Front, Layout, LayoutProblem,
    Options, Sheet,
};

/// An exporter that fills a sheet into the layout of its format; all of them work alike.
pub(super) trait LaidOut {
    /// What sets it apart.
    fn format(&self) -> &'static Format;

    /// The account of a marking, which has no layout.
    fn account(&self, account: &Account, options: &Options) -> String;

    /// A document for the bench, which has none either.
    fn bench(&self, document: &BenchDocument, options: &Options) -> String;
}

impl<T: LaidOut + fmt::Debug + Sync> Exporter for T {
    fn name(&self) -> &'static str {
        self.format().name
    }

    fn about(&self) -> &'static str {
        self.format().about
    }

    fn extension(&self) -> &'static str {
        self.format().extension
    }

    fn media(&self) -> &'static str {
        self.format().media
    }

    fn makes(&self, _kind: DocumentKind) -> bool {
        true
    }

    fn bundled_layout_of(&self, kind: DocumentKind) -> Option<(&'static str, &'static str)> {
        self.format().layouts_of(kind).next().copied()
    }

    fn layout_of(
        &self,
        kind: DocumentKind,
        name: &str,
        text: &str,
    ) -> Result<Layout, LayoutProblem> {
        Layout::compile(self.format(), kind, name, text)
    }

    fn export(&self, sheet: &Sheet, options: &Options) -> Result<Vec<u8>, ExportError> {
        self.format().sheet(sheet, options).map(String::into_bytes)
    }

    fn export_account(&self, account: &Account, options: &Options) -> Result<Vec<u8>, ExportError> {
        options.without_layout(self.format().name)?;
        Ok(self.account(account, options).into_bytes())
    }

    fn export_feedback(
        &self,
        feedback: &Feedback,
        options: &Options,
    ) -> Result<Vec<u8>, ExportError> {
        self.format().feedback(feedback, options).map(String::into_bytes)
    }

    fn export_report(
        &self,
        report: &Report,
        front: &Front,
        options: &Options,
    ) -> Result<Vec<u8>, ExportError> {
        self.format().report(report, front, options).map(String::into_bytes)
    }

    fn export_bench(
        &self,
        document: &BenchDocument,
        options: &Options,
    ) -> Result<Vec<u8>, ExportError> {
        options.without_layout(self.format().name)?;
        Ok(self.bench(document, options).into_bytes())
    }
}

impl Format {
    /// A sheet in the format.
    pub(in crate::export) fn sheet(
        &'static self,
        sheet: &Sheet,
        options: &Options,
    ) -> Result<String, ExportError> {
        let fields = view::fields(sheet, options, self);
        self.fill(DocumentKind::Sheet, fields, sheet.entries.len(), options)
    }

    /// Feedback in the format.
    pub(in crate::export) fn feedback(
        &'static self,
        feedback: &Feedback,
        options: &Options,
    ) -> Result<String, ExportError> {
        let fields = feedback_fields(feedback, options, self);
        self.fill(DocumentKind::Feedback, fields, feedback.questions.len(), options)
    }

    /// A report in the format.
    pub(in crate::export) fn report(
        &'static self,
        report: &Report,
        front: &Front,
        options: &Options,
    ) -> Result<String, ExportError> {
        let (fields, rows) = report_fields(report, front, options, self);
        self.fill(DocumentKind::Report, fields, rows, options)
    }

    /// Fills a document of so many pieces into the layout of the options, or the format's own.
    fn fill(
        &'static self,
        kind: DocumentKind,
        fields: Value,
        pieces: usize,
        options: &Options,
    ) -> Result<String, ExportError> {
        let own = self.layouts_of(kind).next().map_or("", |(name, _)| *name);
        let (environment, template, name) = match &options.layout {
            None => (self.environment(kind)?, own, own),
            Some(layout) if layout.format.name != self.name => {
                let layout = layout.format.name;
                return Err(ExportError::OtherFormat { layout, asked: self.name });
            }
            Some(layout) if layout.kind() != kind => {
                let (layout, asked) = (layout.kind(), kind);
                return Err(ExportError::OtherKind { layout, asked });
            }
            Some(layout) => (layout.fuelled.of(pieces), OWN, layout.name()),
        };
        let source = |template: &str| {
            environment.get_template(template).ok().map(|found| found.source().to_owned())
        };
        let watch = options.layout.as_ref().and_then(|layout| layout.watch);
        let _watched = watch.map(|watch| watch());
        let page = environment
            .get_template(template)
            .and_then(|template| template.render(fields))
            .map_err(|error| problem(&error, name, source))?;
        let whole = options.layout.as_ref().is_some_and(|layout| !layout.piece);
        if whole && !self.cautions(&page) { Err(uncautioned(name).into()) } else { Ok(page) }
    }

    /// Whether a page by a layout of someone's own says the caution, however its lines are broken.
    fn cautions(&self, page: &str) -> bool {
        let caution = (self.escape)(CAUTION);
        let plain = |text: &str| text.split_whitespace().collect::<String>();
        plain(page).contains(&plain(&caution))
    }
}

/// A layout that leaves the caution out.
fn uncautioned(name: &str) -> LayoutProblem {
    LayoutProblem {
        name: name.to_owned(),
        location: None,
        what: "the sheet does not say the caution".to_owned(),
        help: "write `{{ caution }}` where every reader sees it".to_owned(),
    }
}
