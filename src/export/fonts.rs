//! The fonts in the program: those that the layouts name, and no others. One of one's own can be added.

use std::collections::BTreeSet;
use std::sync::{Arc, OnceLock};

use typst::foundations::Bytes;
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Library, LibraryExt};

/// The files, in the order in which a font is looked for.
static FILES: [&[u8]; 11] = [
    notosans::REGULAR_TTF,
    notosans::BOLD_TTF,
    notosans::ITALIC_TTF,
    notosans::BOLD_ITALIC_TTF,
    include_bytes!("../../exports/fonts/LibertinusSerif-Regular.otf"),
    include_bytes!("../../exports/fonts/LibertinusSerif-Bold.otf"),
    include_bytes!("../../exports/fonts/LibertinusSerif-Italic.otf"),
    include_bytes!("../../exports/fonts/LibertinusSerif-BoldItalic.otf"),
    include_bytes!("../../exports/fonts/LibertinusSerif-Semibold.otf"),
    include_bytes!("../../exports/fonts/NewCMMath-Regular.otf"),
    include_bytes!("../../exports/fonts/DejaVuSansMono.ttf"),
];

/// The files of the fonts.
pub(in crate::export) fn files() -> impl Iterator<Item = &'static [u8]> {
    FILES.iter().copied()
}

/// The fonts in the program and what they can show.
pub(in crate::export) struct Fonts {
    pub library: LazyHash<Library>,
    pub book: LazyHash<FontBook>,
    pub faces: Vec<Font>,
    /// The characters that some font has.
    known: BTreeSet<u32>,
}

impl Fonts {
    /// Whether a character can be shown.
    pub(in crate::export) fn can_show(&self, letter: char) -> bool {
        letter.is_ascii() || self.known.contains(&u32::from(letter))
    }

    fn of(faces: Vec<Font>) -> Self {
        let mut known = BTreeSet::new();
        for face in &faces {
            known.extend(face.info().coverage.iter());
        }
        // Signs that are not drawn need no glyph.
        known.extend([0x200b, 0x200c, 0x200d, 0xad, 0xfe0e, 0xfe0f]);
        let book = LazyHash::new(FontBook::from_fonts(&faces));
        Self { library: LazyHash::new(Library::default()), book, faces, known }
    }
}

/// The fonts in the program. They are read once: it takes longer than a page.
pub(in crate::export) fn fonts() -> &'static Fonts {
    static FONTS: OnceLock<Fonts> = OnceLock::new();
    FONTS.get_or_init(|| Fonts::of(files().flat_map(|data| Font::iter(Bytes::new(data))).collect()))
}

/// A font of one's own beside those in the program, for what they cannot write.
#[derive(Clone)]
pub struct OwnFont {
    file: Bytes,
    all: Arc<Fonts>,
}

impl std::fmt::Debug for OwnFont {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let own = self.all.faces.iter().skip(FILES.len());
        f.debug_list().entries(own.map(|face| face.info().family.as_str())).finish()
    }
}

impl OwnFont {
    /// The font in an OpenType or TrueType file; nothing for a file that holds none.
    pub fn read(file: Vec<u8>) -> Option<Self> {
        let mut faces = fonts().faces.clone();
        let file = Bytes::new(file);
        let own = Font::iter(file.clone()).collect::<Vec<Font>>();
        if own.is_empty() {
            return None;
        }
        faces.extend(own);
        Some(Self { file, all: Arc::new(Fonts::of(faces)) })
    }

    /// Its file.
    pub fn file(&self) -> &[u8] {
        self.file.as_slice()
    }

    /// It and those in the program.
    pub(in crate::export) fn with_others(&self) -> &Fonts {
        &self.all
    }
}
