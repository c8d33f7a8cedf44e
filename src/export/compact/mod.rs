//! A finished PDF made small, and what is needed to bind several.
//!
//! The typesetter writes every object plainly. Here those without a stream are packed
//! ([`writer`]), the content of pages is told in fewer words ([`content`]), and text is written in codes
//! that mean the same in every file ([`codes`]), so that the files of a class can share their fonts.

mod object;
mod writer;
mod tokens;
mod faces;
mod codes;
mod subset;
mod pen;
mod pieces;
mod content;

use std::collections::{BTreeMap, BTreeSet};

use hayro_syntax::Pdf;
use hayro_syntax::object::{Array, Dict, MaybeRef, ObjRef, Object, Stream};

pub(super) use faces::Face;
pub(super) use object::{Turn, put, string, text};
pub(super) use subset::{Shareable, put_maps, put_width};
pub(super) use writer::Writer;

use content::{Content, Page};
use subset::Subset;

/// The same file with fewer bytes; nothing where it holds what is not known here.
pub(super) fn compacted(file: &[u8]) -> Option<Vec<u8>> {
    let pdf = Pdf::new(file.to_vec()).ok()?;
    let count = u32::try_from(pdf.len()).ok()?;
    let mut writer = Writer::default();
    // The numbers of the file stay, and so does its order.
    while writer.last_number() < count {
        writer.reserve();
    }
    let mut source = Source::of(&pdf)?;
    for subset in source.fonts.values_mut() {
        subset.maps = [writer.reserve(), writer.reserve()];
    }
    let pages = source.rewritten()?;
    let mut out = HEAD.to_vec();
    for number in 1..=count {
        let at = i32::try_from(number).ok()?;
        let found: Option<Object<'_>> = pdf.xref().get(ObjRef::new(at, 0).into());
        let Some(object) = found.filter(|_| !source.replaced.contains(&at)) else { continue };
        if let Some(page) = source.contents.get(&at).and_then(|page| pages.get(page)) {
            writer.stream(&mut out, number, "", &page.bytes);
            continue;
        }
        let mut written = Vec::new();
        source.put(&mut written, at, &object, &pages);
        if matches!(object, Object::Stream(_)) {
            writer.whole(&mut out, number, &written);
        } else {
            writer.pack(&mut out, number, &written);
        }
    }
    for subset in source.fonts.values() {
        subset.put_maps(&mut out, &mut writer);
    }
    writer.end(&mut out, trailer(file)?);
    Some(out)
}

/// How a file begins. Bytes above ASCII tell that it is no text.
pub(super) const HEAD: &[u8] = b"%PDF-1.7\n%\x80\x80\x80\x80\n";

/// The entries of a trailer as the typesetter writes it, but for its size.
fn trailer(file: &[u8]) -> Option<&[u8]> {
    let at = file.windows(8).rposition(|piece| piece == b"trailer\n")?;
    let entries = file[at..].split(|byte| *byte == b'\n').nth(1)?;
    let root = entries.windows(5).position(|piece| piece == b"/Root")?;
    entries.strip_suffix(b">>")?.get(root..)
}

/// What a page's content is, by the number of the page.
type Contents = BTreeMap<i32, Content>;

/// A file as the typesetter made it.
struct Source<'a> {
    pdf: &'a Pdf,
    language: String,
    pages: BTreeMap<i32, SourcePage>,
    /// The page of each content.
    contents: BTreeMap<i32, i32>,
    /// The page of each list of tags that pieces of content belong to.
    lists: BTreeMap<i32, i32>,
    /// The fonts whose text is written in other codes.
    fonts: BTreeMap<i32, Subset>,
    /// The objects that other ones take the place of.
    replaced: BTreeSet<i32>,
    catalog: i32,
}

/// A page of it.
struct SourcePage {
    content: i32,
    /// Its fonts, by the names that its content has for them.
    fonts: BTreeMap<String, i32>,
    /// The tags of its pieces of content.
    tags: Vec<i32>,
}

