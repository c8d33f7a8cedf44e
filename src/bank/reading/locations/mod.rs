//! Where everything in a file is, by the number of each piece.

mod piece;
mod pass;

use std::cell::OnceCell;
use std::ops::Range;
use std::sync::Arc;

use crate::bank::SourceText;
use crate::bank::reading::noted::Noted;

use pass::located;
use piece::Piece;
pub(super) use piece::{Build, Locations, MOST_PIECES};

/// A piece of a file, by its number; or the proof that what should be there is missing or wrong, and
/// something stands in for it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::bank) struct Location(Result<usize, Noted>);

impl Location {
    /// The whole file.
    pub(in crate::bank) const FILE: Self = Self(Ok(0));

    /// The piece of that number.
    pub(super) fn of(piece: usize) -> Self {
        Self(Ok(piece))
    }

    /// That of a stand-in: nothing more is noted about it.
    pub(in crate::bank) fn lost(noted: Noted) -> Self {
        Self(Err(noted))
    }

    /// The number of the piece, if there is one.
    pub(super) fn piece(self) -> Option<usize> {
        self.0.ok()
    }

    /// The proof that something was noted of what should be there.
    pub(in crate::bank) fn noted(self) -> Option<Noted> {
        self.0.err()
    }
}

/// What has a location in a file.
pub(in crate::bank) trait Located {
    /// Its location.
    fn location(&self) -> Location;
}

impl Located for Location {
    fn location(&self) -> Location {
        *self
    }
}

/// A file and the locations in it.
pub(in crate::bank) struct File<'a> {
    pub(in crate::bank) source: &'a Arc<SourceText>,
    locations: OnceCell<Locations>,
}

impl<'a> File<'a> {
    pub(super) fn new(source: &'a Arc<SourceText>) -> Self {
        Self { source, locations: OnceCell::new() }
    }

    pub(super) fn locations(&self) -> &Locations {
        self.locations.get_or_init(|| located(&self.source.text))
    }

    fn piece(&self, location: Location) -> Option<(usize, &Piece)> {
        let number = location.piece()?;
        self.locations().pieces.get(number).map(|piece| (number, piece))
    }

    /// The bytes to show for a value: as far as it goes on its first line.
    pub(super) fn value(&self, location: Location) -> Range<usize> {
        let Some((number, piece)) = self.piece(location) else { return 0..0 };
        // A group that begins with its first key is shown by that key.
        let begins_with = |key: &Range<usize>| !key.is_empty() && key.start == piece.value.start;
        match self.locations().pieces.get(number + 1) {
            Some(first) if piece.build == Build::Group && begins_with(&first.key) => {
                first.key.clone()
            }
            _ => self.first_line(&piece.value),
        }
    }

    /// The bytes to show for a key; for what has none, those of its value.
    pub(super) fn key(&self, location: Location) -> Range<usize> {
        match self.piece(location) {
            Some((_, piece)) if !piece.key.is_empty() => self.first_line(&piece.key),
            _ => self.value(location),
        }
    }

    /// The bytes of a part of a text, where the words of the file and of the text are the same.
    ///
    /// The text may be folded or quoted in the file, so that its bytes are not there one for one. The
    /// part is looked for as the same word: if it occurs as often in the file as in the text, the
    /// occurrences are the same ones.
    pub(super) fn part(&self, location: Location, text: &str, part: &Range<usize>) -> Range<usize> {
        self.found(location, text, part).unwrap_or_else(|| self.value(location))
    }

    fn found(&self, location: Location, text: &str, part: &Range<usize>) -> Option<Range<usize>> {
        let word = text.get(part.clone()).filter(|word| !word.trim().is_empty())?;
        let value = &self.piece(location)?.1.value;
        let written = self.source.text.get(value.clone())?;
        let before = text.match_indices(word).take_while(|(at, _)| *at < part.start).count();
        let found: Vec<usize> = written.match_indices(word).map(|(at, _)| at).collect();
        if found.len() != text.matches(word).count() {
            return None;
        }
        let start = value.start + found.get(before)?;
        Some(start..start + word.len())
    }

    fn first_line(&self, range: &Range<usize>) -> Range<usize> {
        let text = self.source.text.get(range.clone()).unwrap_or_default();
        let line = text.split('\n').next().unwrap_or_default().trim_end();
        range.start..range.start + line.len()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What is shown for each piece of a text, its key before it.
    fn shown(text: &str) -> Vec<(String, String)> {
        let source = Arc::new(SourceText::new(String::new(), text.to_owned()));
        let file = File::new(&source);
        let pieces = 0..file.locations().pieces.len();
        let of = |range: Range<usize>| text[range].to_owned();
        pieces.map(|n| (of(file.key(Location::of(n))), of(file.value(Location::of(n))))).collect()
    }

    #[track_caller]
    fn check(text: &str, expected: &[(&str, &str)]) {
        let shown = shown(text);
        let shown: Vec<(&str, &str)> =
            shown.iter().map(|(key, value)| (key.as_str(), value.as_str())).collect();
        assert_eq!(shown, expected);
    }

    #[test]
    fn keys_and_values_are_shown_as_they_are_written() {
        check("unit: g/unit   # mass\n", &[("unit", "unit"), ("unit", "g/unit")]);
        check("müß: \"a: b\" \n", &[("müß", "müß"), ("müß", "\"a: b\"")]);
        check("say: 'it''s full' # why", &[("say", "say"), ("say", "'it''s full'")]);
        check(
            "- { b: \"%\", c: 10 }",
            &[
                ("- { b: \"%\", c: 10 }", "- { b: \"%\", c: 10 }"),
                ("{ b: \"%\", c: 10 }", "{ b: \"%\", c: 10 }"),
                ("b", "\"%\""),
                ("c", "10"),
            ],
        );
    }

    #[test]
    fn a_text_of_several_lines_is_shown_by_its_first() {
        check("a: >\n  one\n  two\nb: one\n  two\n", &[("a", "a"), ("a", ">"), ("b", "one")]);
    }

    #[test]
    fn an_alias_is_all_that_it_repeats() {
        check(
            "a: &x [1, 2]\nb: *x\n",
            &[
                ("a", "a"),
                ("a", "&x [1, 2]"),
                ("1", "1"),
                ("2", "2"),
                ("b", "*x"),
                ("*x", "*x"),
                ("*x", "*x"),
            ],
        );
    }

    #[track_caller]
    fn check_part(file: &str, text: &str, word: &str, expected: Option<usize>) {
        let source = Arc::new(SourceText::new(String::new(), file.to_owned()));
        let at = text.rfind(word).expect("it is there");
        let found = File::new(&source).found(Location::of(1), text, &(at..at + word.len()));
        assert_eq!(found.map(|range| range.start), expected);
    }

    #[test]
    fn finds_a_word_in_a_plain_a_folded_and_a_quoted_text() {
        check_part("is: a + bb\nb: bb\n", "a + bb", "bb", Some(8));
        check_part("say: >\n  a bb\n  cc bb\nbb: 1\n", "a bb cc bb\n", "bb", Some(19));
        check_part("- >\n  a bb\n\n  cc\n- bb\n", "a bb\ncc\n", "cc", Some(14));
        check_part("say: \"a \\\"bb\\\" cc\"\n", "a \"bb\" cc", "cc", Some(15));
    }

    #[test]
    fn does_not_guess_where_the_words_of_file_and_text_differ() {
        check_part("say: \"\\x61b\"\n", "ab", "ab", None);
    }
}
