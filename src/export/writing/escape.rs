//! Text that cannot be taken for markup.

use std::borrow::Cow;
use std::fmt::Write;

use crate::quantity::UNITS;

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

/// Whether any byte of a text is such a one. All are looked at, several at once, which is quicker for
/// most texts than to end at the first.
fn any_byte(text: &str, is_such: impl Fn(u8) -> bool) -> bool {
    text.bytes().fold(false, |found, byte| found | is_such(byte))
}

/// The text as [`html_text`] writes it.
pub(in crate::export) fn in_html(text: &str) -> Cow<'_, str> {
    if has_html_signs(text) || may_hold_together(text) {
        return written(text, html_text);
    }
    Cow::Borrowed(text)
}

/// Whether a text has a sign that could be markup.
fn has_html_signs(text: &str) -> bool {
    any_byte(text, |byte| matches!(byte, b'&' | b'<' | b'>' | b'"' | b'\''))
}

/// Whether a blank in a text may be one that must not break: one behind a digit or a point.
fn may_hold_together(text: &str) -> bool {
    let pairs = text.bytes().zip(text.bytes().skip(1));
    let may = |pair: &(u8, u8)| matches!(pair, (b'0'..=b'9' | b'.', b' '));
    pairs.filter(may).count() > 0
}

/// What one of the functions here writes of a text.
pub(in crate::export) fn written(text: &str, write: fn(&mut String, &str)) -> Cow<'_, str> {
    let mut out = String::with_capacity(text.len() + 16);
    write(&mut out, text);
    Cow::Owned(out)
}

/// Writes text for HTML as [`html`] does, with each number kept on the line of its unit.
pub(in crate::export) fn html_text(out: &mut String, text: &str) {
    html_with(out, text, |at| holds_together(text, at));
}

/// Writes text for HTML, safe between tags and in quoted attributes.
pub(in crate::export) fn html(out: &mut String, text: &str) {
    html_with(out, text, |_| false);
}

/// Writes text for HTML; `is_held` says whether the blank at a place must not break.
fn html_with(out: &mut String, text: &str, is_held: impl Fn(usize) -> bool) {
    let mut written = 0;
    for (at, byte) in text.bytes().enumerate() {
        let safe = match byte {
            b'&' => "&amp;",
            b'<' => "&lt;",
            b'>' => "&gt;",
            b'"' => "&quot;",
            b'\'' => "&#39;",
            b' ' if is_held(at) => "\u{a0}",
            _ => continue,
        };
        out.push_str(text.get(written..at).unwrap_or_default());
        out.push_str(safe);
        written = at + 1;
    }
    out.push_str(text.get(written..).unwrap_or_default());
}

/// Whether the blank at a place stands between a number and its unit. Behind anything but a digit or a
/// point it does not, so no word has to be looked at there.
fn holds_together(text: &str, blank: usize) -> bool {
    let (before, after) = (text.get(..blank), text.get(blank + 1..));
    let (Some(before), Some(after)) = (before, after) else { return false };
    if !before.ends_with(|c: char| c.is_ascii_digit() || c == '.') {
        return false;
    }
    let before = before.rsplit(' ').next().unwrap_or_default();
    let after = after.split(' ').next().unwrap_or_default();
    belong_together(before, after)
}

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

/// Writes text for Typst markup with every blank and every line as it was written.
#[cfg(feature = "pdf")]
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

/// Writes text for Markdown (`CommonMark` with tables), safe in a paragraph, a list or a table cell.
///
/// White space of any kind becomes one blank, so text cannot begin a block of its own; whatever
/// could begin one at the start of a line gets a backslash.
pub(in crate::export) fn markdown(out: &mut String, text: &str) {
    for (n, word) in text.split_whitespace().enumerate() {
        if n > 0 || text.starts_with(char::is_whitespace) {
            out.push(' ');
        }
        if n == 0 {
            markdown_first(out, word);
        } else {
            markdown_word(out, word);
        }
    }
    if text.ends_with(char::is_whitespace) && !text.trim().is_empty() {
        out.push(' ');
    }
}