impl<'a> Source<'a> {
    fn of(pdf: &'a Pdf) -> Option<Self> {
        let catalog: Dict<'_> = pdf.xref().get(pdf.xref().root_id())?;
        let language: hayro_syntax::object::String<'_> = catalog.get("Lang")?;
        let mut source = Self {
            pdf,
            language: String::from_utf8_lossy(language.as_bytes()).into_owned(),
            pages: BTreeMap::new(),
            contents: BTreeMap::new(),
            lists: BTreeMap::new(),
            fonts: BTreeMap::new(),
            replaced: BTreeSet::new(),
            catalog: pdf.xref().root_id().obj_number,
        };
        let tags: Dict<'_> = catalog.get("StructTreeRoot")?;
        let lists = lists(&tags.get("ParentTree")?)?;
        let mut resources = BTreeSet::new();
        for page in pdf.pages().iter() {
            let page = page.raw();
            let at = page.obj_id()?.obj_number;
            let list = *lists.get(&page.get::<i32>("StructParents")?)?;
            let tags: Array<'_> = pdf.xref().get(ObjRef::new(list, 0).into())?;
            let tags: Option<Vec<i32>> =
                tags.raw_iter().map(|tag| Some(tag.as_obj_ref()?.obj_number)).collect();
            resources.insert(page.get_ref("Resources")?.obj_number);
            let fonts = fonts_of(&page.get("Resources")?);
            let content = page.get_ref("Contents")?.obj_number;
            source.contents.insert(content, at);
            source.lists.insert(list, at);
            source.pages.insert(at, SourcePage { content, fonts, tags: tags? });
        }
        source.find_fonts(&resources);
        Some(source)
    }

    /// Finds the fonts that are used by the contents of pages alone, and are known.
    fn find_fonts(&mut self, resources: &BTreeSet<i32>) {
        let mut elsewhere = BTreeSet::new();
        for object in self.pdf.objects() {
            let Some(dict) = object.into_dict() else { continue };
            let at = dict.obj_id().map(|at| at.obj_number);
            if at.is_none_or(|at| !resources.contains(&at)) {
                elsewhere.extend(fonts_of(&dict).into_values());
            }
        }
        let used: BTreeSet<i32> =
            self.pages.values().flat_map(|page| page.fonts.values()).copied().collect();
        for at in used.difference(&elsewhere) {
            let font: Option<Dict<'_>> = self.pdf.xref().get(ObjRef::new(*at, 0).into());
            let known =
                font.and_then(|font| Some((Subset::of(&font)?, font.get_ref("ToUnicode")?)));
            if let Some((subset, map)) = known {
                self.fonts.insert(*at, subset);
                self.replaced.insert(map.obj_number);
            }
        }
    }

    /// The contents of all pages anew.
    fn rewritten(&self) -> Option<Contents> {
        let mut follows = BTreeSet::new();
        let tags: BTreeSet<i32> =
            self.pages.values().flat_map(|page| &page.tags).copied().collect();
        for at in tags {
            let tag: Dict<'_> = self.pdf.xref().get(ObjRef::new(at, 0).into())?;
            let kids = kids(&tag);
            for pair in kids.windows(2) {
                if let [Kid::Piece(page, first), Kid::Piece(other, second)] = pair {
                    if page == other {
                        follows.insert((*page, *first, *second));
                    }
                }
            }
        }
        let rewritten = |(at, page): (&i32, &SourcePage)| {
            let stream: Stream<'_> = self.pdf.xref().get(ObjRef::new(page.content, 0).into())?;
            let fonts = page.fonts.iter();
            let fonts =
                fonts.filter_map(|(name, font)| Some((name.clone(), self.fonts.get(font)?)));
            let known = Page {
                fonts: fonts.collect(),
                language: &self.language,
                follows: &|first, second| follows.contains(&(*at, first, second)),
            };
            let mut content = content::rewritten(&stream.decoded().ok()?, &known)?;
            // A tag without content keeps its place behind the others.
            let mut next = content.pieces.values().max().map_or(0, |last| last + 1);
            for number in (0..).take(page.tags.len()) {
                content.pieces.entry(number).or_insert_with(|| {
                    next += 1;
                    next - 1
                });
            }
            Some((*at, content))
        };
        self.pages.iter().map(rewritten).collect()
    }

