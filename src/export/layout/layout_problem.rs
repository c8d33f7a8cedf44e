//! A mistake in a layout, told with its location and what to do.

use std::fmt;

/// A mistake in a layout, with its location.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LayoutProblem {
    /// The layout, as its file is called.
    pub name: String,
    /// Line and column, counted from 1; the column in characters.
    pub location: Option<(usize, usize)>,
    /// What is wrong.
    pub what: String,
    /// What to do.
    pub help: String,
}

impl LayoutProblem {
    /// A layout that was filled in, but makes no sound pages.
    #[cfg(feature = "pdf")]
    pub(in crate::export) fn not_set(
        name: &str,
        layout: &str,
        problem: &crate::export::MarkupProblem,
        markup: &str,
    ) -> Self {
        let line = problem.line.checked_sub(1).and_then(|before| markup.lines().nth(before));
        let piece: String = problem.piece.chars().take(60).collect();
        let at = if piece.is_empty() { String::new() } else { format!(" at `{piece}`") };
        Self {
            name: name.to_owned(),
            location: line.and_then(|line| {
                crate::export::typeset::origin::origin(layout, line, &problem.piece)
            }),
            what: format!("the pages cannot be set: {}{at}", problem.what),
            help: "mend this piece of Typst markup".to_owned(),
        }
    }

    /// A layout for what takes none: `a sheet as json`.
    pub(in crate::export) fn not_laid_out(name: &str, of: &str) -> Self {
        Self {
            name: name.to_owned(),
            location: None,
            what: format!("{of} takes no layout"),
            help: "leave the layout out or choose another format".to_owned(),
        }
    }
}

impl fmt::Display for LayoutProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.name)?;
        if let Some((line, column)) = self.location {
            write!(f, ":{line}:{column}")?;
        }
        write!(f, ": {}; {}", self.what, self.help)
    }
}

impl std::error::Error for LayoutProblem {}
