//! Documents of the office: lists, plans and labels, as plain data and as bytes in every format.
//!
//! An [`OfficeSheet`] is headings, sentences, tables and boxes; it has no layout of its own, so that
//! every format sets it alike. What stands in one is put together in [`super::room`].

mod sheet;
mod text;
mod markdown;
mod html;
mod json;
#[cfg(feature = "pdf")]
mod pdf;

pub use sheet::{OfficeBlock, OfficeColumn, OfficeSheet};

use super::{ExportError, Exporter, Options};

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
