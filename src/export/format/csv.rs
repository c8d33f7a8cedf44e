//! A table with commas, for spreadsheets: the report of an item analysis alone.

use crate::analysis::Report;

use crate::export::analysis::analysis_csv;
use crate::export::format::Exporter;
use crate::export::{BenchDocument, DocumentKind, ExportError, Front, Options, Sheet};

/// The exporter of tables with commas.
#[derive(Clone, Copy, Debug)]
pub struct Csv;

impl Csv {
    fn makes_no_sheet(self) -> ExportError {
        ExportError::NotMade { format: self.name(), kind: DocumentKind::Sheet }
    }
}

impl Exporter for Csv {
    fn name(&self) -> &'static str {
        "csv"
    }

    fn about(&self) -> &'static str {
        "a row an item, for a spreadsheet"
    }

    fn extension(&self) -> &'static str {
        "csv"
    }

    fn media(&self) -> &'static str {
        "text/csv; charset=utf-8"
    }

    fn makes(&self, kind: DocumentKind) -> bool {
        kind == DocumentKind::Report
    }

    fn export(&self, _sheet: &Sheet, _options: &Options) -> Result<Vec<u8>, ExportError> {
        Err(self.makes_no_sheet())
    }

    fn export_report(
        &self,
        report: &Report,
        _front: &Front,
        options: &Options,
    ) -> Result<Vec<u8>, ExportError> {
        options.without_layout(self.name())?;
        Ok(analysis_csv(report).into_bytes())
    }

    fn export_bench(
        &self,
        _document: &BenchDocument,
        _options: &Options,
    ) -> Result<Vec<u8>, ExportError> {
        Err(self.makes_no_sheet())
    }
}
