//! The pieces of a file: the bytes of each, and how it is built.

use std::ops::Range;

/// The most values in a file, an alias counted as all it repeats each time it is used.
pub(in crate::bank::reading) const MOST_PIECES: usize = 50_000;

/// How a piece is built.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::bank::reading) enum Build {
    Text,
    List,
    Group,
}

/// The bytes of a piece.
#[derive(Clone, Debug)]
pub(in crate::bank::reading) struct Piece {
    /// Those of the key before it; empty for an item of a list.
    pub(in crate::bank::reading) key: Range<usize>,
    pub(in crate::bank::reading) value: Range<usize>,
    pub(in crate::bank::reading) build: Build,
}

/// All pieces of a file.
#[derive(Debug, Default)]
pub(in crate::bank::reading) struct Locations {
    pub(in crate::bank::reading) pieces: Vec<Piece>,
    /// The first tag, which no file may have.
    pub(in crate::bank::reading) tag: Option<Range<usize>>,
    /// Where the file cannot be read on, and why.
    pub(in crate::bank::reading) fault: Option<(usize, String)>,
}

impl Locations {
    /// How the piece of a number is built.
    pub(in crate::bank::reading) fn build(&self, number: usize) -> Option<Build> {
        self.pieces.get(number).map(|piece| piece.build)
    }
}
