//! Where everything in a file is, from one pass over it.
//!
//! The reader of values numbers the pieces of a file in the order in which they are written; this
//! pass numbers them in the same order and keeps the bytes of each. It is taken once, and only when
//! something is wrong.

use std::cell::OnceCell;
use std::collections::BTreeMap;
use std::ops::Range;
use std::sync::Arc;

use saphyr_parser::{Event, Parser, ScalarStyle, Span};

use crate::bank::reading::SourceText;

/// The most values in a file, an alias counted as all it repeats each time it is used.
pub(super) const MOST_PIECES: usize = 50_000;

/// A piece of a file, by its number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::bank) struct Place(pub(super) usize);

impl Place {
    /// The whole file.
    pub(in crate::bank) const FILE: Self = Self(0);
}

/// What has a place in a file.
pub(in crate::bank) trait Placed {
    /// Its place.
    fn place(&self) -> Place;
}

impl Placed for Place {
    fn place(&self) -> Place {
        *self
    }
}

/// A file and the places in it.
pub(in crate::bank) struct File<'a> {
    pub(in crate::bank) source: &'a Arc<SourceText>,
    places: OnceCell<Places>,
}

impl<'a> File<'a> {
    pub(super) fn new(source: &'a Arc<SourceText>) -> Self {
        Self { source, places: OnceCell::new() }
    }

    pub(super) fn places(&self) -> &Places {
        self.places.get_or_init(|| Places::of(&self.source.text))
    }

    /// The bytes to show for a value: as far as it goes on its first line.
    pub(super) fn value(&self, place: Place) -> Range<usize> {
        let Some(piece) = self.places().pieces.get(place.0) else { return 0..0 };
        // A group that begins with its first key is shown by that key.
        let begins_with = |key: &Range<usize>| !key.is_empty() && key.start == piece.value.start;
        match self.places().pieces.get(place.0 + 1) {
            Some(first) if piece.build == Build::Group && begins_with(&first.key) => {
                first.key.clone()
            }
            _ => self.first_line(&piece.value),
        }
    }

    /// The bytes to show for a key; for what has none, those of its value.
    pub(super) fn key(&self, place: Place) -> Range<usize> {
        match self.places().pieces.get(place.0) {
            Some(piece) if !piece.key.is_empty() => self.first_line(&piece.key),
            _ => self.value(place),
        }
    }

    /// The bytes of a part of a text, where the words of the file and of the text are the same.
    ///
    /// The text may be folded or quoted in the file, so that its bytes are not there one for one. The
    /// part is looked for as the same word: if it occurs as often in the file as in the text, the
    /// occurrences are the same ones.
    pub(super) fn part(&self, place: Place, text: &str, part: &Range<usize>) -> Range<usize> {
        self.found(place, text, part).unwrap_or_else(|| self.value(place))
    }

    fn found(&self, place: Place, text: &str, part: &Range<usize>) -> Option<Range<usize>> {
        let word = text.get(part.clone()).filter(|word| !word.trim().is_empty())?;
        let value = &self.places().pieces.get(place.0)?.value;
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

/// How a piece is built.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Build {
    Text,
    List,
    Group,
}

/// The bytes of a piece.
#[derive(Clone, Debug)]
struct Piece {
    /// Those of the key before it; empty for an item of a list.
    key: Range<usize>,
    value: Range<usize>,
    build: Build,
}

/// All pieces of a file.
#[derive(Debug, Default)]
pub(super) struct Places {
    pieces: Vec<Piece>,
    /// The first tag, which no file may have.
    pub(super) tag: Option<Range<usize>>,
    /// Where the file cannot be read on, and why.
    pub(super) fault: Option<(usize, String)>,
}

impl Places {
    fn of(text: &str) -> Self {
        let mut pass = Pass { bytes: Bytes::of(text), text, ..Pass::default() };
        for event in Parser::new_from_str(text) {
            match event {
                Ok((event, span)) => pass.take(&event, span),
                Err(error) => {
                    let at = pass.bytes.at(error.marker().index());
                    pass.places.fault = Some((at, error.info().to_owned()));
                    break;
                }
            }
            if pass.places.pieces.len() > MOST_PIECES {
                break;
            }
        }
        pass.places
    }

    /// How the piece of a number is built.
    pub(super) fn build(&self, number: usize) -> Option<Build> {
        self.pieces.get(number).map(|piece| piece.build)
    }
}

/// The bytes at which the letters of a text begin.
#[derive(Default)]
struct Bytes(Option<Vec<usize>>);

impl Bytes {
    fn of(text: &str) -> Self {
        let letters = || text.char_indices().map(|(at, _)| at).chain([text.len()]).collect();
        Self((!text.is_ascii()).then(letters))
    }

    fn at(&self, letter: usize) -> usize {
        match &self.0 {
            None => letter,
            Some(bytes) => bytes.get(letter).or(bytes.last()).copied().unwrap_or(0),
        }
    }
}

/// A list or group that is not at its end.
enum Open {
    List(usize),
    /// A group, with the key whose value comes next.
    Group(usize, Option<Range<usize>>),
    /// A list or group in the place of a key, which the reader of values refuses.
    Key,
}

#[derive(Default)]
struct Pass<'t> {
    text: &'t str,
    places: Places,
    bytes: Bytes,
    open: Vec<Open>,
    /// The pieces behind each anchor, once they are complete.
    anchors: BTreeMap<usize, Range<usize>>,
    /// The anchors of what is open, by its first piece.
    anchored: BTreeMap<usize, usize>,
}

