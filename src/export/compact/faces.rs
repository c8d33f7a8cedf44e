//! The glyphs of the fonts in the program, known again in the subsets that a PDF file carries.

use std::collections::BTreeMap;
use std::hash::{DefaultHasher, Hasher};
use std::sync::OnceLock;

use ttf_parser::{GlyphId, OutlineBuilder};

use crate::export::fonts;

/// A font in the program.
pub(in crate::export) struct Face {
    /// Its name in PDF files.
    pub name: String,
    /// Its file.
    pub data: &'static [u8],
    /// Its place in the file.
    pub index: u32,
    parsed: ttf_parser::Face<'static>,
    /// The first glyph of each shape.
    shapes: OnceLock<BTreeMap<u64, u16>>,
}

impl std::fmt::Debug for Face {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Face").field("name", &self.name).finish_non_exhaustive()
    }
}

impl Face {
    /// The face of that name.
    pub(in crate::export) fn named(name: &str) -> Option<&'static Self> {
        static FACES: OnceLock<Vec<Face>> = OnceLock::new();
        let faces = FACES.get_or_init(|| fonts::files().filter_map(Self::read).collect());
        faces.iter().find(|face| face.name == name)
    }

    fn read(data: &'static [u8]) -> Option<Self> {
        let parsed = ttf_parser::Face::parse(data, 0).ok()?;
        let mut names = parsed.names().into_iter();
        let name = names.find_map(|name| {
            (name.name_id == ttf_parser::name_id::POST_SCRIPT_NAME).then(|| name.to_string())?
        })?;
        Some(Self { name, data, index: 0, parsed, shapes: OnceLock::new() })
    }

    /// How many units a letter is high.
    pub(in crate::export) fn units(&self) -> u16 {
        self.parsed.units_per_em()
    }

    /// How far a glyph takes the line.
    pub(in crate::export) fn advance(&self, glyph: u16) -> u16 {
        self.parsed.glyph_hor_advance(GlyphId(glyph)).unwrap_or(0)
    }

    /// The usual glyph of a letter.
    pub(in crate::export) fn usual(&self, letter: char) -> Option<u16> {
        self.parsed.glyph_index(letter).map(|glyph| glyph.0)
    }

    /// The glyph that looks like one of a subset, goes as far, and is that of the text if there are several.
    fn glyph(&self, shape: u64, advance: u16, text: &str) -> Option<u16> {
        let mut letters = text.chars();
        let letter = letters.next().filter(|_| letters.next().is_none());
        let usual = letter.and_then(|letter| self.usual(letter));
        let is_same = |glyph: &u16| self.shape(*glyph) == shape && self.advance(*glyph) == advance;
        if usual.as_ref().is_some_and(is_same) {
            return usual;
        }
        let all = || {
            let count = self.parsed.number_of_glyphs();
            // From the last to the first, so that the first stays.
            (0..count).rev().map(|glyph| (self.keyed(glyph), glyph)).collect()
        };
        let key = keyed(shape, advance);
        self.shapes.get_or_init(all).get(&key).copied().filter(is_same)
    }

    fn shape(&self, glyph: u16) -> u64 {
        let mut shape = Shape::default();
        let _ = self.parsed.outline_glyph(GlyphId(glyph), &mut shape);
        shape.0.finish()
    }

    fn keyed(&self, glyph: u16) -> u64 {
        keyed(self.shape(glyph), self.advance(glyph))
    }

    /// The glyphs of a subset, in its own order; nothing for one that is not known. `advance` tells how far
    /// a glyph goes by the file, and `text` what it is to be read as.
    pub(super) fn glyphs(
        &self,
        program: &Program<'_>,
        advance: impl Fn(u16) -> Option<u16>,
        text: impl Fn(u16) -> Option<String>,
    ) -> Vec<Option<u16>> {
        let one = |own: u16| {
            let advance = program.advance(own).or_else(|| advance(own))?;
            self.glyph(program.shape(own), advance, &text(own)?)
        };
        (0..program.count()).map(one).collect()
    }
}

fn keyed(shape: u64, advance: u16) -> u64 {
    let mut both = DefaultHasher::new();
    both.write_u64(shape);
    both.write_u16(advance);
    both.finish()
}

/// The font program in a PDF file.
pub(super) enum Program<'a> {
    /// An OpenType font with TrueType outlines.
    Glyf(Box<ttf_parser::Face<'a>>),
    /// The outlines of an OpenType font alone.
    Cff(Box<ttf_parser::cff::Table<'a>>),
}

impl<'a> Program<'a> {
    /// The program in a stream, bare or not.
    pub(super) fn read(data: &'a [u8], is_bare: bool) -> Option<Self> {
        if is_bare {
            return ttf_parser::cff::Table::parse(data).map(|table| Self::Cff(Box::new(table)));
        }
        ttf_parser::Face::parse(data, 0).ok().map(|face| Self::Glyf(Box::new(face)))
    }

    fn count(&self) -> u16 {
        match self {
            Self::Glyf(face) => face.number_of_glyphs(),
            Self::Cff(table) => table.number_of_glyphs(),
        }
    }

    fn advance(&self, glyph: u16) -> Option<u16> {
        match self {
            Self::Glyf(face) => face.glyph_hor_advance(GlyphId(glyph)),
            Self::Cff(_) => None,
        }
    }

    fn shape(&self, glyph: u16) -> u64 {
        let mut shape = Shape::default();
        match self {
            Self::Glyf(face) => {
                let _ = face.outline_glyph(GlyphId(glyph), &mut shape);
            }
            Self::Cff(table) => {
                let _ = table.outline(GlyphId(glyph), &mut shape);
            }
        }
        shape.0.finish()
    }
}

/// The outline of a glyph in one number.
#[derive(Default)]
struct Shape(DefaultHasher);

impl Shape {
    fn add(&mut self, what: u8, numbers: &[f32]) {
        self.0.write_u8(what);
        for number in numbers {
            self.0.write_u32(number.to_bits());
        }
    }
}

impl OutlineBuilder for Shape {
    fn move_to(&mut self, x: f32, y: f32) {
        self.add(0, &[x, y]);
    }

    fn line_to(&mut self, x: f32, y: f32) {
        self.add(1, &[x, y]);
    }

    fn quad_to(&mut self, x1: f32, y1: f32, x: f32, y: f32) {
        self.add(2, &[x1, y1, x, y]);
    }

    fn curve_to(&mut self, x1: f32, y1: f32, x2: f32, y2: f32, x: f32, y: f32) {
        self.add(3, &[x1, y1, x2, y2, x, y]);
    }

    fn close(&mut self) {
        self.add(4, &[]);
    }
}
