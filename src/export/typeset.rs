//! From Typst markup to the bytes of a PDF.
//!
//! The markup sees nothing but itself and the fonts in the program: no file, no package, no clock.

use std::collections::BTreeSet;
use std::ops::RangeInclusive;
use std::sync::OnceLock;

use typst::comemo;
use typst::diag::{FileError, FileResult, SourceDiagnostic};
use typst::ecow::EcoVec;
use typst::foundations::{Bytes, Datetime, Duration, Smart};
use typst::syntax::{FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Library, LibraryExt, World};
use typst_layout::PagedDocument;
use typst_pdf::{PdfOptions, PdfStandard, PdfStandards};

/// How many documents a piece of finished work is kept for: questions shared by the papers of a
/// class are then set once, and memory stays bounded.
const KEPT_FOR: usize = 3;

/// What stands for a character that no font has.
const MISSING: char = '\u{25a1}';

/// Sets the markup in pages. The same markup gives the same bytes.
///
/// # Errors
/// When the markup is not sound: what is wrong, and the piece of markup it is about.
pub(super) fn typeset(markup: &str) -> Result<Vec<u8>, (String, String)> {
    let fonts = fonts().map_err(|what| (what, String::new()))?;
    let known = printable(markup, |c| fonts.known.contains(&u32::from(c)));
    let made = set(fonts, &known).or_else(|problem| {
        // A sign and the accent above it can be in different fonts, which no page can show: keep
        // to what the first font of the page has for certain.
        let plain = printable(markup, plain_letter);
        if plain == known { Err(problem) } else { set(fonts, &plain) }
    });
    comemo::evict(KEPT_FOR);
    made
}

fn set(fonts: &'static Fonts, markup: &str) -> Result<Vec<u8>, (String, String)> {
    let path = VirtualPath::new("sheet.typ").map_err(|_| no_world())?;
    // The same name for every sheet: ids are few, and the content is what work is kept by.
    let main = FileId::new(RootedPath::new(VirtualRoot::Project, path));
    let desk = Desk { fonts, source: Source::new(main, markup.to_owned()) };
    let told = |found: EcoVec<SourceDiagnostic>| desk.told(&found);
    let document = typst::compile::<PagedDocument>(&desk).output.map_err(told)?;
    let standards = PdfStandards::new(&[PdfStandard::Ua_1]).map_err(|_| no_world())?;
    let options = PdfOptions {
        ident: Smart::Auto,
        creator: Smart::Custom(Some("castmark".to_owned())),
        standards,
        ..PdfOptions::default()
    };
    typst_pdf::pdf(&document, &options).map_err(told)
}

fn no_world() -> (String, String) {
    ("the typesetter cannot be started".to_owned(), String::new())
}

/// The markup with a box for each character that is not printable.
fn printable(markup: &str, known: impl Fn(char) -> bool) -> String {
    markup.chars().map(|c| if c.is_ascii() || known(c) { c } else { MISSING }).collect()
}

/// Letters and signs that every text font here has as one glyph each.
fn plain_letter(c: char) -> bool {
    const RANGES: [RangeInclusive<char>; 2] = ['\u{a0}'..='\u{ac}', '\u{ae}'..='\u{17e}'];
    RANGES.iter().any(|range| range.contains(&c)) || "×÷−≈≤≥–—‘’“”•…·\u{200b}".contains(c)
}

/// The fonts in the program and what they can show.
struct Fonts {
    library: LazyHash<Library>,
    book: LazyHash<FontBook>,
    faces: Vec<Font>,
    /// The characters that some font has.
    known: BTreeSet<u32>,
}

/// Read once: it takes longer than a page.
fn fonts() -> Result<&'static Fonts, String> {
    static FONTS: OnceLock<Option<Fonts>> = OnceLock::new();
    let read = || {
        let sans = [
            notosans::REGULAR_TTF,
            notosans::BOLD_TTF,
            notosans::ITALIC_TTF,
            notosans::BOLD_ITALIC_TTF,
        ];
        let all = sans.into_iter().chain(typst_assets::fonts());
        let faces: Vec<Font> = all.flat_map(|data| Font::iter(Bytes::new(data))).collect();
        let mut known = BTreeSet::new();
        for face in &faces {
            known.extend(face.info().coverage.iter());
        }
        // Signs that are not drawn need no glyph.
        known.extend([0x200b, 0x200c, 0x200d, 0xad, 0xfe0e, 0xfe0f]);
        if faces.is_empty() {
            return None;
        }
        let book = LazyHash::new(FontBook::from_fonts(&faces));
        Some(Fonts { library: LazyHash::new(Library::default()), book, faces, known })
    };
    FONTS.get_or_init(read).as_ref().ok_or_else(|| "the fonts cannot be read".to_owned())
}

/// What the typesetter works at: one sheet, and fonts.
struct Desk {
    fonts: &'static Fonts,
    source: Source,
}

impl World for Desk {
    fn library(&self) -> &LazyHash<Library> {
        &self.fonts.library
    }

    fn book(&self) -> &LazyHash<FontBook> {
        &self.fonts.book
    }

    fn main(&self) -> FileId {
        self.source.id()
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        if id == self.source.id() { Ok(self.source.clone()) } else { Err(FileError::AccessDenied) }
    }

    fn file(&self, _: FileId) -> FileResult<Bytes> {
        Err(FileError::AccessDenied)
    }

    fn font(&self, index: usize) -> Option<Font> {
        self.fonts.faces.get(index).cloned()
    }

    fn today(&self, _: Option<Duration>) -> Option<Datetime> {
        None
    }
}

impl Desk {
    /// The first thing that is wrong, and the markup it is about.
    fn told(&self, found: &[SourceDiagnostic]) -> (String, String) {
        use typst::WorldExt;
        let Some(first) = found.first() else { return no_world() };
        let range = self.range(first.span).unwrap_or_default();
        let text = self.source.text();
        let piece = match text.get(range.clone()).unwrap_or_default() {
            // Something is missing there: what stands before it tells the place.
            "" => text.get(..range.start).and_then(|before| before.lines().last()),
            piece => Some(piece),
        };
        (first.message.to_string(), piece.unwrap_or_default().to_owned())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_no_font_has_is_a_box() {
        assert_eq!(printable("a 汉 é #b", plain_letter), "a □ é #b");
        assert!(fonts().unwrap().known.contains(&u32::from(MISSING)));
    }

    #[test]
    fn markup_reaches_no_file_and_no_clock() {
        for reach in ["#read(\"/etc/passwd\")", "#datetime.today()", "#import \"@preview/a:0.1.0\""]
        {
            assert!(typeset(reach).is_err(), "{reach}");
        }
    }
}
