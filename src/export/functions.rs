//! What a layout can call: text in lines, words at the margin, and tables in columns.

use minijinja::State;

use super::lines;

/// `{{ text|hang("  (a) ", "      ") }}`: a paragraph in lines, with a hanging indent.
pub(super) fn hang(
    state: &State<'_, '_>,
    text: &str,
    first: Option<&str>,
    rest: Option<&str>,
) -> String {
    let first = first.unwrap_or_default();
    lines::hang(text, width(state), first, rest.unwrap_or(first))
}

/// `{{ lines|margin("2 marks") }}`: a few words at the right margin.
pub(super) fn margin(state: &State<'_, '_>, text: &str, mark: &str) -> String {
    lines::margin(text, width(state), mark)
}

/// `{{ columns(head, rows, "  ") }}`: a table in columns, or row by row where it is too wide.
#[allow(clippy::needless_pass_by_value, reason = "minijinja hands lists over by value")]
pub(super) fn columns(
    state: &State<'_, '_>,
    head: Vec<String>,
    rows: Vec<Vec<String>>,
    indent: Option<&str>,
) -> String {
    lines::columns(&head, &rows, width(state), indent.unwrap_or_default())
}

fn width(state: &State<'_, '_>) -> usize {
    state.lookup("width").and_then(|width| width.as_usize()).unwrap_or(80)
}
