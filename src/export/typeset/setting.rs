//! From Typst markup to the bytes of a PDF.
//!
//! The markup sees nothing but itself and the fonts in the program: no file, no package, no clock.

use std::ops::RangeInclusive;

use typst::comemo;
use typst::diag::{FileError, FileResult, SourceDiagnostic};
use typst::ecow::EcoVec;
use typst::foundations::{Bytes, Datetime, Duration, Smart};
use typst::syntax::{FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Library, World};
use typst_layout::PagedDocument;
use typst_pdf::{PdfOptions, PdfStandard, PdfStandards};

use crate::export::compact::compacted;
use crate::export::fonts::{Fonts, OwnFont, fonts};
use crate::export::writing::escape;

/// How many documents a piece of finished work is kept for: questions shared by the papers of a
/// class are then set once, and memory stays bounded.
const KEPT_FOR: usize = 3;

/// What stands for a character that no font has.
const MISSING: char = '\u{25a1}';

/// What makes a file of the markup of pages, with a font beside those in the program.
pub type Typesetter = fn(&str, Option<&OwnFont>) -> Result<Vec<u8>, MarkupProblem>;

/// What is wrong with markup.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct MarkupProblem {
    /// What is wrong.
    pub what: String,
    /// The piece of markup that it is about; empty where that is not known.
    pub piece: String,
    /// The line of the markup in which the piece begins, from 1; 0 where that is not known.
    pub line: usize,
}

impl MarkupProblem {
    /// A problem of no piece of markup.
    pub fn of_all(what: &str) -> Self {
        Self { what: what.to_owned(), ..Self::default() }
    }
}

/// Sets the markup in pages. The same markup gives the same bytes.
///
/// # Errors
/// When the markup is not sound.
pub fn typeset(markup: &str, font: Option<&OwnFont>) -> Result<Vec<u8>, MarkupProblem> {
    let file = plain(markup, font)?;
    // A layout of one's own may draw what is not known there; its file is sound all the same.
    Ok(compacted(&file).unwrap_or(file))
}

/// The file as the typesetter writes it.
pub(in crate::export) fn plain(
    markup: &str,
    font: Option<&OwnFont>,
) -> Result<Vec<u8>, MarkupProblem> {
    let fonts = all_fonts(font);
    let known = printable(markup, |c| fonts.can_show(c));
    let made = set(fonts, &known).or_else(|problem| {
        // A sign and the accent above it can be in different fonts, which no page can show: keep
        // to what the first font of the page has for certain.
        let plain = printable(markup, plain_letter);
        if plain == known { Err(problem) } else { set(fonts, &plain) }
    });
    comemo::evict(KEPT_FOR);
    made
}

/// The fonts in the program, with one of one's own.
fn all_fonts(own: Option<&OwnFont>) -> &Fonts {
    match own {
        Some(own) => own.with_others(),
        None => fonts(),
    }
}

/// Whether a text comes out on pages as it is written, with no box in the place of a sign.
pub fn is_writable(text: &str, font: Option<&OwnFont>) -> bool {
    if text.chars().all(|letter| letter.is_ascii() || plain_letter(letter)) {
        return true;
    }
    let fonts = all_fonts(font);
    // Signs may each be in a font, and yet not stand together.
    let set_alone = || {
        let mut markup = "#set document(title: \"a\")\n#set text(lang: \"en\")\n".to_owned();
        escape::typst_text(&mut markup, &escape::plain(text));
        set(fonts, &markup).is_ok()
    };
    text.chars().all(|letter| fonts.can_show(letter)) && set_alone()
}

fn set(fonts: &Fonts, markup: &str) -> Result<Vec<u8>, MarkupProblem> {
    let path = VirtualPath::new("sheet.typ").map_err(|_| no_world())?;
    // The same name for every sheet: ids are few, and the content is what work is kept by.
    let main = FileId::new(RootedPath::new(VirtualRoot::Project, path));
    let world = BareWorld { fonts, source: Source::new(main, markup.to_owned()) };
    let told = |found: EcoVec<SourceDiagnostic>| world.told(&found);
    let document = typst::compile::<PagedDocument>(&world).output.map_err(told)?;
    let standards = PdfStandards::new(&[PdfStandard::Ua_1]).map_err(|_| no_world())?;
    let options = PdfOptions {
        ident: Smart::Auto,
        creator: Smart::Custom(Some("castmark".to_owned())),
        standards,
        ..PdfOptions::default()
    };
    typst_pdf::pdf(&document, &options).map_err(told)
}

fn no_world() -> MarkupProblem {
    MarkupProblem::of_all("the typesetter cannot be started")
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

/// What the typesetter sees: one sheet, and fonts.
struct BareWorld<'a> {
    fonts: &'a Fonts,
    source: Source,
}

impl World for BareWorld<'_> {
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

impl BareWorld<'_> {
    /// The first thing that is wrong, and the markup it is about.
    fn told(&self, found: &[SourceDiagnostic]) -> MarkupProblem {
        use typst::WorldExt;
        let Some(first) = found.first() else { return no_world() };
        let range = self.range(first.span).unwrap_or_default();
        let text = self.source.text();
        let before = text.get(..range.start).unwrap_or_default();
        let piece = match text.get(range).unwrap_or_default() {
            // Something is missing there: what stands before it tells the place.
            "" => before.lines().last().unwrap_or_default(),
            piece => piece,
        };
        MarkupProblem {
            what: first.message.to_string(),
            piece: piece.to_owned(),
            line: before.lines().count().max(1),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_no_font_has_is_a_box() {
        assert_eq!(printable("a 汉 é #b", plain_letter), "a □ é #b");
        assert!(fonts().can_show(MISSING));
    }

    #[test]
    fn what_is_printed_with_boxes_is_known_before() {
        for name in ["Ana", "Žofie Nováková", "Nguyễn Thị Ánh", "Ольга", "Αλέξης"]
        {
            assert!(is_writable(name, None), "{name}");
        }
        for name in ["张伟", "\u{1f600} Smile", "a\u{0e2a}"] {
            assert!(!is_writable(name, None), "{name}");
        }
    }

    #[test]
    fn a_font_of_ones_own_is_one_more() {
        assert!(OwnFont::read(b"no font".to_vec()).is_none());
        let file = crate::export::fonts::files().next().unwrap().to_vec();
        let font = OwnFont::read(file).unwrap();
        assert!(is_writable("Žofie", Some(&font)));
        assert!(typeset("#set document(title: \"a\")\nŽofie", Some(&font)).is_ok());
    }

    #[test]
    fn markup_reaches_no_file_and_no_clock() {
        for reach in ["#read(\"/etc/passwd\")", "#datetime.today()", "#import \"@preview/a:0.1.0\""]
        {
            assert!(typeset(reach, None).is_err(), "{reach}");
        }
    }
}
