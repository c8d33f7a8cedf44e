//! The PDF files of a class bound into one, as they come.
//!
//! The objects of every file are taken over under new numbers and handed on at once, so that a large
//! class needs little memory: what is kept is where each object lies, and a few numbers for each file.
//! Tags stay whole: every file becomes a part of one document (ISO 32000-1, 14.7 and 14.8). Its pages
//! are labelled by its name, and it gets a bookmark above its own.

mod object;
mod ends;

use hayro_syntax::Pdf;
use hayro_syntax::object::{Array, Dict, MaybeRef, ObjRef, Object};
use sha2::{Digest, Sha256};

use ends::{Bookmark, File};
use object::{Turn, string};

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

/// How long it may be: places are told in ten digits, and the last file must fit, too.
const LONGEST: u64 = 9_000_000_000;

/// A PDF file in the making.
#[derive(Debug)]
pub(super) struct Volume {
    /// How long it is so far.
    length: u64,
    /// Where each object begins, from number 1; 0 for a number that is not used yet.
    places: Vec<u64>,
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
        Self {
            both_sides,
            length: 0,
            places: vec![0; METADATA as usize],
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
        let before = self.places.len();
        let piece = self.piece(name, file);
        match &piece {
            Some(piece) => self.count(name, piece),
            None => self.places.truncate(before),
        }
        piece
    }

    fn piece(&mut self, name: &str, file: &[u8]) -> Option<Vec<u8>> {
        if self.length > LONGEST {
            return None;
        }
        let pdf = Pdf::new(file.to_vec()).ok()?;
        let catalog: Dict<'_> = pdf.xref().get(pdf.xref().root_id())?;
        let source = Source::of(&catalog)?;
        let mut out = Vec::with_capacity(file.len() + file.len() / 4);
        if self.files.is_empty() {
            // Bytes above ASCII tell that the file is no text.
            out.extend(b"%PDF-1.7\n%\x80\x80\x80\x80\n");
            self.describe(&mut out, &pdf, &catalog);
            self.roles = ends::roles(&source.tags);
        }
        if ends::roles(&source.tags) != self.roles {
            return None;
        }
        self.places.push(0);
        let bookmark = self.last_number()?;
        let ids = format!("{:06}-", self.files.len());
        let turn = Turn { shift: bookmark, keys: self.keys, ids: &ids, other: &[] };
        let [pages, document, bookmarked] =
            [PAGES, DOCUMENT, bookmark].map(|number| format!("{number} 0 R"));
        for number in 1..=i32::try_from(pdf.len()).ok()? {
            let at = ObjRef::new(number, 0);
            let found: Option<Object<'_>> = pdf.xref().get(at.into());
            let Some(object) = found.filter(|_| !source.left.contains(&at)) else {
                self.places.push(0);
                continue;
            };
            self.places.push(self.length + out.len() as u64);
            let other: &[(&str, &str)] = if at == source.pages_at {
                &[("Parent", &pages)]
            } else if at == source.document_at {
                &[("P", &document), ("S", "/Part")]
            } else if source.bookmarks.contains(&at) {
                &[("Parent", &bookmarked)]
            } else {
                &[]
            };
            let number = self.last_number()?;
            object::begin(&mut out, number);
            turn.with(other).put(&mut out, &object);
            object::end(&mut out);
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
        let blank = if blank { Some(self.blank(&mut out, &source)?) } else { None };
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
        Some(out)
    }

    /// An empty page of the size of the file's first.
    fn blank(&mut self, out: &mut Vec<u8>, source: &Source<'_>) -> Option<u32> {
        self.places.push(self.length + out.len() as u64);
        let number = self.last_number()?;
        object::begin(out, number);
        object::put(out, format_args!("<</Type/Page/Parent {PAGES} 0 R/Resources<<>>/MediaBox"));
        Turn::NONE.put(out, &Object::Array(source.size.clone()));
        out.extend(b">>");
        object::end(out);
        Some(number)
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
                    object::put(&mut items, format_args!("{key} "));
                    limits = Some((limits.map_or(key, |(first, _)| first), key));
                }
                MaybeRef::Ref(at) => {
                    object::put(&mut items, format_args!("{} 0 R ", turn.number(at)));
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
                    object::put(&mut items, format_args!(" {} 0 R ", turn.number(at)));
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
        self.places.push(self.length + out.len() as u64);
        let number = self.last_number().unwrap_or(0);
        object::begin(out, number);
        out.extend(b"<</Limits[");
        out.extend(limits);
        object::put(out, format_args!("]/{kind}["));
        out.extend(items);
        out.extend(b"]>>");
        object::end(out);
        number
    }

    /// The number that was given last.
    fn last_number(&self) -> Option<u32> {
        u32::try_from(self.places.len()).ok()
    }

    fn count(&mut self, name: &str, piece: &[u8]) {
        self.length += piece.len() as u64;
        self.hash.update(name);
        self.hash.update(piece);
    }
}

/// What has to be known of a file before it is taken over.
struct Source<'a> {
    tags: Dict<'a>,
    pages_at: ObjRef,
    first_page: ObjRef,
    pages: i64,
    /// The size of its first page.
    size: Array<'a>,
    /// How many keys its pages have.
    keys: i64,
    /// The tag that holds all others.
    document_at: ObjRef,
    /// The uppermost bookmarks.
    bookmarks: Vec<ObjRef>,
    /// What is not taken over, since the volume has its own.
    left: Vec<ObjRef>,
}

impl<'a> Source<'a> {
    fn of(catalog: &Dict<'a>) -> Option<Self> {
        // Named places would have to be named anew in all that leads to them.
        if ["Names", "Dests"].iter().any(|key| catalog.contains_key(key)) {
            return None;
        }
        let tags: Dict<'a> = catalog.get("StructTreeRoot")?;
        let pages: Dict<'a> = catalog.get("Pages")?;
        let outlines: Option<Dict<'a>> = catalog.get("Outlines");
        let own = ["StructTreeRoot", "Outlines", "Metadata"];
        let own = own.iter().filter_map(|key| catalog.get_ref(key));
        let [document_at] = refs(&tags.get("K")?)[..] else { return None };
        Some(Self {
            pages_at: catalog.get_ref("Pages")?,
            first_page: *refs(&pages.get("Kids")?).first()?,
            size: pages.get::<Array<'a>>("Kids")?.iter::<Dict<'a>>().next()?.get("MediaBox")?,
            pages: i64::from(pages.get::<i32>("Count")?),
            keys: i64::from(tags.get::<i32>("ParentTreeNextKey")?),
            document_at,
            bookmarks: outlines.as_ref().map(in_a_row).unwrap_or_default(),
            left: own.chain(catalog.obj_id().map(ObjRef::from)).collect(),
            tags,
        })
    }
}

/// The bookmarks right under one.
fn in_a_row(outlines: &Dict<'_>) -> Vec<ObjRef> {
    let mut row: Vec<ObjRef> = Vec::new();
    let mut next = outlines.get_ref("First");
    let mut bookmark: Option<Dict<'_>> = outlines.get("First");
    while let Some(at) = next.filter(|at| !row.contains(at)) {
        row.push(at);
        next = bookmark.as_ref().and_then(|it| it.get_ref("Next"));
        bookmark = bookmark.as_ref().and_then(|it| it.get("Next"));
    }
    row
}

fn refs(array: &Array<'_>) -> Vec<ObjRef> {
    array.raw_iter().filter_map(|item| item.as_obj_ref()).collect()
}

#[cfg(test)]
mod tests;
