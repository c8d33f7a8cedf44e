//! Blocks of a document in Markdown.

use crate::export::CAUTION;

use super::escape::{markdown, plain};

/// A block that begins so, such as `## ` or nothing, and the blank line behind it.
pub(in crate::export) fn block(out: &mut String, begin: &str, text: &str) {
    out.push_str(begin);
    markdown(out, &plain(text));
    out.push_str("\n\n");
}

/// The document with the caution at its end.
pub(in crate::export) fn cautioned(mut out: String) -> String {
    block(&mut out, "> ", CAUTION);
    out.truncate(out.trim_end().len());
    out.push('\n');
    out
}
