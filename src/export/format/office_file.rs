//! A document of the office in every format; it has no layout, so each sets it alike.

#[cfg(feature = "pdf")]
use crate::export::office::pdf;
use crate::export::office::{OfficeSheet, html, json, markdown, text};
use crate::export::{ExportError, Options};

use super::exporter::Exporter;

/// The sheet as the bytes of a file of that format.
///
/// # Errors
/// When the pages cannot be set, which no text of a class brings about.
pub fn office_file(
    sheet: &OfficeSheet,
    exporter: &dyn Exporter,
    options: &Options,
) -> Result<Vec<u8>, ExportError> {
    let text = match exporter.name() {
        "html" => html::page(sheet, options),
        "markdown" => markdown::text(sheet),
        "json" => json::text(sheet),
        #[cfg(feature = "pdf")]
        "pdf" => return pdf::pages(sheet, options),
        _ => text::text(sheet, options.width),
    };
    Ok(text.into_bytes())
}
