//! What has to be known of a file to take it over.

use std::collections::BTreeSet;

use hayro_syntax::object::{Array, Dict, MaybeRef, Name, ObjRef, Object};

/// What has to be known of a file before it is taken over.
pub(super) struct Source<'a> {
    pub tags: Dict<'a>,
    pub pages_at: ObjRef,
    pub first_page: ObjRef,
    pub pages: i64,
    /// The size of its first page.
    pub size: Array<'a>,
    /// How many keys its pages have.
    pub keys: i64,
    /// The tag that holds all others.
    pub document_at: ObjRef,
    /// The uppermost bookmarks.
    pub bookmarks: Vec<ObjRef>,
    /// What is not taken over, since the volume has its own.
    pub left: Vec<ObjRef>,
}

impl<'a> Source<'a> {
    pub(super) fn of(catalog: &Dict<'a>) -> Option<Self> {
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
pub(super) fn in_a_row(outlines: &Dict<'_>) -> Vec<ObjRef> {
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

pub(super) fn refs(array: &Array<'_>) -> Vec<ObjRef> {
    array.raw_iter().filter_map(|item| item.as_obj_ref()).collect()
}

/// Whether a stream belongs to the way in which a file is written.
pub(super) fn is_of_file(entries: &Dict<'_>) -> bool {
    let kind: Option<Name<'_>> = entries.get("Type");
    kind.is_some_and(|kind| [&b"ObjStm"[..], b"XRef"].contains(&&*kind))
}

/// The objects that an object leads to.
pub(super) fn leads_to(object: &Object<'_>) -> BTreeSet<i32> {
    let mut found = BTreeSet::new();
    let mut look = |item: MaybeRef<Object<'_>>| match item {
        MaybeRef::Ref(at) => {
            found.insert(at.obj_number);
        }
        MaybeRef::NotRef(object) => found.extend(leads_to(&object)),
    };
    match object {
        Object::Dict(dict) => dict.entries().for_each(|(_, value)| look(value)),
        Object::Stream(stream) => stream.dict().entries().for_each(|(_, value)| look(value)),
        Object::Array(array) => array.raw_iter().for_each(look),
        _ => {}
    }
    found
}
