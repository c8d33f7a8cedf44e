//! Text for the markup and the code of Typst.

#[cfg(feature = "pdf")]
use crate::export::writing::escape::belong_together;
use crate::export::writing::escape::plain;

#[cfg(feature = "pdf")]
/// Letters in one word before Typst may break it anywhere: longer words are not words.
const LONG_WORD: usize = 36;

#[cfg(feature = "pdf")]
/// Writes text for Typst markup, safe anywhere in content: every sign that could be markup, or end
/// the content, gets a backslash. White space of any kind becomes one blank.
pub(in crate::export) fn typst_text(out: &mut String, text: &str) {
    let mut before = "";
    // A blank that is not to be broken stays one.
    let is_blank = |c: char| c.is_whitespace() && c != '\u{a0}';
    let words = text.split(is_blank).filter(|word| !word.is_empty());
    for (n, word) in words.enumerate() {
        if n > 0 {
            out.push(if belong_together(before, word) { '\u{a0}' } else { ' ' });
        } else if text.starts_with(char::is_whitespace) {
            out.push(' ');
        }
        let long = word.chars().nth(LONG_WORD).is_some();
        for (n, c) in word.chars().enumerate() {
            if long && n % 12 == 11 {
                out.push('\u{200b}');
            }
            if c.is_ascii_punctuation() {
                out.push('\\');
            }
            out.push(c);
        }
        before = word;
    }
    if text.ends_with(char::is_whitespace) && !before.is_empty() {
        out.push(' ');
    }
}

#[cfg(feature = "pdf")]
/// Writes text for Typst markup with every blank and every line as it was written.
pub(in crate::export) fn typst_written(out: &mut String, text: &str) {
    for (n, line) in text.lines().enumerate() {
        if n > 0 {
            out.push_str("#linebreak()");
        }
        for (n, word) in line.split(' ').enumerate() {
            if n > 0 {
                // Markup makes one of several blanks, and none of those that begin a line.
                let kept = word.is_empty() || n == 1 && line.starts_with(' ');
                out.push(if kept { '~' } else { ' ' });
            }
            typst_text(out, word);
        }
    }
}

/// The text as a string of Typst code, with its quotes.
pub(in crate::export) fn typst_quoted(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 2);
    out.push('"');
    for c in plain(text).chars() {
        if matches!(c, '"' | '\\') {
            out.push('\\');
        }
        out.push(if c == '\n' { ' ' } else { c });
    }
    out.push('"');
    out
}

#[cfg(all(test, feature = "pdf"))]
mod tests {
    use super::*;

    /// The text that Typst reads out of markup; any markup in it is a failure.
    fn read_by_typst(markup: &str) -> String {
        use typst::syntax::{SyntaxKind, SyntaxNode, parse};

        fn read(node: &SyntaxNode, out: &mut String) {
            match node.kind() {
                SyntaxKind::Markup => node.children().for_each(|child| read(child, out)),
                SyntaxKind::Text => out.push_str(node.leaf_text()),
                SyntaxKind::Space => out.push(' '),
                SyntaxKind::Escape => out.push_str(&node.leaf_text()[1..]),
                other => panic!("{other:?} in a text: {node:?}"),
            }
        }

        let mut out = String::new();
        read(&parse(markup), &mut out);
        out
    }

    #[test]
    fn typst_markup_is_disarmed() {
        let mut out = String::new();
        typst_text(
            &mut out,
            "= #f(x) *a* _b_ `c` $x$ <l> @r \\ // -- ... 'q' ~ 1. + [x] http://y 2 g",
        );
        assert_eq!(
            read_by_typst(&out),
            "= #f(x) *a* _b_ `c` $x$ <l> @r \\ // -- ... 'q' ~ 1. + [x] http://y 2\u{a0}g"
        );
        assert_eq!(typst_quoted("a \"b\" \\u{41}\n#c"), "\"a \\\"b\\\" \\\\u{41} #c\"");
    }

    #[track_caller]
    fn check_written(text: &str, expected: &str) {
        let mut out = String::new();
        typst_written(&mut out, text);
        assert_eq!(out, expected);
    }

    #[test]
    fn blanks_and_lines_stay_as_they_were_written() {
        check_written("2 g", "2 g");
        check_written(" a  b\n(c)\n\n~", "~a~ b#linebreak()\\(c\\)#linebreak()#linebreak()\\~");
        check_written("", "");
        check_written("= 1\r\n- #x", "\\= 1#linebreak()\\- \\#x");
    }

    proptest::proptest! {
        #[test]
        fn typst_reads_any_text_as_that_text(text in "\\PC*|[\\x00-\\x7f]*") {
            let text = plain(&text);
            let mut out = String::new();
            typst_text(&mut out, &text);
            let words = |text: &str| {
                let text = text.replace('\u{200b}', "");
                text.split_whitespace().collect::<Vec<_>>().join(" ")
            };
            proptest::prop_assert_eq!(words(&read_by_typst(&out)), words(&text));
            let quoted = typst_quoted(&text);
            let node = typst::syntax::parse_code(&quoted);
            let told = node.children().find_map(typst::syntax::SyntaxNode::cast::<typst::syntax::ast::Str<'_>>);
            let told = told.map(|told| told.get().to_string());
            proptest::prop_assert_eq!(told, Some(text.replace('\n', " ")));
        }
    }
}