    /// Writes an object.
    fn put(&self, out: &mut Vec<u8>, at: i32, object: &Object<'_>, pages: &Contents) {
        if let Some(list) = self.lists.get(&at).and_then(|page| self.list(*page, pages)) {
            out.extend(list.as_bytes());
            return;
        }
        if let Some(subset) = self.fonts.get(&at) {
            let [map, texts] = subset.maps.map(|number| format!("{number} 0 R"));
            let other = [("Encoding", map.as_bytes()), ("ToUnicode", texts.as_bytes())];
            Turn::NONE.with(&other).put(out, object);
            return;
        }
        if at == self.catalog {
            // Nothing is suspect unless it is said to be, and some readers take the word amiss.
            let other: [(&str, &[u8]); 1] = [("MarkInfo", b"<</Marked true>>")];
            Turn::NONE.with(&other).put(out, object);
            return;
        }
        match object {
            Object::Dict(tag) if tag.contains_key("S") && tag.get::<Array<'_>>("K").is_some() => {
                let kids = Self::kids(tag, pages);
                Turn::NONE.with(&[("K", &kids)]).put(out, object);
            }
            _ => Turn::NONE.put(out, object),
        }
    }

    /// The tags of a page's pieces, in the order of their new numbers.
    fn list(&self, page: i32, pages: &Contents) -> Option<String> {
        let tags = &self.pages.get(&page)?.tags;
        let mut list: BTreeMap<i64, i32> = BTreeMap::new();
        for (old, tag) in (0..).zip(tags) {
            list.insert(*pages.get(&page)?.pieces.get(&old)?, *tag);
        }
        let list: String = list.values().map(|tag| format!("{tag} 0 R ")).collect();
        Some(format!("[{}]", list.trim_end()))
    }

    /// What is in a tag, as written, by the new numbers of pieces.
    fn kids(tag: &Dict<'_>, pages: &Contents) -> Vec<u8> {
        let mut out = Vec::new();
        let own = tag.get_ref("Pg").map(|page| page.obj_number);
        let mut before = None;
        for kid in kids(tag) {
            let Kid::Piece(page, old) = kid else {
                if let Kid::Other(item) = kid {
                    out.push(b' ');
                    Turn::NONE.item(&mut out, &item);
                }
                before = None;
                continue;
            };
            let new =
                pages.get(&page).and_then(|page| page.pieces.get(&old)).copied().unwrap_or(old);
            if before == Some((page, new)) {
                continue;
            }
            before = Some((page, new));
            if own == Some(page) {
                put(&mut out, format_args!(" {new}"));
            } else {
                put(&mut out, format_args!("<</Type/MCR/Pg {page} 0 R/MCID {new}>>"));
            }
        }
        if out.is_empty() {
            return out;
        }
        let mut list = b"[".to_vec();
        list.extend(out.trim_ascii());
        list.push(b']');
        list
    }
}

/// What is in a tag.
enum Kid<'a> {
    /// A piece of the content of a page, by its number.
    Piece(i32, i64),
    /// Anything else.
    Other(MaybeRef<Object<'a>>),
}

/// What is in a tag, in order.
fn kids<'a>(tag: &Dict<'a>) -> Vec<Kid<'a>> {
    let own = tag.get_ref("Pg").map(|page| page.obj_number);
    let kid = |item: MaybeRef<Object<'a>>| {
        let piece = match &item {
            MaybeRef::NotRef(Object::Number(number)) => own.zip(Some(number.as_i64())),
            MaybeRef::NotRef(Object::Dict(piece)) => {
                let page = piece.get_ref("Pg").map(|page| page.obj_number).or(own);
                page.zip(piece.get::<i32>("MCID").map(i64::from))
            }
            _ => None,
        };
        match piece {
            Some((page, number)) => Kid::Piece(page, number),
            None => Kid::Other(item),
        }
    };
    let list: Option<Array<'a>> = tag.get("K");
    list.map(|list| list.raw_iter().map(kid).collect()).unwrap_or_default()
}

/// The fonts of resources, by their names.
fn fonts_of(resources: &Dict<'_>) -> BTreeMap<String, i32> {
    let fonts: Option<Dict<'_>> = resources.get("Font");
    let entries = fonts.iter().flat_map(Dict::entries);
    let named = entries.filter_map(|(name, font)| {
        Some((format!("/{}", std::str::from_utf8(&name).ok()?), font.as_obj_ref()?.obj_number))
    });
    named.collect()
}

/// The list of tags of each key of a page.
fn lists(tree: &Dict<'_>) -> Option<BTreeMap<i32, i32>> {
    let mut lists = BTreeMap::new();
    let items: Array<'_> = tree.get("Nums")?;
    let mut items = items.raw_iter();
    while let (Some(key), Some(list)) = (items.next(), items.next()) {
        let MaybeRef::NotRef(Object::Number(key)) = key else { return None };
        lists.insert(i32::try_from(key.as_i64()).ok()?, list.as_obj_ref()?.obj_number);
    }
    Some(lists)
}

#[cfg(test)]
mod tests;
