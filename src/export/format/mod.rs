//! The formats: what an exporter is, how one with layouts works, then one file for each.

mod exporter;
mod laid_out;
mod office_file;
mod text;
mod markdown;
pub(in crate::export) mod html;
mod json;
mod csv;
#[cfg(feature = "pdf")]
mod pdf;

pub use csv::Csv;
pub use exporter::Exporter;
pub use html::Html;
pub use json::Json;
pub use markdown::Markdown;
pub use office_file::office_file;
#[cfg(feature = "pdf")]
pub use pdf::Pdf;
pub use text::Text;