impl Pass<'_> {
    fn take(&mut self, event: &Event<'_>, span: Span) {
        let range = self.bytes.at(span.start.index())..self.bytes.at(span.end.index());
        match event {
            Event::Scalar(_, style, anchor, tag) => {
                let range = self.written(range, *style);
                self.tagged(tag.is_some(), &range);
                self.begin(range, Build::Text, *anchor);
            }
            Event::SequenceStart(anchor, tag) => {
                self.tagged(tag.is_some(), &range);
                self.begin(range, Build::List, *anchor);
            }
            Event::MappingStart(anchor, tag) => {
                self.tagged(tag.is_some(), &range);
                self.begin(range, Build::Group, *anchor);
            }
            Event::SequenceEnd | Event::MappingEnd => self.end(range.end),
            Event::Alias(anchor) => self.alias(&range, *anchor),
            _ => {}
        }
    }

    /// The bytes of a text with all of its marks and nothing else.
    fn written(&self, range: Range<usize>, style: ScalarStyle) -> Range<usize> {
        let text = self.text.get(range.clone()).unwrap_or_default();
        match style {
            // The parser counts a remark behind the second mark in.
            ScalarStyle::SingleQuoted => range.start..range.start + quoted_length(text, '\''),
            ScalarStyle::DoubleQuoted => range.start..range.start + quoted_length(text, '"'),
            // It leaves the mark of a block out.
            ScalarStyle::Literal | ScalarStyle::Folded => {
                let before = self.text.get(..range.start).unwrap_or_default();
                let mark = before.rfind(" |").max(before.rfind(" >"));
                mark.map_or(range.start, |at| at + 1)..range.end
            }
            ScalarStyle::Plain => range,
        }
    }

    fn tagged(&mut self, is_tagged: bool, range: &Range<usize>) {
        if is_tagged && self.places.tag.is_none() {
            self.places.tag = Some(range.clone());
        }
    }

    /// The key for a piece that begins; nothing when the piece is a key itself.
    fn key(&mut self, range: &Range<usize>, build: Build) -> Option<Range<usize>> {
        match self.open.last_mut() {
            Some(Open::Group(_, key)) => {
                if key.is_none() {
                    *key = Some(range.clone());
                    if build != Build::Text {
                        self.open.push(Open::Key);
                    }
                    return None;
                }
                key.take()
            }
            Some(Open::Key) => {
                if build != Build::Text {
                    self.open.push(Open::Key);
                }
                None
            }
            Some(Open::List(_)) | None => Some(0..0),
        }
    }

    fn begin(&mut self, range: Range<usize>, build: Build, anchor: usize) {
        let Some(key) = self.key(&range, build) else { return };
        let number = self.places.pieces.len();
        self.places.pieces.push(Piece { key, value: range, build });
        match build {
            Build::Text => self.complete(number, anchor),
            Build::List => self.open.push(Open::List(number)),
            Build::Group => self.open.push(Open::Group(number, None)),
        }
        if build != Build::Text && anchor > 0 {
            self.anchored.insert(number, anchor);
        }
    }

    fn complete(&mut self, number: usize, anchor: usize) {
        if anchor > 0 {
            self.anchors.insert(anchor, number..self.places.pieces.len());
        }
    }

    fn end(&mut self, end: usize) {
        let Some(Open::List(number) | Open::Group(number, _)) = self.open.pop() else { return };
        if let Some(piece) = self.places.pieces.get_mut(number) {
            piece.value.end = end.max(piece.value.end);
        }
        if let Some(anchor) = self.anchored.remove(&number) {
            self.complete(number, anchor);
        }
    }

    /// An alias is all the pieces it repeats, each at the place of the alias.
    fn alias(&mut self, range: &Range<usize>, anchor: usize) {
        let Some(key) = self.key(range, Build::Text) else { return };
        let pieces = self.anchors.get(&anchor).cloned().unwrap_or_default();
        let mut repeated: Vec<Piece> = self.places.pieces.get(pieces).unwrap_or_default().to_vec();
        if repeated.is_empty() {
            repeated.push(Piece { key: 0..0, value: 0..0, build: Build::Text });
        }
        for (n, piece) in repeated.iter_mut().enumerate() {
            piece.key = if n == 0 { key.clone() } else { range.clone() };
            piece.value = range.clone();
        }
        self.places.pieces.append(&mut repeated);
    }
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

#[cfg(test)]
mod tests {
    use super::*;

    /// What is shown for each piece of a text, its key before it.
    fn shown(text: &str) -> Vec<(String, String)> {
        let source = Arc::new(SourceText { path: String::new(), text: text.to_owned() });
        let file = File::new(&source);
        let pieces = 0..file.places().pieces.len();
        let of = |range: Range<usize>| text[range].to_owned();
        pieces.map(|n| (of(file.key(Place(n))), of(file.value(Place(n))))).collect()
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
        let source = Arc::new(SourceText { path: String::new(), text: file.to_owned() });
        let at = text.rfind(word).expect("it is there");
        let found = File::new(&source).found(Place(1), text, &(at..at + word.len()));
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
