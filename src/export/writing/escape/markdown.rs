//! Text for Markdown.

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

    proptest::proptest! {
        #[test]
        fn no_text_at_all_becomes_markup(text in "\\PC*|[\\x00-\\x7f]*") {
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
