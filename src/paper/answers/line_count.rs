//! The lines of a table.

/// Counts the lines of a text up to its rows. The reader of tables takes the end of a line for the
/// beginning of the next row, and passes over empty lines without counting them.
pub(in super::super) struct LineCount<'a> {
    text: &'a [u8],
    at: usize,
    line: u64,
}

impl<'a> LineCount<'a> {
    /// Begins on line 1.
    pub(in super::super) fn new(text: &'a str) -> Self {
        Self { text: text.as_bytes(), at: 0, line: 1 }
    }

    /// The line on which the row that is read from this place begins; rows come in their order.
    pub(in super::super) fn of(&mut self, position: Option<&csv::Position>) -> u64 {
        let byte = position.and_then(|position| usize::try_from(position.byte()).ok());
        let byte = byte.unwrap_or(self.at);
        while let Some(letter) = self.text.get(self.at) {
            let ends = matches!(letter, b'\n' | b'\r');
            if self.at >= byte && !ends {
                break;
            }
            let both = *letter == b'\r' && self.text.get(self.at + 1) == Some(&b'\n');
            self.line += u64::from(ends && !both);
            self.at += 1;
        }
        self.line
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_row_of_one_letter_is_on_its_own_line() {
        let text = "a\n1\n2\n\n3\n";
        let mut count = LineCount::new(text);
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        let rows = reader.records().map(|row| count.of(row.unwrap().position()));
        assert_eq!(rows.collect::<Vec<_>>(), [2, 3, 5]);
    }

    #[test]
    fn rows_are_on_the_lines_an_editor_shows() {
        for end in ["\n", "\r\n", "\r"] {
            let text = ["a,b", "1,2", "", "", "\"3", "x\",4", "5,6"].join(end);
            let mut count = LineCount::new(&text);
            let mut reader = csv::Reader::from_reader(text.as_bytes());
            let rows = reader.records().map(|row| count.of(row.unwrap().position()));
            assert_eq!(rows.collect::<Vec<_>>(), [2, 5, 7], "{end:?}");
        }
    }
}
