//! The rows of a table that a person keeps: answers of a class, marks given by hand.

use csv::StringRecord;

use super::{LineCount, problem};
use crate::paper::ListProblem;

/// The rows of a table below its headings, each with its line. Blank rows are passed over; a row that
/// cannot be read, or has more or fewer fields than there are headings, is a problem.
pub(in super::super) struct Rows<'t> {
    reader: csv::Reader<&'t [u8]>,
    headings: StringRecord,
    count: LineCount<'t>,
    separator: u8,
}

impl<'t> Rows<'t> {
    /// The table of a text, with commas or semicolons between the fields.
    ///
    /// # Errors
    /// When the headings cannot be read.
    pub(in super::super) fn of(text: &'t str) -> csv::Result<Self> {
        let separator = separator(text);
        let mut reader = csv::ReaderBuilder::new()
            .delimiter(separator)
            .flexible(true)
            .trim(csv::Trim::All)
            .from_reader(text.as_bytes());
        let headings = reader.headers()?.clone();
        Ok(Self { reader, headings, count: LineCount::new(text), separator })
    }

    /// The headings as written.
    pub(in super::super) fn headings(&self) -> &StringRecord {
        &self.headings
    }

    fn misfit(&self, line: u64, row: &StringRecord) -> ListProblem {
        let what = format!(
            "expected {} fields, found {}; put a field that holds a {} in double quotes",
            self.headings.len(),
            row.len(),
            if self.separator == b';' { "semicolon" } else { "comma" }
        );
        problem(line, None, what)
    }
}

impl Iterator for Rows<'_> {
    type Item = Result<(u64, StringRecord), ListProblem>;

    fn next(&mut self) -> Option<Self::Item> {
        loop {
            let mut row = StringRecord::new();
            match self.reader.read_record(&mut row) {
                Ok(false) => return None,
                Ok(true) => {}
                Err(error) => {
                    let line = self.count.of(error.position());
                    let what = format!("the line cannot be read: {error}");
                    return Some(Err(problem(line, None, what)));
                }
            }
            let line = self.count.of(row.position());
            if row.iter().all(str::is_empty) {
                continue;
            }
            let fits = row.len() == self.headings.len();
            return Some(if fits { Ok((line, row)) } else { Err(self.misfit(line, &row)) });
        }
    }
}

/// What stands between the fields of a table: where a comma is the decimal sign, spreadsheets write
/// semicolons.
fn separator(text: &str) -> u8 {
    let first = text.lines().next().unwrap_or_default();
    if first.contains(';') && !first.contains(',') { b';' } else { b',' }
}
