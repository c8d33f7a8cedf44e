//! A section of the report: a heading with words and a table.

/// A heading with what stands under it.
#[derive(Clone, Debug)]
pub(super) struct Section {
    /// The heading.
    pub title: &'static str,
    /// What is said before the table, a paragraph each.
    pub before: Vec<String>,
    /// The table, if there is one.
    pub table: Option<Grid>,
    /// What is said after the table, a paragraph each.
    pub after: Vec<String>,
}

/// A table. The first column names the rows.
#[derive(Clone, Debug)]
pub(super) struct Grid {
    /// The headings, each with whether the column holds numbers.
    pub head: Vec<(&'static str, bool)>,
    /// The rows.
    pub rows: Vec<Vec<String>>,
}
