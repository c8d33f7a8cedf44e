//! The tags of a text or a layout, bounded before the library reads them.
//!
//! The library follows a chain (`x + x + x`, `x|f|f|f`, `{% elif %}`) one call deeper for every link
//! and knows no bound: a long one ends the program. So nothing longer than these is handed over.

use std::ops::Range;

/// The longest tag, in bytes: five times what the bundled layouts need.
const LONGEST: usize = 1_000;

/// The most branches; the bundled layouts have ten.
const MOST_BRANCHES: usize = 200;

/// The most signs for adding; the bundled layouts have one. A list that is added to itself so many times
/// is four thousand times as long, and one that is added forty times is never counted to its end.
const MOST_SUMS: usize = 12;

/// More tags than can be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct TooMuch {
    /// Where it begins, in bytes.
    pub(crate) range: Range<usize>,
    /// What is wrong.
    pub(crate) what: String,
    /// What to do.
    pub(crate) help: &'static str,
}

/// The first tag that is too long, or the first branch too many.
pub(crate) fn too_much(source: &str) -> Option<TooMuch> {
    long_tag(source).or_else(|| many_sums(source)).or_else(|| {
        let (at, word) = source.match_indices("elif").nth(MOST_BRANCHES)?;
        Some(TooMuch {
            range: at..at + word.len(),
            what: format!("expected at most {MOST_BRANCHES} `elif`, found more"),
            help: "choose by a list or by fewer branches",
        })
    })
}

fn many_sums(source: &str) -> Option<TooMuch> {
    let mut signs = tags(source).flat_map(|(start, tag)| {
        // `{%+` keeps the blanks before a tag.
        let signs = tag.match_indices('+').filter(|(at, _)| *at > 2);
        signs.map(move |(at, _)| start + at)
    });
    let at = signs.nth(MOST_SUMS)?;
    Some(TooMuch {
        range: at..at + 1,
        what: format!("expected at most {MOST_SUMS} `+`, found more"),
        help: "join texts with `~`, and let the sheet bring its sums",
    })
}

fn long_tag(source: &str) -> Option<TooMuch> {
    let (start, tag) = tags(source).find(|(_, tag)| tag.len() > LONGEST)?;
    Some(TooMuch {
        range: start..start + 2,
        what: format!("expected a tag of at most {LONGEST} bytes, found {}", tag.len()),
        help: "close the tag, or take it apart with `{% set %}`",
    })
}

/// The tags of a source, each with the place where it begins; comments, which may be as long as they
/// like, are none.
pub(super) fn tags(source: &str) -> impl Iterator<Item = (usize, &str)> {
    let mut at = 0;
    std::iter::from_fn(move || {
        loop {
            let start = at + source.get(at..)?.find('{')?;
            let rest = source.get(start..)?;
            let length = match rest.as_bytes().get(1) {
                Some(b'{') => tag(rest, b'}'),
                Some(b'%') => tag(rest, b'%'),
                Some(b'#') => {
                    at = start + 2 + rest.get(2..)?.find("#}")? + 2;
                    continue;
                }
                _ => {
                    at = start + 1;
                    continue;
                }
            };
            at = start + length;
            return Some((start, rest.get(..length)?));
        }
    })
}

/// How long a tag is, to its end outside quotes and braces or to the end of the text.
fn tag(rest: &str, closing: u8) -> usize {
    let bytes = rest.as_bytes();
    let (mut at, mut quote, mut braces) = (2, None, 0_usize);
    while let Some(&byte) = bytes.get(at) {
        if let Some(mark) = quote {
            match byte {
                b'\\' => at += 1,
                _ if byte == mark => quote = None,
                _ => {}
            }
        } else {
            match byte {
                b'"' | b'\'' => quote = Some(byte),
                b'{' => braces += 1,
                b'}' if braces > 0 => braces -= 1,
                _ if byte == closing && bytes.get(at + 1) == Some(&b'}') => return at + 2,
                _ => {}
            }
        }
        at += 1;
    }
    bytes.len()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn start(source: &str) -> Option<usize> {
        too_much(source).map(|found| found.range.start)
    }

    #[test]
    fn a_long_tag_is_found_where_it_begins() {
        let chain = "+x".repeat(600);
        assert_eq!(start(&format!("é {{{{ x{chain} }}}}")), Some(3));
        assert_eq!(start(&format!("{{% if x{chain} %}}{{% endif %}}")), Some(0));
        assert_eq!(start(&format!("{{{{ x{chain}")), Some(0));
    }

    #[test]
    fn an_end_in_quotes_or_braces_ends_no_tag() {
        let chain = "~x".repeat(600);
        for before in ["'}}'", "\"\\\"}}\"", "'{#'", "{'a': {'b': 1}}"] {
            assert_eq!(start(&format!("{{{{ {before}{chain} }}}}")), Some(0), "{before}");
        }
    }

    #[test]
    fn long_texts_between_tags_and_long_comments_are_nothing_to_tell() {
        let words = "it's { long } ".repeat(200);
        assert_eq!(start(&format!("{words}{{{{ x }}}}{words}{{# {words}#}}{{{{ y }}}}")), None);
        assert_eq!(start(&"{% if x %}{{ x }}{% endif %}".repeat(2_000)), None);
        assert_eq!(start("{"), None);
        assert_eq!(start("{#"), None);
    }

    #[test]
    fn a_sum_too_many_is_found() {
        assert_eq!(start(&"{{ a + b }} + {%+ if x %}".repeat(12)), None);
        assert_eq!(start(&"{{ a + b }}".repeat(13)), Some(12 * 11 + 5));
    }

    #[test]
    fn a_branch_too_many_is_found() {
        assert_eq!(start(&"{% elif x %}".repeat(200)), None);
        assert_eq!(start(&"{% elif x %}".repeat(201)), Some(200 * 12 + 3));
    }
}
