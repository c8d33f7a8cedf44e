//! Rows of a table with commas that a spreadsheet can open without harm.

use crate::export::writing::escape::plain;

/// A row, ended.
pub(in crate::export) fn row<T: AsRef<str>>(cells: &[T]) -> String {
    let cells: Vec<String> = cells.iter().map(|cell| quoted(&harmless(cell.as_ref()))).collect();
    cells.join(",") + "\n"
}

/// The text with a quotation mark before it where a spreadsheet would take it for a formula.
fn harmless(text: &str) -> String {
    let risky = |letter: char| matches!(letter, '=' | '+' | '-' | '@' | '\t' | '\r');
    let mark = text.starts_with(risky) || text.trim_start().starts_with(risky);
    format!("{}{}", if mark { "'" } else { "" }, plain(text))
}

fn quoted(text: &str) -> String {
    if text.contains(['"', ',', '\n', '\r']) || text.trim() != text {
        format!("\"{}\"", text.replace('"', "\"\""))
    } else {
        text.to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_in_a_cell_is_taken_for_a_formula() {
        assert_eq!(
            row(&["=1+1", "+1", "-1", "@a", "\tx", "\r=1", " =1"]),
            "'=1+1,'+1,'-1,'@a,' x,'=1,' =1\n"
        );
    }

    #[test]
    fn commas_quotation_marks_and_line_ends_stay_in_their_cell() {
        assert_eq!(
            row(&["a,b", "say \"b\"", "c\nd", "e", ""]),
            "\"a,b\",\"say \"\"b\"\"\",\"c\nd\",e,\n"
        );
    }
}
