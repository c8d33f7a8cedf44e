//! What holds the files of a volume together.

use hayro_syntax::Pdf;
use hayro_syntax::object::{Dict, Object, Stream};
use sha2::Digest;

use super::{ABOUT, BOOKMARKS, CATALOG, DOCUMENT, FIRST_BOOKMARK, METADATA, PAGES, TAGS, Volume};
use crate::export::compact::{Turn, put, string, text};

/// What stays known of a file.
#[derive(Debug)]
pub(super) struct File {
    /// What its pages are called.
    pub name: String,
    /// The place of its first page, from 0.
    pub first_page: i64,
    /// The number of its page tree.
    pub pages: u32,
    /// The number of the empty page behind it, if there is one.
    pub blank: Option<u32>,
    /// The number of the tag that holds all others.
    pub document: u32,
    /// The number of the leaf by which its pages find their tags.
    pub keys: u32,
    /// The number of the leaf of its table headings, if it has any.
    pub ids: Option<u32>,
}

/// The bookmark of a file.
#[derive(Debug)]
pub(super) struct Bookmark {
    /// Its number.
    pub number: u32,
    /// The number of that before it.
    pub before: Option<u32>,
    /// What it says.
    pub title: String,
    /// The number of the page it leads to.
    pub page: u32,
    /// The first and the last bookmark under it.
    pub inner: Option<(u32, u32)>,
    /// How many stand right under it.
    pub count: usize,
}

impl Volume {
    /// The last piece of the volume, empty for one without files; nothing where a font cannot be written.
    pub(in crate::export) fn end(mut self) -> Option<Vec<u8>> {
        let mut out = Vec::new();
        let Some(last) = self.bookmark.take() else { return Some(out) };
        self.put_bookmark(&mut out, &last, None);
        let list = |of: &dyn Fn(&File) -> Option<u32>| {
            let numbers = self.files.iter().filter_map(of);
            numbers.map(|number| format!("{number} 0 R ")).collect::<String>()
        };
        let pages: String = self
            .files
            .iter()
            .flat_map(|file| std::iter::once(file.pages).chain(file.blank))
            .map(|number| format!("{number} 0 R "))
            .collect();
        let documents = list(&|file| Some(file.document));
        let keys = list(&|file| Some(file.keys));
        let ids = list(&|file| file.ids);
        let ids = if ids.is_empty() { ids } else { format!("/IDTree<</Kids[{ids}]>>") };
        let (count, next_key, files) = (self.pages, self.keys, self.files.len());
        let roles = String::from_utf8_lossy(&self.roles).into_owned();
        let whole = [
            (PAGES, format!("<</Type/Pages/Count {count}/Kids[{pages}]>>")),
            (
                TAGS,
                format!(
                    "<</Type/StructTreeRoot/K[{DOCUMENT} 0 R]/ParentTree<</Kids[{keys}]>>{ids}\
                     /ParentTreeNextKey {next_key}{roles}>>"
                ),
            ),
            (DOCUMENT, format!("<</Type/StructElem/S/Document/P {TAGS} 0 R/K[{documents}]>>")),
            (
                BOOKMARKS,
                format!(
                    "<</Type/Outlines/First {FIRST_BOOKMARK} 0 R/Last {} 0 R/Count {files}>>",
                    last.number
                ),
            ),
        ];
        for (number, object) in whole {
            self.writer.pack(&mut out, number, object.as_bytes());
        }
        let mut catalog = Vec::new();
        put(
            &mut catalog,
            format_args!(
                "<</Type/Catalog/Pages {PAGES} 0 R/Metadata {METADATA} 0 R/Lang(en-GB)\
                 /StructTreeRoot {TAGS} 0 R/MarkInfo<</Marked true>>\
                 /ViewerPreferences<</DisplayDocTitle true/Direction/L2R>>\
                 /Outlines {BOOKMARKS} 0 R/PageLabels<</Nums["
            ),
        );
        self.put_labels(&mut catalog);
        catalog.extend(b"]>>>>");
        self.writer.pack(&mut out, CATALOG, &catalog);
        self.fonts.put(&mut out, &mut self.writer)?;
        let mut entries = Vec::new();
        put(&mut entries, format_args!("/Root {CATALOG} 0 R/Info {ABOUT} 0 R/ID["));
        let id = self.hash.finalize();
        for _ in 0..2 {
            string(&mut entries, &id[..16]);
        }
        entries.push(b']');
        self.writer.end(&mut out, &entries);
        Some(out)
    }

