//! One format of a sheet, an account, feedback, a report or a document for the bench.

use std::fmt;

use crate::analysis::Report;
use crate::marking::Account;

use crate::export::{
    BenchDocument, DocumentKind, ExportError, Feedback, Front, Layout, LayoutProblem, Options,
    Sheet,
};

/// One format of a sheet.
pub trait Exporter: fmt::Debug + Sync {
    /// The word a person asks for it by: `html`.
    fn name(&self) -> &'static str;

    /// What it is good for, in one line.
    fn about(&self) -> &'static str;

    /// The ending of a file's name, without the point: `html`.
    fn extension(&self) -> &'static str;

    /// The media type of the bytes: `text/html; charset=utf-8`.
    fn media(&self) -> &'static str;

    /// Whether the bytes are text, which can be shown as they are.
    fn is_text(&self) -> bool {
        true
    }

    /// Whether the bytes are a package for a platform, which asks the questions and marks them. It is
    /// made of questions, keys and solutions together.
    fn is_package(&self) -> bool {
        false
    }

    /// Whether documents of that kind can be made of it.
    fn makes(&self, kind: DocumentKind) -> bool {
        kind == DocumentKind::Sheet
    }

    /// What a sheet holds that the format cannot say, each in a sentence for whoever makes the file.
    fn left_out(&self, _sheet: &Sheet) -> Vec<String> {
        Vec::new()
    }

    /// The layout of sheets it uses when it is given none: file name and text, for copying and changing.
    /// `None` for a format that has no layout.
    fn bundled_layout(&self) -> Option<(&'static str, &'static str)> {
        self.bundled_layout_of(DocumentKind::Sheet)
    }

    /// The same of that kind.
    fn bundled_layout_of(&self, _kind: DocumentKind) -> Option<(&'static str, &'static str)> {
        None
    }

    /// Compiles a layout of sheets of one's own; `name` is what its errors call it.
    ///
    /// # Errors
    /// When the layout has a mistake in its syntax, or the format has no layouts.
    fn layout(&self, name: &str, text: &str) -> Result<Layout, LayoutProblem> {
        self.layout_of(DocumentKind::Sheet, name, text)
    }

    /// The same of that kind.
    ///
    /// # Errors
    /// When the layout has a mistake in its syntax, or the format has no layouts.
    fn layout_of(
        &self,
        _kind: DocumentKind,
        name: &str,
        _text: &str,
    ) -> Result<Layout, LayoutProblem> {
        Err(LayoutProblem::not_laid_out(name, &format!("a sheet as {}", self.name())))
    }

    /// The sheet as the bytes of a file.
    ///
    /// # Errors
    /// When the format [makes](Self::makes) none, or a layout of one's own cannot be filled in or was
    /// compiled for another format.
    fn export(&self, sheet: &Sheet, options: &Options) -> Result<Vec<u8>, ExportError>;

    /// The account of a marking as the bytes of a file.
    ///
    /// # Errors
    /// When the format [makes](Self::makes) none, or there is a layout of one's own, which an account
    /// does not take.
    fn export_account(
        &self,
        _account: &Account,
        _options: &Options,
    ) -> Result<Vec<u8>, ExportError> {
        Err(ExportError::NotMade { format: self.name(), kind: DocumentKind::Account })
    }

    /// What a candidate gets back as the bytes of a file.
    ///
    /// # Errors
    /// When the format [makes](Self::makes) none, or a layout of one's own cannot be filled in or is for
    /// something else.
    fn export_feedback(
        &self,
        _feedback: &Feedback,
        _options: &Options,
    ) -> Result<Vec<u8>, ExportError> {
        Err(ExportError::NotMade { format: self.name(), kind: DocumentKind::Feedback })
    }

    /// The report of an item analysis as the bytes of a file, with what the institution puts around it.
    ///
    /// # Errors
    /// When the format [makes](Self::makes) none, or a layout of one's own cannot be filled in or is for
    /// something else.
    fn export_report(
        &self,
        _report: &Report,
        _front: &Front,
        _options: &Options,
    ) -> Result<Vec<u8>, ExportError> {
        Err(ExportError::NotMade { format: self.name(), kind: DocumentKind::Report })
    }

    /// A document for the bench as the bytes of a file.
    ///
    /// # Errors
    /// When the format is for questions alone, or there is a layout of one's own, which such a document
    /// does not take.
    fn export_bench(
        &self,
        _document: &BenchDocument,
        _options: &Options,
    ) -> Result<Vec<u8>, ExportError> {
        Err(ExportError::QuestionsOnly(self.name()))
    }
}
