//! A table of text columns.

use textwrap::core::display_width;

use super::terminal::wrapping;

/// The space between columns.
const GAP: usize = 2;

/// The least a last column is wrapped to; a narrower window gets longer lines instead.
const LEAST_LAST: usize = 20;

/// How a column is set.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Side {
    /// For words.
    Left,
    /// For numbers.
    Right,
}

/// Rows of text under headings.
#[derive(Debug)]
pub(super) struct Table {
    columns: Vec<(&'static str, Side)>,
    rows: Vec<Vec<String>>,
}

impl Table {
    /// A table with these headings and no rows.
    pub(super) fn new(columns: &[(&'static str, Side)]) -> Self {
        Self { columns: columns.to_vec(), rows: Vec::new() }
    }

    /// Adds a row; cells beyond the headings are left out.
    pub(super) fn row<const N: usize>(&mut self, cells: [String; N]) {
        self.rows.push(cells.into());
    }

    /// Whether there is no row.
    pub(super) fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }

    /// The table as lines, each ended. The last column is wrapped to the width.
    pub(super) fn set(&self, width: usize) -> String {
        let head: Vec<String> = self.columns.iter().map(|(head, _)| (*head).to_owned()).collect();
        let all = || std::iter::once(&head).chain(&self.rows);
        let widths: Vec<usize> = (0..self.columns.len())
            .map(|n| all().filter_map(|row| row.get(n)).map(|cell| display_width(cell)).max())
            .map(Option::unwrap_or_default)
            .collect();
        let before: usize = widths.iter().rev().skip(1).map(|width| width + GAP).sum();
        let last = width.saturating_sub(before).max(LEAST_LAST);
        let mut text = String::new();
        for row in all() {
            self.set_row(&mut text, row, &widths, before, last);
        }
        text
    }

    fn set_row(
        &self,
        text: &mut String,
        row: &[String],
        widths: &[usize],
        before: usize,
        last: usize,
    ) {
        let mut line = String::new();
        let count = self.columns.len();
        for (n, ((cell, width), (_, side))) in row.iter().zip(widths).zip(&self.columns).enumerate()
        {
            let blanks = " ".repeat(width.saturating_sub(display_width(cell)));
            if n + 1 == count && *side == Side::Left {
                let indent = " ".repeat(before);
                let wrapped = textwrap::wrap(cell, wrapping(last));
                line.push_str(&wrapped.join(&format!("\n{indent}")));
            } else if *side == Side::Left {
                line.push_str(cell);
                line.push_str(&blanks);
            } else {
                line.push_str(&blanks);
                line.push_str(cell);
            }
            line.push_str(&" ".repeat(GAP));
        }
        text.push_str(line.trim_end());
        text.push('\n');
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn table() -> Table {
        let mut table =
            Table::new(&[("template", Side::Left), ("level", Side::Right), ("title", Side::Left)]);
        table.row(["one".into(), "1".into(), "The mean of a total".into()]);
        table.row(["a-longer-name".into(), "12".into(), "Short".into()]);
        table
    }

    #[test]
    fn words_stand_left_and_numbers_right() {
        assert_eq!(
            table().set(80),
            "template       level  title\n\
             one                1  The mean of a total\n\
             a-longer-name     12  Short\n"
        );
    }

    #[test]
    fn the_last_column_is_wrapped_under_itself() {
        let mut table = Table::new(&[("id", Side::Left), ("about", Side::Left)]);
        table.row(["x".into(), "one two three four five six".into()]);
        assert_eq!(table.set(24), "id  about\nx   one two three four\n    five six\n");
    }

    #[test]
    fn a_table_without_rows_is_its_headings() {
        assert_eq!(Table::new(&[("id", Side::Left), ("size", Side::Right)]).set(80), "id  size\n");
    }
}
