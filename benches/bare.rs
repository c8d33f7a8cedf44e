//! Typst and nothing else: what a page costs when its markup is ready.

use typst::diag::{FileError, FileResult};
use typst::foundations::{Bytes, Datetime, Duration};
use typst::syntax::{FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Library, LibraryExt, World};
use typst_layout::PagedDocument;
use typst_pdf::{PdfOptions, PdfStandard, PdfStandards};

/// The fonts and the library, read once.
pub(crate) struct Press {
    library: LazyHash<Library>,
    book: LazyHash<FontBook>,
    fonts: Vec<Font>,
    main: FileId,
}

struct Page<'a>(&'a Press, Source);

impl Press {
    pub(crate) fn new() -> Self {
        let files: [&[u8]; 8] = [
            notosans::REGULAR_TTF,
            notosans::BOLD_TTF,
            notosans::ITALIC_TTF,
            include_bytes!("../exports/fonts/LibertinusSerif-Regular.otf"),
            include_bytes!("../exports/fonts/LibertinusSerif-Bold.otf"),
            include_bytes!("../exports/fonts/LibertinusSerif-Italic.otf"),
            include_bytes!("../exports/fonts/LibertinusSerif-Semibold.otf"),
            include_bytes!("../exports/fonts/NewCMMath-Regular.otf"),
        ];
        let fonts: Vec<Font> =
            files.into_iter().flat_map(|data| Font::iter(Bytes::new(data))).collect();
        let path = VirtualPath::new("bare.typ").expect("a path");
        Self {
            library: LazyHash::new(Library::default()),
            book: LazyHash::new(FontBook::from_fonts(&fonts)),
            fonts,
            main: FileId::new(RootedPath::new(VirtualRoot::Project, path)),
        }
    }

    pub(crate) fn set(&self, markup: String) -> Vec<u8> {
        let page = Page(self, Source::new(self.main, markup));
        let document = typst::compile::<PagedDocument>(&page).output.expect("compiled");
        let standards = PdfStandards::new(&[PdfStandard::Ua_1]).expect("a standard");
        let options = PdfOptions { standards, ..PdfOptions::default() };
        let bytes = typst_pdf::pdf(&document, &options).expect("written");
        typst::comemo::evict(3);
        bytes
    }
}

impl World for Page<'_> {
    fn library(&self) -> &LazyHash<Library> {
        &self.0.library
    }

    fn book(&self) -> &LazyHash<FontBook> {
        &self.0.book
    }

    fn main(&self) -> FileId {
        self.0.main
    }

    fn source(&self, _: FileId) -> FileResult<Source> {
        Ok(self.1.clone())
    }

    fn file(&self, _: FileId) -> FileResult<Bytes> {
        Err(FileError::AccessDenied)
    }

    fn font(&self, index: usize) -> Option<Font> {
        self.0.fonts.get(index).cloned()
    }

    fn today(&self, _: Option<Duration>) -> Option<Datetime> {
        None
    }
}
