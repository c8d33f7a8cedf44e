//! The account of a marking as bytes: text for a terminal, Markdown, a web page, and JSON for programs.

mod text;
mod markdown;
mod html;
mod json;
mod sheet;

pub(in crate::export) use html::account_html;
pub(in crate::export) use json::account_json;
pub(in crate::export) use markdown::account_markdown;
pub use sheet::marked_sheet;
pub use text::{account_line_text, account_text};
