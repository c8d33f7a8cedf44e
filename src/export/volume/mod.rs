//! The PDF files of a class bound into one, as they come.
//!
//! The objects of every file are taken over under new numbers and handed on at once, so that a large
//! class needs little memory: what is kept is where each object lies, and a few numbers for each file.
//! Fonts that are written alike in all of them, and other objects that are the same, come once. Tags stay whole: every file becomes a part of one document (ISO 32000-1, 14.7 and 14.8). Its pages
//! are labelled by its name, and it gets a bookmark above its own.

mod source;
mod ends;
mod fonts;

use std::collections::{BTreeMap, BTreeSet};

use hayro_syntax::Pdf;
use hayro_syntax::object::{Array, Dict, MaybeRef, ObjRef, Object};
use sha2::{Digest, Sha256};

use super::compact::{HEAD, Shareable, Turn, Writer, put, string};
use ends::{Bookmark, File};
use fonts::Fonts;
use source::{Source, is_of_file, leads_to};

/// The numbers of what belongs to no file.
const CATALOG: u32 = 1;
const PAGES: u32 = 2;
const TAGS: u32 = 3;
const DOCUMENT: u32 = 4;
const BOOKMARKS: u32 = 5;
const ABOUT: u32 = 6;
const METADATA: u32 = 7;
/// The bookmark of the first file.
const FIRST_BOOKMARK: u32 = 8;

/// How long it may be: readers count places in ten digits, and the last file must fit, too.
const LONGEST: u64 = 9_000_000_000;

/// How large an object may be that is looked for in the files before: pages are all different.
const SMALL: usize = 4_000;

/// How many steps there are at the most from one shared object to the last that it leads to.
const SHARING: usize = 4;

/// A PDF file in the making.
#[derive(Debug)]
pub(super) struct Volume {
    writer: Writer,
    /// The fonts that its files share.
    fonts: Fonts,
    /// Small objects that lead to no other, or only to such, by what they are.
    same: BTreeMap<[u8; 32], u32>,
    /// How many pages there are so far.
    pages: i64,
    /// The first key that no page has yet, by which its content finds its tags.
    keys: i64,
    /// Whether each file begins on a new sheet when both sides are printed.
    both_sides: bool,
    files: Vec<File>,
    /// The bookmark of the last file, until it is known which comes next.
    bookmark: Option<Bookmark>,
    /// The meaning of tags that are not standard, as written.
    roles: Vec<u8>,
    hash: Sha256,
}

impl Volume {
    /// A volume without files.
    pub(super) fn new(both_sides: bool) -> Self {
        let mut writer = Writer::default();
        while writer.last_number() < METADATA {
            writer.reserve();
        }
        Self {
            both_sides,
            writer,
            fonts: Fonts::default(),
            same: BTreeMap::new(),
            pages: 0,
            keys: 0,
            files: Vec::new(),
            bookmark: None,
            roles: Vec::new(),
            hash: Sha256::new(),
        }
    }

    /// The piece of the volume for a file; nothing when the file is no tagged PDF, or has what a volume
    /// has no place for. Then the volume is as it was.
    pub(super) fn add(&mut self, name: &str, file: &[u8]) -> Option<Vec<u8>> {
        let (before, fonts) = (self.writer.last_number(), self.fonts.clone());
        let piece = self.piece(name, file);
        match &piece {
            Some(piece) => {
                self.writer.hand_on(piece);
                self.hash.update(name);
                self.hash.update(piece);
            }
            None => {
                self.writer.go_back(before);
                self.fonts = fonts;
                self.same.retain(|_, number| *number <= before);
            }
        }
        piece
    }

