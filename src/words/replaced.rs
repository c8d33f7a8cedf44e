//! A text with something else in the place of some of its bytes.

use std::borrow::Cow;

/// The text with what is to stand there in the place of each byte for which there is such a thing: by its
/// index and itself. Only bytes of ASCII may be replaced.
pub(crate) fn replaced(
    text: &str,
    instead: impl Fn(usize, u8) -> Option<&'static str>,
) -> Cow<'_, str> {
    let mut out = String::new();
    let mut written = 0;
    for (at, byte) in text.bytes().enumerate() {
        let Some(instead) = instead(at, byte) else { continue };
        if written == 0 {
            out.reserve(text.len() + 16);
        }
        out.push_str(text.get(written..at).unwrap_or_default());
        out.push_str(instead);
        written = at + 1;
    }
    // Most texts have nothing in them to be replaced.
    if written == 0 {
        return Cow::Borrowed(text);
    }
    out.push_str(text.get(written..).unwrap_or_default());
    Cow::Owned(out)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(text: &str, expected: &str) {
        let sign = |at, byte| match byte {
            b'<' => Some("&lt;"),
            b' ' if at > 0 => Some("\u{a0}"),
            _ => None,
        };
        assert_eq!(replaced(text, sign), expected);
    }

    #[test]
    fn each_byte_is_replaced_by_what_stands_for_it() {
        check("", "");
        check("base", "base");
        check("<", "&lt;");
        check(" a < b", " a\u{a0}&lt;\u{a0}b");
        check("2\u{a0}µg <", "2\u{a0}µg\u{a0}&lt;");
    }

    #[test]
    fn a_text_in_which_nothing_is_replaced_is_not_copied() {
        assert!(matches!(replaced("base", |_, _| None), Cow::Borrowed("base")));
    }
}
