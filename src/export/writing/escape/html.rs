//! Text for HTML, and for the style sheets in it.

use std::borrow::Cow;
use std::fmt::Write;

use crate::export::writing::escape::{belong_together, plain};
use crate::words::replaced;

/// The text as [`html_text`] writes it.
pub(in crate::export) fn in_html(text: &str) -> Cow<'_, str> {
    replaced(text, |at, byte| match byte {
        b' ' if holds_together(text, at) => Some("\u{a0}"),
        byte => sign(byte),
    })
}

/// Writes text for HTML as [`html`] does, with each number kept on the line of its unit.
pub(in crate::export) fn html_text(out: &mut String, text: &str) {
    out.push_str(&in_html(text));
}

/// Writes text for HTML, safe between tags and in quoted attributes.
pub(in crate::export) fn html(out: &mut String, text: &str) {
    out.push_str(&replaced(text, |_, byte| sign(byte)));
}

/// What stands in HTML for a sign that could be markup.
fn sign(byte: u8) -> Option<&'static str> {
    // Nearly every byte is a letter, and letters come behind the signs.
    if byte > b'>' {
        return None;
    }
    match byte {
        b'&' => Some("&amp;"),
        b'<' => Some("&lt;"),
        b'>' => Some("&gt;"),
        b'"' => Some("&quot;"),
        b'\'' => Some("&#39;"),
        _ => None,
    }
}

/// Whether the blank at a place stands between a number and its unit. Behind anything but a digit or a
/// point it does not, so no word has to be looked at there.
fn holds_together(text: &str, blank: usize) -> bool {
    let (Some(before), Some(after)) = (text.get(..blank), text.get(blank + 1..)) else {
        return false;
    };
    if !matches!(before.as_bytes().last(), Some(b'0'..=b'9' | b'.')) {
        return false;
    }
    let is_blank = |byte: &u8| *byte == b' ';
    let begin = before.as_bytes().iter().rposition(is_blank).map_or(0, |place| place + 1);
    let end = after.as_bytes().iter().position(is_blank).unwrap_or(after.len());
    let words = (before.get(begin..), after.get(..end));
    matches!(words, (Some(before), Some(after)) if belong_together(before, after))
}

/// Text for a quoted string in a style sheet: all but letters, digits and blanks as code points,
/// so that neither the string nor the style element can be ended from inside.
pub(in crate::export) fn css(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in plain(text).chars() {
        match c {
            '\n' | ' ' => out.push(' '),
            c if c.is_alphanumeric() => out.push(c),
            c => {
                let _ = write!(out, "\\{:x} ", u32::from(c));
            }
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn html_cannot_be_opened_from_a_text() {
        let mut out = String::new();
        html(&mut out, "<b title=\"x\" id='y'>&amp;</b> 5 g/mL");
        assert_eq!(out, "&lt;b title=&quot;x&quot; id=&#39;y&#39;&gt;&amp;amp;&lt;/b&gt; 5 g/mL");
    }

    #[test]
    fn a_number_stays_with_its_unit() {
        let mut out = String::new();
        html_text(&mut out, "marked 2 g, 0.91 g/mL (5 % w/w); 12 gram of 3 and 4 units < 5");
        assert_eq!(
            out,
            "marked 2\u{a0}g, 0.91\u{a0}g/mL (5\u{a0}% w/w); 12 gram of 3 and 4 units &lt; 5"
        );
    }

    #[test]
    fn a_text_without_signs_is_not_written_anew() {
        assert!(matches!(in_html("Multiply the dose by the number of units."), Cow::Borrowed(_)));
        assert_eq!(in_html("mass < 2 g"), "mass &lt; 2\u{a0}g");
        assert_eq!(in_html("Take 2 g."), "Take 2\u{a0}g.");
    }

    #[test]
    fn a_style_string_cannot_be_ended_from_a_text() {
        assert_eq!(css("a\"</style>\n\\"), "a\\22 \\3c \\2f style\\3e  \\5c ");
    }

    proptest::proptest! {
        #[test]
        fn no_text_at_all_becomes_markup(text in "\\PC*|[\\x00-\\x7f]*") {
            let mut out = String::new();
            html(&mut out, &text);
            let opens = out.contains(['<', '>', '"', '\'']);
            proptest::prop_assert!(!opens);
            let units = in_html(&text);
            let blanks = |text: &str| text.replace('\u{a0}', " ");
            proptest::prop_assert_eq!(blanks(&units), blanks(&out), "but for the blanks before units");
            let style = css(&text);
            let ends_it = style.contains(['<', '"', '\n', '{']);
            proptest::prop_assert!(!ends_it);
        }
    }
}
