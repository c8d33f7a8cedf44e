//! What a layout can call: text in lines, words at the margin, and tables in columns.

use minijinja::{Error, ErrorKind, State, Value};

use crate::export::writing::lines;

/// `{{ text|hang("  (a) ", "      ") }}`: a paragraph in lines, with a hanging indent.
pub(super) fn hang(
    state: &State<'_, '_>,
    text: &str,
    first: Option<&str>,
    rest: Option<&str>,
) -> Result<String, Error> {
    let first = first.unwrap_or_default();
    let rest = rest.unwrap_or(first);
    beside(first)?;
    beside(rest)?;
    // At worst every letter is a line of its own.
    spend(state, text.len().saturating_mul(1 + rest.len()))?;
    Ok(lines::hang(text, width(state), first, rest))
}

/// `{{ text|margin("2 marks") }}`: a few words at the right margin.
pub(super) fn margin(state: &State<'_, '_>, text: &str, mark: &str) -> Result<String, Error> {
    beside(mark)?;
    spend(state, text.len().saturating_mul(2))?;
    Ok(lines::margin(text, width(state), mark))
}

/// `{{ items|longest }}`: how many letters the longest text of options, pairs or lines has.
#[allow(clippy::needless_pass_by_value, reason = "minijinja hands lists over by value")]
pub(super) fn longest(items: Vec<Value>) -> usize {
    let texts = items.iter().filter_map(|item| item.get_attr("text").ok());
    let letters = texts.filter_map(|text| text.as_str().map(|text| text.chars().count()));
    letters.max().unwrap_or_default()
}

/// `{{ columns(head, rows, "  ") }}`: a table in columns, or row by row where it is too wide.
#[allow(clippy::needless_pass_by_value, reason = "minijinja hands lists over by value")]
pub(super) fn columns(
    state: &State<'_, '_>,
    head: Vec<String>,
    rows: Vec<Vec<String>>,
    indent: Option<&str>,
) -> Result<String, Error> {
    let indent = indent.unwrap_or_default();
    beside(indent)?;
    // Each cell is filled up to the widest of its column, or told with its heading.
    let cells = || head.iter().chain(rows.iter().flatten());
    let widest = cells().map(String::len).max().unwrap_or_default();
    spend(state, cells().count().saturating_mul(widest + indent.len() + 2))?;
    Ok(lines::columns(&head, &rows, width(state), indent))
}

/// What stands beside a text: an indent or a few words.
fn beside(text: &str) -> Result<(), Error> {
    const LONGEST: usize = 200;
    if text.len() <= LONGEST {
        return Ok(());
    }
    let what = format!("expected at most {LONGEST} bytes beside a text, found {}", text.len());
    Err(Error::new(ErrorKind::InvalidOperation, what))
}

/// Burns as much fuel as there are bytes to be written.
pub(super) fn spend(state: &State<'_, '_>, bytes: usize) -> Result<(), Error> {
    state.consume_fuel(u64::try_from(bytes).unwrap_or(u64::MAX))
}

fn width(state: &State<'_, '_>) -> usize {
    state.lookup("width").and_then(|width| width.as_usize()).unwrap_or(80)
}
