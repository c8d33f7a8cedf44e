//! A block of the stem of a problem.

/// A block of text that a candidate reads.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Block {
    /// Running text.
    Paragraph(String),
    /// A list of points.
    List(Vec<String>),
    /// A small table.
    Table {
        /// The heads of the columns.
        head: Vec<String>,
        /// The cells, row by row.
        rows: Vec<Vec<String>>,
    },
}
