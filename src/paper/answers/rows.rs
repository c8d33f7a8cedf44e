//! The rows of a table that a person keeps: a class list, answers of a class, marks given by hand.

use csv::StringRecord;

use super::{LineCount, problem};
use crate::paper::ListProblem;
use crate::words::Complaints;

/// The most fields of a row: a column for each part of a very long paper, and some beside.
pub(super) const MOST_FIELDS: usize = 2_000;

/// Whether a field may hold line breaks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in super::super) enum LineBreaks {
    /// No: a field that goes on over the end of its line has lost a quotation mark.
    Refused,
    /// Yes, between quotation marks.
    Quoted,
}

/// The rows of a table below its headings, each with its line. Blank rows are passed over; a row that
/// cannot be read, or has more or fewer fields than there are headings, is a problem.
pub(in super::super) struct Rows<'t> {
    reader: csv::Reader<&'t [u8]>,
    headings: StringRecord,
    count: LineCount<'t>,
    /// How many lines were taken off before the headings.
    before: u64,
    separator: u8,
}

impl<'t> Rows<'t> {
    /// The table of a text, with commas, semicolons or tabs between the fields. A line `sep=;` before
    /// the headings, which spreadsheets write, is understood.
    ///
    /// # Errors
    /// When the headings cannot be read, or a quotation mark is not closed.
    pub(in super::super) fn of(
        text: &'t str,
        breaks: LineBreaks,
    ) -> Result<Self, Vec<ListProblem>> {
        let (text, declared, before) = match text.split_once('\n') {
            Some((first, rest)) => match declared(first) {
                Some(separator) => (rest, Some(separator), 1),
                None => (text, None, 0),
            },
            None => (text, None, 0),
        };
        let separator = declared.unwrap_or_else(|| separator(text));
        flaws(text, separator, before, breaks).finish(())?;
        let mut reader = csv::ReaderBuilder::new()
            .delimiter(separator)
            .flexible(true)
            .trim(csv::Trim::All)
            .from_reader(text.as_bytes());
        let headings = reader.headers().map_err(|error| {
            vec![problem(before + 1, None, format!("the headings cannot be read: {error}"))]
        })?;
        let headings = headings.clone();
        Ok(Self { reader, headings, count: LineCount::new(text), before, separator })
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
            match self.separator {
                b';' => "semicolon",
                b'\t' => "tab",
                _ => "comma",
            }
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
                    let line = self.before + self.count.of(error.position());
                    let what = format!("the line cannot be read: {error}");
                    return Some(Err(problem(line, None, what)));
                }
            }
            let line = self.before + self.count.of(row.position());
            if row.iter().all(str::is_empty) {
                continue;
            }
            let fits = row.len() == self.headings.len();
            return Some(if fits { Ok((line, row)) } else { Err(self.misfit(line, &row)) });
        }
    }
}

/// The separator that a first line such as `sep=;` declares.
fn declared(first: &str) -> Option<u8> {
    match first.trim_end().trim_matches('"').to_ascii_lowercase().strip_prefix("sep=")?.as_bytes() {
        [separator @ (b',' | b';' | b'\t')] => Some(*separator),
        // The end of the line may have been trimmed together with a tab.
        [] => Some(b'\t'),
        _ => None,
    }
}

/// What is between the fields of a table: where a comma is the decimal sign, spreadsheets write
/// semicolons, and what is copied from one has tabs.
fn separator(text: &str) -> u8 {
    let first = text.lines().next().unwrap_or_default();
    if first.contains(',') {
        b','
    } else if first.contains(';') {
        b';'
    } else if first.contains('\t') {
        b'\t'
    } else {
        b','
    }
}

/// The lines on which a quotation mark is opened and not closed, since the reader of tables would take
/// everything up to the next quotation mark, or to the end of the file, for one field; and those with
/// more fields than any table has.
fn flaws(text: &str, separator: u8, before: u64, breaks: LineBreaks) -> Complaints<ListProblem> {
    let mut problems = Complaints::new();
    // The line on which the field that is open began.
    let mut open: Option<u64> = None;
    for (line, row) in (before + 1..).zip(text.lines()) {
        if problems.is_enough() {
            break;
        }
        let mut fresh = open.is_none();
        let mut fields = 1_usize;
        let mut bytes = row.bytes().peekable();
        while let Some(byte) = bytes.next() {
            if open.is_some() {
                // Two quotation marks in a field are one that it holds.
                if byte == b'"' && bytes.next_if_eq(&b'"').is_none() {
                    open = None;
                }
            } else if byte == b'"' && fresh {
                open = Some(line);
            }
            fresh = open.is_none() && byte == separator;
            fields += usize::from(fresh);
        }
        if fields > MOST_FIELDS {
            let what = format!(
                "expected at most {MOST_FIELDS} fields, found {fields}; is it the right file?"
            );
            problems.push(problem(line, None, what));
        }
        if breaks == LineBreaks::Refused && open.take().is_some() {
            problems.push(not_closed(line));
        }
    }
    problems.extend(open.map(not_closed));
    problems
}

fn not_closed(line: u64) -> ListProblem {
    let what = "expected a second quotation mark that ends the field, found the end of the line; add \
                it, or remove the first";
    problem(line, None, what)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_headings_tell_what_is_between_the_fields() {
        for (headings, expected) in [
            ("candidate,1a;1b\n", b','),
            ("candidate;1a\t1b\n1,5", b';'),
            ("candidate\t1a\n1,5", b'\t'),
            ("candidate\n1\t2", b','),
        ] {
            assert_eq!(separator(headings), expected, "{headings}");
        }
    }

    #[test]
    fn a_row_with_more_fields_than_any_table_has_is_refused() {
        let refused = |fields: usize| {
            let text = vec!["a"; fields].join(",");
            Rows::of(&text, LineBreaks::Refused).err().map(|problems| problems[0].to_string())
        };
        assert_eq!(refused(MOST_FIELDS), None);
        let problem = refused(MOST_FIELDS + 2).unwrap();
        assert!(problem.contains("at most 2000 fields, found 2002"), "{problem}");
    }

    #[test]
    fn a_first_line_can_declare_what_is_between_the_fields() {
        for (first, expected) in [
            ("sep=;", Some(b';')),
            ("\"SEP=,\"\r", Some(b',')),
            // With the end of the line the tab is gone as well.
            ("sep=\t\r", Some(b'\t')),
            ("sep=|", None),
            ("candidate", None),
        ] {
            assert_eq!(declared(first), expected, "{first:?}");
        }
    }
}
