//! A document for the bench, before it has a format.

use serde_json::Value;

use crate::batch::WorkingStep;

/// A document for the bench.
#[derive(Clone, Debug)]
pub struct BenchDocument {
    /// The heading.
    pub title: String,
    /// What is on it, in the order of reading.
    pub pieces: Vec<Piece>,
    /// The same for programs.
    pub(super) data: Value,
}

/// A piece of a document.
#[derive(Clone, Debug)]
pub enum Piece {
    /// A heading; in print, one that begins a part is followed by it on a new page.
    Heading {
        /// The words.
        words: &'static str,
        /// Whether it begins a new page.
        new_page: bool,
    },
    /// A paragraph.
    Paragraph(String),
    /// What must not be overlooked, with what to do.
    Warning {
        /// What it is.
        what: String,
        /// What to do.
        advice: String,
    },
    /// Places to write in, each with what belongs there.
    Blanks(&'static [&'static str]),
    /// A table; the columns of `blanks` are empty, to be written in.
    Table {
        /// The heads of the columns that are filled.
        head: Vec<String>,
        /// The rows.
        rows: Vec<Vec<String>>,
        /// The heads of the columns to write in.
        blanks: &'static [&'static str],
    },
    /// Numbered lines.
    Numbered(Vec<String>),
    /// Lines in a box, such as a label.
    Boxed(Vec<String>),
    /// Steps of a working.
    Working {
        /// What they find.
        title: String,
        /// The steps.
        steps: Vec<WorkingStep>,
    },
}