/// The first word may stand at the start of a line, where more is special.
fn markdown_first(out: &mut String, word: &str) {
    if word.starts_with(['#', '+', '-', '=', ':']) {
        out.push('\\');
        out.push_str(word.get(..1).unwrap_or_default());
        markdown_word(out, word.get(1..).unwrap_or_default());
        return;
    }
    let digits = word.bytes().take_while(u8::is_ascii_digit).count();
    match word.as_bytes().get(digits) {
        // Only "1." or "1)" alone begins a list; "1.5" does not.
        Some(b'.' | b')') if digits > 0 && word.len() == digits + 1 => {
            out.push_str(word.get(..digits).unwrap_or_default());
            out.push('\\');
            out.push_str(word.get(digits..).unwrap_or_default());
        }
        _ => markdown_word(out, word),
    }
}

fn markdown_word(out: &mut String, word: &str) {
    let mut characters = word.chars().peekable();
    while let Some(c) = characters.next() {
        let next = characters.peek();
        let special = match c {
            '\\' | '`' | '*' | '_' | '[' | ']' | '<' | '>' | '|' | '~' | '$' | '^' => true,
            '&' => next.is_some_and(|next| next.is_ascii_alphanumeric() || *next == '#'),
            _ => false,
        };
        if special {
            out.push('\\');
        }
        out.push(c);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check_markdown(text: &str, expected: &str) {
        let mut out = String::new();
        markdown(&mut out, text);
        assert_eq!(out, expected);
    }

    #[test]
    fn plain_text_loses_control_characters_and_direction_marks() {
        assert_eq!(plain("a\u{1b}[31mb\u{202e}c\0\td\n"), "a[31mbc d\n");
        assert!(matches!(plain("13.9 g × 2 ÷ 3"), Cow::Borrowed(_)));
    }

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

    #[test]
    fn ordinary_words_stay_as_they_are_in_markdown() {
        check_markdown(
            "1.02 g of base (see p. 40), 5 % w/w!",
            "1.02 g of base (see p. 40), 5 % w/w!",
        );
    }

    #[test]
    fn markdown_emphasis_links_code_tables_and_html_are_disarmed() {
        check_markdown("*a* _b_ `c`", r"\*a\* \_b\_ \`c\`");
        check_markdown("![x](http://y) a|b", r"!\[x\](http://y) a\|b");
        check_markdown("<img src=x> &lt; R & D", r"\<img src=x\> \&lt; R & D");
        check_markdown("~~gone~~ $x^2$", r"\~\~gone\~\~ \$x\^2\$");
    }

    #[test]
    fn markdown_blocks_cannot_begin_in_a_text() {
        check_markdown("# title", r"\# title");
        check_markdown("- item", r"\- item");
        check_markdown("1. item", r"1\. item");
        check_markdown("12) item", r"12\) item");
        check_markdown("1.5 g", "1.5 g");
        check_markdown("a\n\n# b\n---\n    code", "a # b --- code");
        check_markdown("===", r"\===");
    }

    /// The text that Typst reads out of markup; any markup in it is a failure.
    #[cfg(feature = "pdf")]
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

    #[cfg(feature = "pdf")]
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

    #[cfg(feature = "pdf")]
    #[track_caller]
    fn check_written(text: &str, expected: &str) {
        let mut out = String::new();
        typst_written(&mut out, text);
        assert_eq!(out, expected);
    }

    #[cfg(feature = "pdf")]
    #[test]
    fn blanks_and_lines_stay_as_they_were_written() {
        check_written("2 g", "2 g");
        check_written(" a  b\n(c)\n\n~", "~a~ b#linebreak()\\(c\\)#linebreak()#linebreak()\\~");
        check_written("", "");
        check_written("= 1\r\n- #x", "\\= 1#linebreak()\\- \\#x");
    }

    #[cfg(feature = "pdf")]
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

    proptest::proptest! {
        #[test]
        fn no_text_at_all_becomes_markup(text in "\\PC*|[\\x00-\\x7f]*") {
            let mut out = String::new();
            html(&mut out, &text);
            let opens = out.contains(['<', '>', '"', '\'']);
            proptest::prop_assert!(!opens);
            let style = css(&text);
            let ends_it = style.contains(['<', '"', '\n', '{']);
            proptest::prop_assert!(!ends_it);
            let mut out = String::new();
            markdown(&mut out, &text);
            let bare = out.replace("\\\\", "");
            for special in ['<', '|', '`', '*', '_', '[', '$'] {
                let all = bare.matches(special).count();
                let disarmed = bare.matches(&format!("\\{special}")).count();
                proptest::prop_assert_eq!(all, disarmed, "{}", out);
            }
            proptest::prop_assert!(!out.contains('\n'));
        }
    }
}
