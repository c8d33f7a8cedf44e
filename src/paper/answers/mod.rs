//! The answers of a class.
//!
//! They come as a table with commas or as JSON Lines, one row for each candidate and part or one for
//! each candidate. Whatever cannot be placed is a problem with its line and column, and all problems
//! are told at once: no answer is dropped in silence.

mod asked;
mod heading;
mod json_lines;
mod line_count;
mod rows;
mod sorting;
mod table;

use std::collections::BTreeMap;

use super::ListProblem;

pub use asked::Asked;
pub(super) use asked::{Misplaced, PartPlace};
pub(super) use heading::digits_and_letters;
use line_count::LineCount;
pub(super) use rows::Rows;
use sorting::Sorting;

/// The answers of a class, sorted into its papers.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Answers {
    /// For each paper of the set what its candidate wrote; `None` for a candidate who is not among
    /// the answers at all.
    pub papers: Vec<Option<PaperAnswers>>,
}

/// What one candidate wrote.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct PaperAnswers {
    /// For each question, as printed, the answer to each part; a blank one is empty.
    pub questions: Vec<Vec<String>>,
    /// The steps of the working that were entered, by the question, as printed, and the place of the
    /// step in its template.
    pub steps: BTreeMap<(usize, usize), String>,
}

/// The longest answer, in characters: several pages of writing.
const LONGEST_ANSWER: usize = 20_000;

impl Answers {
    /// Reads answers in UTF-8.
    ///
    /// As a table the first line has the headings, in any order: `candidate`, `question`, `part` and
    /// `answer`, or `candidate` and a column for each part, `1a`, `1b`, `2`. The part may be its letter
    /// or its name, and is left out where a question has only one; it may also be the name of a step of
    /// the working. A column `paper` with the codes of
    /// the papers is held against the candidates; `name` and `group` are passed over. Semicolons may
    /// stand in the place of commas. As JSON Lines each line is an object with the same names.
    ///
    /// # Errors
    /// Everything that is wrong, all at once, each with its line and column.
    pub fn read(bytes: &[u8], asked: &Asked) -> Result<Self, Vec<ListProblem>> {
        let text = text_of(bytes)?;
        let mut sorting = Sorting::new(asked);
        if text.trim_start().starts_with('{') {
            json_lines::read(text, &mut sorting);
        } else {
            table::read(text, &mut sorting);
        }
        sorting.finish()
    }
}

/// The text of a file without a byte-order mark.
pub(super) fn text_of(bytes: &[u8]) -> Result<&str, Vec<ListProblem>> {
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    std::str::from_utf8(bytes).map_err(|error| {
        let line = bytes[..error.valid_up_to()].split(|byte| *byte == b'\n').count();
        let what = "expected text in UTF-8, found other bytes; save the file again as UTF-8";
        vec![problem(line as u64, None, what)]
    })
}

/// A problem with its place.
pub(super) fn problem(line: u64, column: Option<&str>, what: impl Into<String>) -> ListProblem {
    ListProblem { line, column: column.map(str::to_owned), what: what.into() }
}

/// What was found, short and without characters that move the cursor.
pub(super) fn shown(text: &str) -> String {
    let plain = text.trim().chars().filter(|letter| !letter.is_control());
    let mut short: String = plain.clone().take(40).collect();
    if plain.count() > 40 {
        short.push('\u{2026}');
    }
    short
}
