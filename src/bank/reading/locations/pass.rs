//! Where the pieces of a file are, from one pass over it.
//!
//! The reader of values numbers the pieces of a file in the order in which they are written; this
//! pass numbers them in the same order and keeps the bytes of each. It is taken once, and only when
//! something is wrong.

use std::collections::BTreeMap;
use std::ops::Range;

use saphyr_parser::{Event, Parser, ScalarStyle, Span};

use super::piece::{Build, Locations, MOST_PIECES, Piece};

/// The locations of all pieces of a file.
pub(super) fn located(text: &str) -> Locations {
    let mut pass = Pass { bytes: Bytes::of(text), text, ..Pass::default() };
    for event in Parser::new_from_str(text) {
        match event {
            Ok((event, span)) => pass.take(&event, span),
            Err(error) => {
                let at = pass.bytes.at(error.marker().index());
                pass.locations.fault = Some((at, error.info().to_owned()));
                break;
            }
        }
        if pass.locations.pieces.len() > MOST_PIECES {
            break;
        }
    }
    pass.locations
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
    locations: Locations,
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
        if is_tagged && self.locations.tag.is_none() {
            self.locations.tag = Some(range.clone());
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
        let number = self.locations.pieces.len();
        self.locations.pieces.push(Piece { key, value: range, build });
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
            self.anchors.insert(anchor, number..self.locations.pieces.len());
        }
    }

    fn end(&mut self, end: usize) {
        let Some(Open::List(number) | Open::Group(number, _)) = self.open.pop() else { return };
        if let Some(piece) = self.locations.pieces.get_mut(number) {
            piece.value.end = end.max(piece.value.end);
        }
        if let Some(anchor) = self.anchored.remove(&number) {
            self.complete(number, anchor);
        }
    }

    /// An alias is all the pieces it repeats, each at the location of the alias.
    fn alias(&mut self, range: &Range<usize>, anchor: usize) {
        let Some(key) = self.key(range, Build::Text) else { return };
        let pieces = self.anchors.get(&anchor).cloned().unwrap_or_default();
        let mut repeated: Vec<Piece> =
            self.locations.pieces.get(pieces).unwrap_or_default().to_vec();
        if repeated.is_empty() {
            repeated.push(Piece { key: 0..0, value: 0..0, build: Build::Text });
        }
        for (n, piece) in repeated.iter_mut().enumerate() {
            piece.key = if n == 0 { key.clone() } else { range.clone() };
            piece.value = range.clone();
        }
        self.locations.pieces.append(&mut repeated);
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
