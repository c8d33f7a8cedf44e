//! A table of the report as plain text.

use textwrap::core::display_width;

use crate::export::writing::{escape, lines};

use super::section::Grid;

/// The space between columns.
const GAP: usize = 2;

/// The least a column of words is wrapped to.
const LEAST_WRAPPED: usize = 18;

/// The table in columns. Where the line is too narrow, the last column and then the first are wrapped;
/// where that is not enough, rows are set one under the other.
pub(super) fn columns(grid: &Grid, width: usize) -> String {
    let head: Vec<String> = grid.head.iter().map(|(name, _)| (*name).to_owned()).collect();
    let rows: Vec<Vec<String>> = grid
        .rows
        .iter()
        .map(|row| row.iter().map(|cell| escape::plain(cell).replace('\n', " ")).collect())
        .collect();
    let mut widths: Vec<usize> = (0..head.len())
        .map(|n| {
            let cells = std::iter::once(&head).chain(&rows).filter_map(|row| row.get(n));
            cells.map(|cell| display_width(cell)).max().unwrap_or_default()
        })
        .collect();
    for column in [head.len().saturating_sub(1), 0] {
        let over = needed(&widths).saturating_sub(width);
        if over > 0 && grid.head.get(column).is_some_and(|(_, is_number)| !is_number) {
            let least = widths[column].min(LEAST_WRAPPED);
            widths[column] = widths[column].saturating_sub(over).max(least);
        }
    }
    if needed(&widths) > width {
        return lines::columns(&head, &rows, width, "") + "\n";
    }
    // Columns without a heading need none.
    let has_head = head.first().is_some_and(|name| !name.is_empty());
    let mut text = String::new();
    for row in std::iter::once(&head).chain(&rows).skip(usize::from(!has_head)) {
        set_row(&mut text, row, grid, &widths);
    }
    text
}

fn needed(widths: &[usize]) -> usize {
    widths.iter().map(|width| width + GAP).sum::<usize>().saturating_sub(GAP)
}

/// A row in as many lines as its longest cell.
fn set_row(text: &mut String, row: &[String], grid: &Grid, widths: &[usize]) {
    let cells: Vec<Vec<String>> = row
        .iter()
        .zip(widths)
        .map(|(cell, width)| {
            let cell = together(cell);
            let wrapped = textwrap::wrap(&cell, (*width).max(1));
            wrapped.into_iter().map(|line| line.replace('\u{a0}', " ")).collect()
        })
        .collect();
    let high = cells.iter().map(Vec::len).max().unwrap_or(1);
    for n in 0..high {
        let mut line = String::new();
        for ((cell, width), (_, is_number)) in cells.iter().zip(widths).zip(&grid.head) {
            let words = cell.get(n).map_or("", String::as_str);
            let blanks = " ".repeat(width.saturating_sub(display_width(words)));
            if *is_number {
                line.push_str(&blanks);
                line.push_str(words);
            } else {
                line.push_str(words);
                line.push_str(&blanks);
            }
            line.push_str(&" ".repeat(GAP));
        }
        text.push_str(line.trim_end());
        text.push('\n');
    }
}

/// The words with each number tied to its unit.
fn together(cell: &str) -> String {
    let mut tied = String::with_capacity(cell.len());
    let mut before = "";
    for (n, word) in cell.split(' ').enumerate() {
        if n > 0 {
            tied.push(if escape::belong_together(before, word) { '\u{a0}' } else { ' ' });
        }
        tied.push_str(word);
        before = word;
    }
    tied
}
