//! Text that cannot be taken for markup, in each of the languages that are written.

mod html;
mod markdown;
mod typst_markup;

use std::borrow::Cow;

use crate::quantity::UNITS;

pub(in crate::export) use html::{css, html, html_text, in_html};
pub(in crate::export) use markdown::markdown;
pub(in crate::export) use typst_markup::typst_quoted;
#[cfg(feature = "pdf")]
pub(in crate::export) use typst_markup::{typst_text, typst_written};

/// The text without characters that have no place on paper: control characters other than line
/// feeds (tabs become blanks), and marks that turn the direction of reading around.
pub(in crate::export) fn plain(text: &str) -> Cow<'_, str> {
    // Most texts are plain letters, which are seen faster byte by byte.
    if !any_byte(text, |byte| !matches!(byte, b' '..=b'~')) {
        return Cow::Borrowed(text);
    }
    if !text.chars().any(|c| c != '\n' && unwanted(c)) {
        return Cow::Borrowed(text);
    }
    let kept = text.chars().filter_map(|c| match c {
        '\n' => Some('\n'),
        '\t' => Some(' '),
        c if unwanted(c) => None,
        c => Some(c),
    });
    Cow::Owned(kept.collect())
}

/// The text without such characters, with each number kept on the line of its unit: for whoever shows
/// it as it is.
pub fn readable(text: &str) -> String {
    let plain = plain(text);
    let mut out = String::with_capacity(plain.len());
    let mut before = "";
    for (n, word) in plain.split(' ').enumerate() {
        if n > 0 {
            out.push(if belong_together(before, word) { '\u{a0}' } else { ' ' });
        }
        out.push_str(word);
        before = word;
    }
    out
}

fn unwanted(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{fffe}' | '\u{ffff}')
}

/// Whether the blank between two words must not break: `2 g`, `0.91 g/mL`, `5 %`.
pub(in crate::export) fn belong_together(before: &str, after: &str) -> bool {
    let number = before.trim_start_matches(['(', '-', '\u{2212}']);
    let is_number = number.starts_with(|c: char| c.is_ascii_digit())
        && number.bytes().all(|b| b.is_ascii_digit() || b == b'.');
    if !is_number {
        return false;
    }
    let unit = after.trim_end_matches([')', ',', '.', ';', ':', '?', '!']);
    let symbol = |part: &str| UNITS.iter().any(|row| row.symbol == part && part != "unit");
    unit.split('/').all(symbol)
}

/// What one of the functions here writes of a text.
pub(in crate::export) fn written(text: &str, write: fn(&mut String, &str)) -> Cow<'_, str> {
    let mut out = String::with_capacity(text.len() + 16);
    write(&mut out, text);
    Cow::Owned(out)
}

/// Whether any byte of a text is such a one. All are looked at, several at once, which is quicker for
/// most texts than to end at the first.
fn any_byte(text: &str, is_such: impl Fn(u8) -> bool) -> bool {
    text.bytes().fold(false, |found, byte| found | is_such(byte))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn plain_text_loses_control_characters_and_direction_marks() {
        assert_eq!(plain("a\u{1b}[31mb\u{202e}c\0\td\n"), "a[31mbc d\n");
        assert!(matches!(plain("13.9 g × 2 ÷ 3"), Cow::Borrowed(_)));
    }
}
