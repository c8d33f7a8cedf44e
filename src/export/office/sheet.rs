//! A document of the office as plain data.

use crate::export::{Detail, Front, Square};

/// A list, a plan or labels.
#[derive(Clone, Debug)]
pub struct OfficeSheet {
    /// What the institution puts around it.
    pub front: Front,
    /// The heading.
    pub title: String,
    /// What stands at the foot of every page beside the title.
    pub foot: Vec<String>,
    /// Short facts under the heading.
    pub details: Vec<Detail>,
    /// A code for a camera beside them.
    pub square: Option<Square>,
    /// What follows.
    pub blocks: Vec<OfficeBlock>,
}

/// A piece of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum OfficeBlock {
    /// A heading of what follows.
    Heading(String),
    /// A paragraph.
    Words(String),
    /// A table with lines around its cells, to read or to fill in.
    Table {
        /// The columns.
        columns: Vec<OfficeColumn>,
        /// The rows; short rows are filled up with blanks.
        rows: Vec<Vec<String>>,
    },
    /// Boxes beside each other, such as seats: each has lines, the first of them large.
    Boxes {
        /// How many stand beside each other.
        across: usize,
        /// The boxes.
        boxes: Vec<Vec<String>>,
        /// Whether they are to be cut apart.
        cut: bool,
    },
    /// What follows begins a page.
    NewPage,
}

/// A column of a table.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OfficeColumn {
    /// Its heading.
    pub heading: String,
    /// Whether it is to be filled in, and so as wide as there is space.
    pub is_blank: bool,
    /// Whether it holds sentences, which may take several lines.
    pub is_long: bool,
}

impl OfficeColumn {
    /// A column of a word or number in each row.
    pub fn short(heading: &str) -> Self {
        Self { heading: heading.to_owned(), is_blank: false, is_long: false }
    }

    /// A column of sentences.
    pub fn long(heading: &str) -> Self {
        Self { is_long: true, ..Self::short(heading) }
    }

    /// A column to write in.
    pub fn blank(heading: &str) -> Self {
        Self { is_blank: true, ..Self::short(heading) }
    }
}

impl OfficeBlock {
    /// Whether a table has columns to write in, and so needs high rows.
    pub(super) fn is_to_fill_in(columns: &[OfficeColumn]) -> bool {
        columns.iter().any(|column| column.is_blank)
    }
}