    fn piece(&mut self, name: &str, file: &[u8]) -> Option<Vec<u8>> {
        if self.writer.length() > LONGEST {
            return None;
        }
        let pdf = Pdf::new(file.to_vec()).ok()?;
        let catalog: Dict<'_> = pdf.xref().get(pdf.xref().root_id())?;
        let source = Source::of(&catalog)?;
        let mut out = Vec::with_capacity(file.len());
        if self.files.is_empty() {
            out.extend(HEAD);
            self.describe(&mut out, &pdf, &catalog);
            self.roles = ends::roles(&source.tags);
        }
        if ends::roles(&source.tags) != self.roles {
            return None;
        }
        let bookmark = self.writer.reserve();
        let count = i32::try_from(pdf.len()).ok()?;
        for _ in 0..count {
            self.writer.reserve();
        }
        let ids = format!("{:06}-", self.files.len());
        let left = source.left.iter().map(|at| at.obj_number).collect();
        let (instead, left) = self.shared(&mut out, &pdf, bookmark, left)?;
        let turn =
            Turn { shift: bookmark, instead: &instead, keys: self.keys, ids: &ids, other: &[] };
        let [pages, document, bookmarked] =
            [PAGES, DOCUMENT, bookmark].map(|number| format!("{number} 0 R"));
        for number in (1..=count).filter(|number| !left.contains(number)) {
            let at = ObjRef::new(number, 0);
            let Some(object) = pdf.xref().get::<Object<'_>>(at.into()) else { continue };
            let other: &[(&str, &[u8])] = if at == source.pages_at {
                &[("Parent", pages.as_bytes())]
            } else if at == source.document_at {
                &[("P", document.as_bytes()), ("S", b"/Part")]
            } else if source.bookmarks.contains(&at) {
                &[("Parent", bookmarked.as_bytes())]
            } else {
                &[]
            };
            let mut written = Vec::new();
            turn.with(other).put(&mut written, &object);
            self.put_own(&mut out, turn.number(at), &object, &written);
        }
        let keys = self.keys_of(&mut out, &source, turn)?;
        let ids = self.ids_of(&mut out, &source, turn)?;
        let before = self.bookmark.take();
        let last = before.as_ref().map(|before| before.number);
        if let Some(before) = before {
            self.put_bookmark(&mut out, &before, Some(bookmark));
        }
        let inner = source.bookmarks.first().zip(source.bookmarks.last());
        self.bookmark = Some(Bookmark {
            number: bookmark,
            before: last,
            title: name.to_owned(),
            page: turn.number(source.first_page),
            inner: inner.map(|(first, last)| (turn.number(*first), turn.number(*last))),
            count: source.bookmarks.len(),
        });
        let blank = self.both_sides && source.pages % 2 == 1;
        let blank = blank.then(|| self.blank(&mut out, &source));
        self.files.push(File {
            blank,
            name: name.to_owned(),
            first_page: self.pages,
            pages: turn.number(source.pages_at),
            document: turn.number(source.document_at),
            keys,
            ids,
        });
        self.pages += source.pages + i64::from(blank.is_some());
        self.keys += source.keys;
        self.writer.close_pack(&mut out);
        Some(out)
    }

    /// Writes an object of a file, packed if it can be.
    fn put_own(&mut self, out: &mut Vec<u8>, number: u32, object: &Object<'_>, written: &[u8]) {
        if matches!(object, Object::Stream(_)) {
            self.writer.whole(out, number, written);
        } else {
            self.writer.pack(out, number, written);
        }
    }

    /// What of a file is in the volume already: the numbers of objects in the volume by those in the file,
    /// and all objects that are not taken over, with those that are `left` anyway.
    fn shared(
        &mut self,
        out: &mut Vec<u8>,
        pdf: &Pdf,
        shift: u32,
        mut left: BTreeSet<i32>,
    ) -> Option<(BTreeMap<i32, u32>, BTreeSet<i32>)> {
        let mut instead = BTreeMap::new();
        let mut rest = Vec::new();
        for number in 1..=i32::try_from(pdf.len()).ok()? {
            let found: Option<Object<'_>> = pdf.xref().get(ObjRef::new(number, 0).into());
            let Some(object) = found.filter(|_| !left.contains(&number)) else { continue };
            let font = match &object {
                Object::Dict(font) if font.contains_key("DescendantFonts") => font,
                Object::Stream(stream) if is_of_file(stream.dict()) => {
                    left.insert(number);
                    continue;
                }
                _ => {
                    rest.push((number, object));
                    continue;
                }
            };
            let shareable = Shareable::of(font).zip(Shareable::own(font));
            let shared = shareable
                .and_then(|(font, own)| Some((self.fonts.share(&font, &mut self.writer)?, own)));
            if let Some((shared, own)) = shared {
                instead.insert(number, shared);
                left.insert(number);
                left.extend(own.iter().map(|at| at.obj_number));
            }
        }
        // An object may lead to one that comes behind it.
        for _ in 0..SHARING {
            for (number, object) in &rest {
                if left.contains(number)
                    || !leads_to(object).iter().all(|to| instead.contains_key(to))
                {
                    continue;
                }
                let mut written = Vec::new();
                let turn = Turn { shift, instead: &instead, ..Turn::NONE };
                turn.put(&mut written, object);
                if written.len() > SMALL {
                    continue;
                }
                let what: [u8; 32] = Sha256::digest(&written).into();
                let kept = self.same.get(&what).copied();
                let kept = kept.unwrap_or_else(|| {
                    let own = self.writer.reserve();
                    self.put_own(out, own, object, &written);
                    self.same.insert(what, own);
                    own
                });
                instead.insert(*number, kept);
                left.insert(*number);
            }
        }
        Some((instead, left))
    }

