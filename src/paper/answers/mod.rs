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
mod written;

use std::collections::BTreeMap;
use std::io::{self, BufRead, Read};

use super::ListProblem;
use crate::marks::Status;
use crate::words::quoted;

pub use asked::Asked;
pub(super) use asked::{AskedPart, Misplaced, PartIndex};
pub(super) use heading::digits_and_letters;
use line_count::LineCount;
pub(super) use rows::{LineBreaks, Rows};
use sorting::Sorting;
pub use written::PaperAnswers;

/// The answers of a class, sorted into its papers.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Answers {
    /// For each paper of the set what its candidate wrote; `None` for a candidate who is not among
    /// the answers at all.
    pub papers: Vec<Option<PaperAnswers>>,
    /// The papers whose candidates are said to have no answers, and why.
    pub statuses: BTreeMap<usize, Status>,
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
    /// the papers is compared with the candidates; `status` says that a
    /// candidate was `absent`, `excused` or has `withdrawn`, or left the paper `blank`; `name` and
    /// `group` are passed over. Semicolons or tabs may replace the commas. A row for all answers that
    /// has none must say why, in `status` or in one of its cells: no candidate gets zero by accident. As JSON Lines each line is an object with the same names.
    ///
    /// # Errors
    /// Everything that is wrong, all at once, each with its line and column.
    pub fn read(bytes: &[u8], asked: &Asked) -> Result<Self, Vec<ListProblem>> {
        let read = Self::read_from(&mut &*bytes, asked);
        read.unwrap_or_else(|error| Err(vec![problem(1, None, error.to_string())]))
    }

    /// Reads them from a file in the same way. Of JSON Lines, of which a large class has hundreds of
    /// megabytes, only one is held at a time.
    ///
    /// # Errors
    /// When the file cannot be read; and as [`read`](Self::read) does.
    pub fn read_from(
        source: &mut dyn BufRead,
        asked: &Asked,
    ) -> io::Result<Result<Self, Vec<ListProblem>>> {
        let mut sorting = Sorting::new(asked);
        // The first line with anything in it tells what they come as.
        let mut head = Vec::new();
        let mut begin = 0;
        while source.read_until(b'\n', &mut head)? > 0 && is_blank(&head[begin..]) {
            begin = head.len();
        }
        if without_mark(&head[begin..]).trim_ascii_start().starts_with(b"{") {
            json_lines::read(&mut head.chain(source), &mut sorting)?;
        } else {
            source.read_to_end(&mut head)?;
            match text_of(&head) {
                Ok(text) => table::read(text, &mut sorting),
                Err(problems) => return Ok(Err(problems)),
            }
        }
        Ok(sorting.finish())
    }
}

/// The text of a file without a byte-order mark.
pub(super) fn text_of(bytes: &[u8]) -> Result<&str, Vec<ListProblem>> {
    text_from(1, bytes).map_err(|problem| vec![problem])
}

/// The text of what begins on that line of a file, without a byte-order mark.
fn text_from(line: u64, bytes: &[u8]) -> Result<&str, ListProblem> {
    if bytes.starts_with(b"\xff\xfe") || bytes.starts_with(b"\xfe\xff") {
        let what = "expected text in UTF-8, found UTF-16; save the file again as UTF-8";
        return Err(problem(line, None, what));
    }
    let bytes = without_mark(bytes);
    let lines = |at: usize| bytes[..at].split(|byte| *byte == b'\n').count() as u64;
    let line_of = |at| line - 1 + lines(at);
    let text = std::str::from_utf8(bytes).map_err(|error| {
        let what = "expected text in UTF-8, found other bytes; save the file again as UTF-8";
        problem(line_of(error.valid_up_to()), None, what)
    })?;
    if let Some(at) = text.find('\0') {
        let what = "expected text, found a zero byte; save the file again as UTF-8 text";
        return Err(problem(line_of(at), None, what));
    }
    Ok(text)
}

/// The bytes without the mark with which some programs begin a text in UTF-8.
fn without_mark(bytes: &[u8]) -> &[u8] {
    bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes)
}

/// Whether there is nothing in a line.
fn is_blank(line: &[u8]) -> bool {
    without_mark(line).trim_ascii().is_empty()
}

/// A problem with its place.
pub(super) fn problem(line: u64, column: Option<&str>, what: impl Into<String>) -> ListProblem {
    ListProblem { line, column: column.map(shown), what: what.into() }
}

/// What was found, short and without characters that move the cursor.
pub(super) fn shown(text: &str) -> String {
    quoted(text, 40)
}
