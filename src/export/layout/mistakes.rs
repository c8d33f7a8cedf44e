//! A mistake in a layout, told with its location and what to do about it.

use std::error::Error as _;
use std::ops::Range;

use minijinja::{Error, ErrorKind};

use crate::bank::marked_by;
use crate::formula::nearest;

use crate::export::layout::LayoutProblem;
use crate::export::layout::fields::FIELDS;

/// The name of a layout of one's own among the templates.
pub(in crate::export) const OWN: &str = "own layout";

/// What went wrong, where, and what to do about it.
pub(in crate::export) fn problem(
    error: &Error,
    name: &str,
    source: impl Fn(&str) -> Option<String>,
) -> LayoutProblem {
    // The innermost error is the one with the location of the mistake.
    let mut error = error;
    while let Some(inner) = error.source().and_then(|inner| inner.downcast_ref::<Error>()) {
        error = inner;
    }
    let template = error.name().unwrap_or(OWN);
    let text = source(template).unwrap_or_default();
    let mut range = marked_by(error).unwrap_or_default();
    if error.kind() == ErrorKind::UndefinedError {
        // What a filter was given is wrong, and not the filter that is marked.
        range = filtered(&text, range.start).unwrap_or(range);
    }
    let marked = text.get(range.clone()).unwrap_or_default();
    let location = error.line().map(|line| {
        // Of `entry.heeding` the last name is the one that is wrong.
        let skipped = match error.kind() {
            ErrorKind::UndefinedError => marked.len() - last_name(marked).len(),
            _ => 0,
        };
        let before = text.get(..range.start + skipped).unwrap_or_default();
        let column = before.rsplit('\n').next().map_or(0, |last| last.chars().count());
        (line, column + 1)
    });
    let name = if template == OWN { name } else { template };
    let (what, help) = explain(error, marked);
    LayoutProblem { name: name.to_owned(), location, what, help }
}

/// The name that stands before the filter at a location, if one does.
fn filtered(text: &str, filter: usize) -> Option<Range<usize>> {
    let name = text.get(..filter)?.trim_end().strip_suffix('|')?.trim_end();
    let ends = |letter: char| !(letter.is_alphanumeric() || matches!(letter, '_' | '.'));
    let begin = name.rfind(ends).map_or(0, |at| at + 1);
    (begin < name.len()).then_some(begin..name.len())
}

/// What to do about a mistake in the syntax.
fn mend(detail: &str) -> String {
    if detail.contains("unknown statement end") {
        "an `{% endfor %}` or `{% endif %}` is missing before this place; close what was opened"
            .to_owned()
    } else {
        "mend the tag at this place".to_owned()
    }
}

fn last_name(path: &str) -> &str {
    path.rsplit('.').next().unwrap_or_default().trim_start()
}

fn explain(error: &Error, marked: &str) -> (String, String) {
    const GUIDE: &str = "the guide exports/layouts/README.md lists what a layout can use";
    let detail = error.detail().unwrap_or_default();
    match error.kind() {
        ErrorKind::UndefinedError => {
            let field = last_name(marked);
            if FIELDS.contains(&field) {
                return (format!("there is no `{field}` here on this sheet"), GUIDE.to_owned());
            }
            let what = format!("`{field}` is not a field");
            match nearest(field, FIELDS.iter().copied()) {
                Some(near) => (what, format!("did you mean `{near}`? {GUIDE}")),
                None => (what, GUIDE.to_owned()),
            }
        }
        ErrorKind::SyntaxError => (format!("the layout cannot be read: {detail}"), mend(detail)),
        ErrorKind::TemplateNotFound | ErrorKind::BadInclude => (
            format!("no layout to include: {detail}"),
            "a layout can include or extend only the one of its own format, by its file name"
                .to_owned(),
        ),
        ErrorKind::OutOfFuel => (
            "the layout takes too long".to_owned(),
            "look for a loop inside a loop that runs over everything".to_owned(),
        ),
        kind => {
            let what = if detail.is_empty() { kind.to_string() } else { detail.to_owned() };
            (what, GUIDE.to_owned())
        }
    }
}
