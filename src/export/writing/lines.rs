//! Plain text set in lines: hanging indents, marks at the right margin, columns.

use textwrap::core::display_width;

use crate::export::writing::escape;

/// The narrowest line that is set.
pub(in crate::export) const NARROWEST: usize = 30;

/// Sets one paragraph in lines of `width`; the first line begins with `first`, the others with
/// `rest`. White space in the text becomes single blanks.
///
/// ```text
///   (a) What mass of base is
///       needed?
/// ```
pub(in crate::export) fn hang(text: &str, width: usize, first: &str, rest: &str) -> String {
    let width = width.max(NARROWEST);
    let mut out = String::with_capacity(text.len() + text.len() / 4 + first.len());
    out.push_str(first);
    let mut used = display_width(first);
    let mut begun = false;
    let mut words = text.split_whitespace().peekable();
    while let Some(word) = words.next() {
        let mut wide = display_width(word);
        // A number goes to the next line together with its unit.
        let unit = words.next_if(|next| escape::belong_together(word, next));
        wide += unit.map_or(0, |unit| 1 + display_width(unit));
        if begun && used + 1 + wide > width {
            out.push('\n');
            out.push_str(rest);
            used = display_width(rest);
            begun = false;
        }
        if begun {
            out.push(' ');
            used += 1;
        }
        used = broken(&mut out, word, used, width, rest);
        if let Some(unit) = unit {
            out.push(' ');
            used = broken(&mut out, unit, used + 1, width, rest);
        }
        begun = true;
    }
    out.truncate(out.trim_end().len());
    out
}

/// Writes a word, broken where it alone is longer than the line; tells how much of the line is used.
fn broken(out: &mut String, word: &str, used: usize, width: usize, rest: &str) -> usize {
    let wide = display_width(word);
    if used + wide <= width {
        out.push_str(word);
        return used + wide;
    }
    let mut used = used;
    for c in word.chars() {
        let wide = display_width(c.encode_utf8(&mut [0; 4]));
        if used + wide > width {
            out.push('\n');
            out.push_str(rest);
            used = display_width(rest);
        }
        out.push(c);
        used += wide;
    }
    used
}

/// Puts a few words at the right margin of the last line, or on a line of their own where the
/// last line is too long.
pub(in crate::export) fn margin(lines: &str, width: usize, mark: &str) -> String {
    if mark.is_empty() {
        return lines.to_owned();
    }
    let width = width.max(NARROWEST);
    let last = lines.rsplit('\n').next().unwrap_or_default();
    let needed = display_width(mark);
    let mut out = lines.to_owned();
    let mut used = display_width(last);
    if used + 2 + needed > width {
        out.push('\n');
        used = 0;
    }
    out.push_str(&" ".repeat(width.saturating_sub(used + needed)));
    out.push_str(mark);
    out
}

/// Sets a table in columns, or, where it is too wide for the line, row by row with the heads
/// repeated before each cell. Every line begins with `indent`.
pub(in crate::export) fn columns(
    head: &[String],
    rows: &[Vec<String>],
    width: usize,
    indent: &str,
) -> String {
    let width = width.max(NARROWEST);
    let cell = |row: &[String], n: usize| -> String {
        let text = row.get(n).map_or("", String::as_str);
        text.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let count = rows.iter().map(Vec::len).fold(head.len(), usize::max);
    let widths: Vec<usize> = (0..count)
        .map(|n| {
            let cells = rows.iter().map(|row| display_width(&cell(row, n)));
            cells.fold(display_width(&cell(head, n)), usize::max)
        })
        .collect();
    let needed = display_width(indent) + widths.iter().map(|w| w + 2).sum::<usize>();
    let mut out = Vec::new();
    if needed <= width + 2 {
        for row in std::iter::once(head).chain(rows.iter().map(Vec::as_slice)) {
            let mut line = indent.to_owned();
            for (n, width) in widths.iter().enumerate() {
                let text = cell(row, n);
                line.push_str(&text);
                line.push_str(&" ".repeat(width + 2 - display_width(&text)));
            }
            out.push(line.trim_end().to_owned());
        }
    } else {
        let rest = format!("{indent}  ");
        for row in rows {
            for n in 0..count {
                let (head, text) = (cell(head, n), cell(row, n));
                if !text.is_empty() {
                    let first = if n == 0 { indent } else { rest.as_str() };
                    let line = if head.is_empty() { text } else { format!("{head}: {text}") };
                    out.push(hang(&line, width, first, &format!("{rest}  ")));
                }
            }
        }
    }
    out.join("\n")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn table(rows: &[&[&str]]) -> Vec<Vec<String>> {
        rows.iter().map(|row| row.iter().map(|cell| (*cell).to_owned()).collect()).collect()
    }

    #[test]
    fn a_paragraph_hangs_from_its_letter() {
        assert_eq!(
            hang("What  mass of base\nis needed for the batch?", 30, "  (a) ", "      "),
            "  (a) What mass of base is\n      needed for the batch?"
        );
    }

    #[test]
    fn a_word_longer_than_the_line_is_broken() {
        assert_eq!(
            hang("see abcdefghijklmnopqrstuvwxyz0123456789", 30, "- ", "  "),
            "- see\n  abcdefghijklmnopqrstuvwxyz01\n  23456789"
        );
    }

    #[test]
    fn a_number_is_not_parted_from_its_unit() {
        assert_eq!(
            hang("a mould of glass marked with 2 g.", 30, "", ""),
            "a mould of glass marked with\n2 g."
        );
    }

    #[test]
    fn nothing_to_say_leaves_no_blanks() {
        assert_eq!(hang("", 40, "   ", "   "), "");
    }

    #[test]
    fn marks_stand_at_the_right_margin() {
        assert_eq!(margin("What mass?", 30, "2 marks"), "What mass?             2 marks");
        assert_eq!(
            margin("What mass of base is needed?", 30, "2 marks"),
            "What mass of base is needed?\n                       2 marks"
        );
    }

    #[test]
    fn a_table_that_fits_stands_in_columns() {
        let rows = table(&[&["1", "1.02 g"], &["10", "1.04 g"]]);
        let head = ["unit".to_owned(), "mass".to_owned()];
        assert_eq!(columns(&head, &rows, 40, "  "), "  unit  mass\n  1     1.02 g\n  10    1.04 g");
    }

    #[test]
    fn a_table_too_wide_is_read_row_by_row() {
        let rows = table(&[&["theobroma oil", "melts at body temperature"]]);
        let head = ["base".to_owned(), "property".to_owned()];
        assert_eq!(
            columns(&head, &rows, 30, ""),
            "base: theobroma oil\n  property: melts at body\n    temperature"
        );
    }

    #[test]
    fn a_ragged_row_does_not_disturb_the_others() {
        let rows = table(&[&["1"], &["2", "b", "c"]]);
        assert_eq!(columns(&["n".to_owned()], &rows, 40, ""), "n\n1\n2  b  c");
    }
}
