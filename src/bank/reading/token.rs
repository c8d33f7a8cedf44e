//! Where the texts of a file stand in its bytes.
//!
//! The YAML library tells where a value begins. Where it ends, and where in it a word stands, is
//! found here by looking at the text from there on.

use std::ops::Range;

/// The bytes of the key, or of the value as far as it stands on one line, that begins at `start`.
pub(in crate::bank) fn token(text: &str, start: usize) -> Range<usize> {
    let line = line(text, start);
    let quote = line.chars().next().filter(|c| matches!(c, '"' | '\''));
    let length = match quote {
        Some(quote) => quoted_length(line, quote),
        None => plain_length(line, is_in_brackets(text, start)),
    };
    start..start + line.get(..length).unwrap_or(line).trim_end().len()
}

/// The bytes of a whole value that begins at `start`: a block behind `|` or `>`, a quoted text, or
/// a plain text with the lines on which it goes on.
pub(in crate::bank) fn extent(text: &str, start: usize) -> Range<usize> {
    let rest = text.get(start..).unwrap_or_default();
    match rest.chars().next() {
        Some(quote @ ('"' | '\'')) => start..start + quoted_length(rest, quote),
        Some('[' | '{') => token(text, start),
        _ if is_in_brackets(text, start) => token(text, start),
        _ => start..start + indented_length(text, start),
    }
}

/// Where a part of a text stands in the file, when the text is known to stand in `extent`.
///
/// The text may be folded or quoted there, so that its bytes do not stand in the file one for one.
/// The part is looked for as the same word: if it occurs as often in the extent as in the text, the
/// occurrences are the same ones.
pub(in crate::bank) fn part_of(
    file: &str,
    extent: &Range<usize>,
    text: &str,
    part: &Range<usize>,
) -> Option<Range<usize>> {
    let word = text.get(part.clone()).filter(|word| !word.trim().is_empty())?;
    let region = file.get(extent.clone())?;
    let before = text.match_indices(word).take_while(|(at, _)| *at < part.start).count();
    let places: Vec<usize> = region.match_indices(word).map(|(at, _)| at).collect();
    if places.len() != text.matches(word).count() {
        return None;
    }
    let start = extent.start + places.get(before)?;
    Some(start..start + word.len())
}

/// What is left of the line at a place.
fn line(text: &str, start: usize) -> &str {
    text.get(start..).unwrap_or_default().split('\n').next().unwrap_or_default()
}

/// The length of a quoted text with its quotes; a doubled or escaped quote does not end it.
fn quoted_length(text: &str, quote: char) -> usize {
    let mut letters = text.char_indices().skip(1).peekable();
    while let Some((at, letter)) = letters.next() {
        if letter == '\\' && quote == '"' {
            letters.next();
        } else if letter == quote {
            if quote == '\'' && letters.next_if(|(_, next)| *next == '\'').is_some() {
                continue;
            }
            return at + 1;
        }
    }
    text.len()
}

fn plain_length(line: &str, in_brackets: bool) -> usize {
    let end = line.find(" #").unwrap_or(line.len());
    let word = line.get(..end).unwrap_or(line).trim_end();
    // A key ends at its colon, a value in brackets at the next mark.
    let end =
        word.find(": ").unwrap_or_else(|| word.strip_suffix(':').map_or(word.len(), str::len));
    match word.get(..end).and_then(|word| word.find([',', '}', ']'])) {
        Some(mark) if in_brackets && mark > 0 => mark,
        _ => end,
    }
}

/// Whether a bracket is open on the line before a place.
fn is_in_brackets(text: &str, start: usize) -> bool {
    let before = text.get(..start).unwrap_or_default().rsplit('\n').next().unwrap_or_default();
    let count = |marks: [char; 2]| before.matches(marks).count();
    count(['{', '[']) > count(['}', ']'])
}

/// The length of a block or plain text: the rest of its line, and the lines after it that stand
/// further in than the key or the dash before it.
fn indented_length(text: &str, start: usize) -> usize {
    let before = text.get(..start).unwrap_or_default().rsplit('\n').next().unwrap_or_default();
    let least = before
        .find(|c| !matches!(c, ' ' | '-'))
        .or_else(|| before.rfind('-'))
        .map_or(before.len(), |column| column + 1);
    let rest = text.get(start..).unwrap_or_default();
    let mut length = 0;
    for line in rest.split_inclusive('\n') {
        let inner = line.trim_start_matches(' ');
        if length > 0 && !inner.trim().is_empty() && line.len() - inner.len() < least {
            break;
        }
        length += line.len();
    }
    rest.get(..length).map_or(0, |block| block.trim_end().len())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check_token(text: &str, from: &str, expected: &str) {
        let start = text.find(from).expect("it stands there");
        assert_eq!(&text[token(text, start)], expected);
    }

    #[test]
    fn a_key_ends_at_its_colon_and_a_value_at_its_remark() {
        check_token("unit: g/unit   # mass of one\n", "unit", "unit");
        check_token("unit: g/unit   # mass of one\n", "g/unit", "g/unit");
        check_token("values:\n  x: 1", "values", "values");
        check_token("müß: \"a: b\" \n", "\"a", "\"a: b\"");
        check_token("- { unit: \"%\", fixed: 10 }", "fixed", "fixed");
        check_token("- { unit: \"%\", fixed: 10 }", "10", "10");
        check_token("with: [dose, factor]", "dose", "dose");
        check_token("is: limit(a, b, c)", "limit", "limit(a, b, c)");
        check_token("say: 'it''s full' # why", "'it", "'it''s full'");
        check_token("say: \"a \\\" b\" # why", "\"a", "\"a \\\" b\"");
        check_token("end", "end", "end");
    }

    #[track_caller]
    fn check_part(file: &str, value: &str, text: &str, word: &str, expected: Option<usize>) {
        let start = file.find(value).expect("it stands there");
        let at = text.rfind(word).expect("it stands there");
        let found = part_of(file, &extent(file, start), text, &(at..at + word.len()));
        assert_eq!(found.map(|range| range.start), expected);
    }

    #[test]
    fn finds_a_word_in_a_plain_a_folded_and_a_quoted_text() {
        check_part("is: a + bb\nb: bb\n", "a + bb", "a + bb", "bb", Some(8));
        check_part("  say: >\n    a bb\n    cc bb\n  bb: 1\n", ">", "a bb cc bb\n", "bb", Some(25));
        check_part("- >\n  a bb\n\n  cc\n- bb\n", ">", "a bb\ncc\n", "cc", Some(14));
        check_part("say: \"a \\\"bb\\\" cc\"\n", "\"a", "a \"bb\" cc", "cc", Some(15));
        check_part("x: [a + bb, bb]\n", "a +", "a + bb", "bb", Some(8));
    }

    #[test]
    fn does_not_guess_where_the_words_of_file_and_text_differ() {
        check_part("say: \"\\x61b\"\n", "\"", "ab", "ab", None);
    }
}