    /// An empty page of the size of the file's first.
    fn blank(&mut self, out: &mut Vec<u8>, source: &Source<'_>) -> u32 {
        let number = self.writer.reserve();
        let mut page = Vec::new();
        put(&mut page, format_args!("<</Type/Page/Parent {PAGES} 0 R/Resources<<>>/MediaBox"));
        Turn::NONE.put(&mut page, &Object::Array(source.size.clone()));
        page.extend(b">>");
        self.writer.pack(out, number, &page);
        number
    }

    /// The leaf of the tree by which the content of pages finds its tags.
    fn keys_of(&mut self, out: &mut Vec<u8>, source: &Source<'_>, turn: Turn<'_>) -> Option<u32> {
        let tree: Dict<'_> = source.tags.get("ParentTree")?;
        let tree: Array<'_> = tree.get("Nums")?;
        let mut items = Vec::new();
        let mut limits: Option<(i64, i64)> = None;
        for item in tree.raw_iter() {
            match item {
                MaybeRef::NotRef(Object::Number(key)) => {
                    let key = key.as_i64() + turn.keys;
                    put(&mut items, format_args!("{key} "));
                    limits = Some((limits.map_or(key, |(first, _)| first), key));
                }
                MaybeRef::Ref(at) => {
                    put(&mut items, format_args!("{} 0 R ", turn.number(at)));
                }
                MaybeRef::NotRef(_) => return None,
            }
        }
        let (first, last) = limits?;
        let limits = format!("{first} {last}");
        Some(self.leaf(out, "Nums", &items, limits.as_bytes()))
    }

    /// The leaf of the tree of table headings, for a file that has any.
    #[allow(
        clippy::option_option,
        reason = "no headings, and headings in no order, are two things"
    )]
    fn ids_of(
        &mut self,
        out: &mut Vec<u8>,
        source: &Source<'_>,
        turn: Turn<'_>,
    ) -> Option<Option<u32>> {
        let Some(tree) = source.tags.get::<Dict<'_>>("IDTree") else { return Some(None) };
        let tree: Array<'_> = tree.get("Names")?;
        let mut items = Vec::new();
        let mut limits = (Vec::new(), Vec::new());
        for item in tree.raw_iter() {
            match item {
                MaybeRef::NotRef(Object::String(id)) => {
                    let id = turn.id(id.as_bytes());
                    string(&mut items, &id);
                    if limits.0.is_empty() {
                        limits.0.clone_from(&id);
                    }
                    limits.1 = id;
                }
                MaybeRef::Ref(at) => {
                    put(&mut items, format_args!(" {} 0 R ", turn.number(at)));
                }
                MaybeRef::NotRef(_) => return None,
            }
        }
        let mut between = Vec::new();
        string(&mut between, &limits.0);
        string(&mut between, &limits.1);
        Some((!items.is_empty()).then(|| self.leaf(out, "Names", &items, &between)))
    }

    fn leaf(&mut self, out: &mut Vec<u8>, kind: &str, items: &[u8], limits: &[u8]) -> u32 {
        let number = self.writer.reserve();
        let mut leaf = b"<</Limits[".to_vec();
        leaf.extend(limits);
        put(&mut leaf, format_args!("]/{kind}["));
        leaf.extend(items);
        leaf.extend(b"]>>");
        self.writer.pack(out, number, &leaf);
        number
    }
}

#[cfg(test)]
mod tests;