    /// Says what the volume is: what its first file is.
    pub(super) fn describe(&mut self, out: &mut Vec<u8>, pdf: &Pdf, catalog: &Dict<'_>) {
        let mut about = b"<<".to_vec();
        let found = pdf.metadata();
        let entries =
            [("Title", &found.title), ("Subject", &found.subject), ("Creator", &found.creator)];
        for (key, value) in entries {
            if let Some(value) = value {
                put(&mut about, format_args!("/{key}"));
                string(&mut about, value);
            }
        }
        about.extend(b">>");
        self.writer.pack(out, ABOUT, &about);
        let metadata: Option<Stream<'_>> = catalog.get("Metadata");
        let data = metadata.map(|stream| stream.raw_data().into_owned()).unwrap_or_default();
        let data = String::from_utf8_lossy(&data).into_owned();
        // These are of the one file.
        let of_file = ["xmpMM:InstanceID", "xmpMM:DocumentID", "xmpTPg:NPages"];
        let data = of_file.into_iter().fold(data, |data, tag| without(&data, tag));
        let head = format!("<</Type/Metadata/Subtype/XML/Length {}>>\nstream\n", data.len());
        self.writer.whole(
            out,
            METADATA,
            &[head.as_bytes(), data.as_bytes(), b"\nendstream"].concat(),
        );
    }

    /// Writes the bookmark of a file, closed.
    pub(super) fn put_bookmark(&mut self, out: &mut Vec<u8>, of: &Bookmark, next: Option<u32>) {
        let mut bookmark =
            format!("<</Parent {BOOKMARKS} 0 R/Dest[{} 0 R/Fit]", of.page).into_bytes();
        let mut link = |key: &str, number: Option<u32>| {
            if let Some(number) = number {
                put(&mut bookmark, format_args!("/{key} {number} 0 R"));
            }
        };
        link("Prev", of.before);
        link("Next", next);
        link("First", of.inner.map(|(first, _)| first));
        link("Last", of.inner.map(|(_, last)| last));
        if of.count > 0 {
            put(&mut bookmark, format_args!("/Count -{}", of.count));
        }
        bookmark.extend(b"/Title");
        text(&mut bookmark, &of.title);
        bookmark.extend(b">>");
        self.writer.pack(out, of.number, &bookmark);
    }

    /// The pages of each file are numbered from 1, behind its name.
    fn put_labels(&self, out: &mut Vec<u8>) {
        for file in &self.files {
            put(out, format_args!("{}<</S/D/P", file.first_page));
            text(out, &format!("{} / ", file.name));
            out.extend(b">>");
        }
    }
}

/// The meaning of tags that are not standard, as an entry.
pub(super) fn roles(tags: &Dict<'_>) -> Vec<u8> {
    let mut out = Vec::new();
    if let Some(roles) = tags.get::<Dict<'_>>("RoleMap") {
        out.extend(b"/RoleMap");
        Turn::NONE.put(&mut out, &Object::Dict(roles));
    }
    out
}

/// The text without an element.
fn without(text: &str, tag: &str) -> String {
    let (open, close) = (format!("<{tag}>"), format!("</{tag}>"));
    match (text.split_once(&open), text.split_once(&close)) {
        (Some((before, _)), Some((_, after))) => format!("{before}{after}"),
        _ => text.to_owned(),
    }
}
