//! Three small files bound into one, and read again.

use crate::export::typeset::setting::{plain, typeset};
use hayro_syntax::object::Name;

use super::source::{in_a_row, refs};
use super::*;

const TABLE: &str = "#set document(title: \"A class\", description: \"b\")\n#set text(lang: \"en\")\n\
    #set page(height: 60mm)\n= First\n#table(columns: 2, table.header[A][B], [1], [2])\n\
    == Second\n#lorem(90)\n";
const PLAIN: &str = "#set document(title: \"A class\")\n= Alone (\\u{26})\n";

fn bound(files: &[(&str, &str)]) -> Vec<u8> {
    let mut volume = Volume::new(false);
    let mut whole = Vec::new();
    for (name, markup) in files {
        whole.extend(volume.add(name, &typeset(markup, None).unwrap()).unwrap());
    }
    whole.extend(volume.end().unwrap());
    whole
}

fn three() -> Pdf {
    Pdf::new(bound(&[("0101", TABLE), ("Ž (2)", PLAIN), ("0103", TABLE)])).unwrap()
}

fn catalog(pdf: &Pdf) -> Dict<'_> {
    pdf.xref().get(pdf.xref().root_id()).unwrap()
}

/// All that an object leads to, with how often each is met.
fn references(object: &Object<'_>, found: &mut Vec<ObjRef>) {
    let mut item = |item: &MaybeRef<Object<'_>>| match item {
        MaybeRef::Ref(at) => found.push(*at),
        MaybeRef::NotRef(object) => references(object, found),
    };
    match object {
        Object::Dict(dict) => dict.entries().for_each(|(_, value)| item(&value)),
        Object::Stream(stream) => stream.dict().entries().for_each(|(_, value)| item(&value)),
        Object::Array(array) => array.raw_iter().for_each(|value| item(&value)),
        _ => {}
    }
}

#[test]
fn every_reference_leads_somewhere() {
    let pdf = three();
    let mut found = Vec::new();
    for object in pdf.objects() {
        references(&object, &mut found);
    }
    assert!(found.len() > 100, "{}", found.len());
    for at in found {
        assert!(pdf.xref().get::<Object<'_>>(at.into()).is_some(), "{at:?}");
    }
}

#[test]
fn the_pages_of_all_files_come_in_their_order_and_find_their_tags() {
    let pdf = three();
    let pages = pdf.pages();
    assert_eq!(pages.len(), 5, "two, one and two");
    let tags: Dict<'_> = catalog(&pdf).get("StructTreeRoot").unwrap();
    let tree: Dict<'_> = tags.get("ParentTree").unwrap();
    let leaves: Array<'_> = tree.get("Kids").unwrap();
    let mut keys = Vec::new();
    for leaf in leaves.iter::<Dict<'_>>() {
        let items: Array<'_> = leaf.get("Nums").unwrap();
        let limits: Array<'_> = leaf.get("Limits").unwrap();
        let limits: Vec<i32> = limits.iter::<i32>().collect();
        let mine: Vec<i32> = items.iter::<Object<'_>>().filter_map(Object::into_i32).collect();
        assert_eq!([mine[0], mine[mine.len() - 1]], limits[..]);
        keys.extend(mine);
    }
    assert_eq!(keys, [0, 1, 2, 3, 4]);
    let of_pages: Vec<i32> =
        pages.iter().map(|page| page.raw().get::<i32>("StructParents").unwrap()).collect();
    assert_eq!(of_pages, keys);
    assert_eq!(tags.get::<i32>("ParentTreeNextKey"), Some(5));
}

#[test]
fn no_id_of_a_table_heading_stands_twice() {
    let pdf = three();
    let tags: Dict<'_> = catalog(&pdf).get("StructTreeRoot").unwrap();
    let tree: Dict<'_> = tags.get("IDTree").unwrap();
    let leaves: Array<'_> = tree.get("Kids").unwrap();
    let mut ids = Vec::new();
    for leaf in leaves.iter::<Dict<'_>>() {
        let items: Array<'_> = leaf.get("Names").unwrap();
        let items: Vec<Object<'_>> = items.iter::<Object<'_>>().collect();
        for pair in items.chunks(2) {
            let [Object::String(id), Object::Dict(heading)] = pair else { panic!("{pair:?}") };
            let own: hayro_syntax::object::String<'_> = heading.get("ID").unwrap();
            assert_eq!(own.as_bytes(), id.as_bytes());
            ids.push(id.as_bytes().to_vec());
        }
    }
    assert_eq!(ids.len(), 4, "two headings in each of two files");
    assert_eq!(ids.iter().collect::<BTreeSet<_>>().len(), 4);
    assert!(ids.is_sorted(), "a tree of names is in order");
}

#[test]
fn each_file_is_a_part_with_a_bookmark_and_labels_of_its_name() {
    let pdf = three();
    let tags: Dict<'_> = catalog(&pdf).get("StructTreeRoot").unwrap();
    let [document] = refs(&tags.get("K").unwrap())[..] else { panic!("one document") };
    let document: Dict<'_> = pdf.xref().get(document.into()).unwrap();
    let parts: Array<'_> = document.get("K").unwrap();
    let kinds = parts.iter::<Dict<'_>>();
    let kinds: Vec<Vec<u8>> =
        kinds.map(|part| part.get::<Name<'_>>("S").unwrap().to_vec()).collect();
    assert_eq!(kinds, [b"Part", b"Part", b"Part"]);
    let outlines: Dict<'_> = catalog(&pdf).get("Outlines").unwrap();
    let row = in_a_row(&outlines);
    assert_eq!(row.len(), 3);
    let title = |at: &ObjRef| {
        let bookmark: Dict<'_> = pdf.xref().get((*at).into()).unwrap();
        let title: hayro_syntax::object::String<'_> = bookmark.get("Title").unwrap();
        assert_eq!(in_a_row(&bookmark).len(), 1, "the first heading of the file stands under it");
        match title.as_bytes().strip_prefix(&[0xfe, 0xff]) {
            None => String::from_utf8(title.as_bytes().to_vec()).unwrap(),
            Some(units) => {
                let units = units.chunks(2).map(|two| u16::from_be_bytes([two[0], two[1]]));
                String::from_utf16(&units.collect::<Vec<u16>>()).unwrap()
            }
        }
    };
    assert_eq!(row.iter().map(title).collect::<Vec<_>>(), ["0101", "Ž (2)", "0103"]);
    let labels: Dict<'_> = catalog(&pdf).get("PageLabels").unwrap();
    let labels: Array<'_> = labels.get("Nums").unwrap();
    let firsts = labels.iter::<Object<'_>>().filter_map(Object::into_i32);
    assert_eq!(firsts.collect::<Vec<_>>(), [0, 2, 3]);
}

#[test]
fn the_volume_says_what_its_first_file_says_and_is_another_file() {
    let pdf = three();
    assert_eq!(pdf.metadata().title.as_deref(), Some(&b"A class"[..]));
    let metadata: hayro_syntax::object::Stream<'_> = catalog(&pdf).get("Metadata").unwrap();
    let metadata = String::from_utf8(metadata.raw_data().into_owned()).unwrap();
    assert!(metadata.contains("<pdfuaid:part>1</pdfuaid:part>"), "{metadata}");
    assert!(!metadata.contains("DocumentID") && !metadata.contains("NPages"), "{metadata}");
    let kept = pdf.objects().into_iter().filter_map(Object::into_stream);
    let kept = kept.filter(|stream| stream.dict().contains_key("Subtype"));
    let of_files = kept.filter(|stream| {
        stream.dict().get::<Name<'_>>("Subtype").is_some_and(|kind| &*kind == b"XML")
    });
    assert_eq!(of_files.count(), 1, "what the files say of themselves is not taken over");
    assert_eq!(bound(&[("1", PLAIN)]), bound(&[("1", PLAIN)]));
    let id = |name| {
        let whole = String::from_utf8_lossy(&bound(&[(name, PLAIN)])).into_owned();
        whole.rsplit_once("/ID[").unwrap().1.split_once(']').unwrap().0.to_owned()
    };
    assert_ne!(id("1"), id("2"));
}

#[test]
fn what_is_no_tagged_pdf_is_refused_and_a_volume_may_be_empty() {
    for file in [&b""[..], b"%PDF-1.7", b"<html></html>"] {
        assert_eq!(Volume::new(false).add("0101", file), None, "{file:?}");
    }
    assert_eq!(Volume::new(false).end().as_deref(), Some(&b""[..]));
}

/// ISO 32000-1, 7.5.7: what has no stream is packed, so that hardly any object begins in the open.
#[test]
fn objects_without_a_stream_are_packed() {
    let whole = bound(&[("0101", TABLE), ("0102", PLAIN)]);
    let text = String::from_utf8_lossy(&whole);
    let (open, streams) = (text.matches(" 0 obj\n").count(), text.matches("\nendstream").count());
    assert_eq!(open, streams);
    assert!(text.contains("/Type/ObjStm") && text.contains("/Type/XRef"));
    assert!(Pdf::new(whole).unwrap().objects().into_iter().count() > 2 * open);
}

#[test]
fn the_files_share_their_fonts() {
    let fonts = |files: &[(&str, &str)]| {
        let pdf = Pdf::new(bound(files)).unwrap();
        let fonts = pdf.objects().into_iter().filter_map(Object::into_dict);
        fonts.filter(|font| font.contains_key("DescendantFonts")).count()
    };
    let one = fonts(&[("0101", TABLE)]);
    assert!(one > 0);
    assert_eq!(fonts(&[("0101", TABLE), ("0102", PLAIN), ("0103", TABLE)]), one);
}

#[test]
fn a_volume_is_as_it_was_when_a_file_is_refused() {
    let [first, second] = [TABLE, PLAIN].map(|markup| typeset(markup, None).unwrap());
    let mut volume = Volume::new(false);
    let mut whole = volume.add("0101", &first).unwrap();
    let plain = plain(PLAIN, None).unwrap();
    let spoilt = String::from_utf8_lossy(&plain).replace("/ParentTree<<", "/ParentTrek<<");
    assert_eq!(volume.add("0103", spoilt.as_bytes()), None);
    whole.extend(volume.add("0102", &second).unwrap());
    whole.extend(volume.end().unwrap());
    assert!(whole == bound(&[("0101", TABLE), ("0102", PLAIN)]));
}

#[test]
fn for_both_sides_each_file_begins_on_a_new_sheet() {
    let mut volume = Volume::new(true);
    let mut whole = Vec::new();
    for (name, markup) in [("0101", PLAIN), ("0102", TABLE), ("0103", PLAIN)] {
        whole.extend(volume.add(name, &typeset(markup, None).unwrap()).unwrap());
    }
    whole.extend(volume.end().unwrap());
    let pdf = Pdf::new(whole).unwrap();
    let tagged = pdf.pages().iter().map(|page| page.raw().contains_key("StructParents"));
    assert_eq!(tagged.collect::<Vec<_>>(), [true, false, true, true, true, false]);
    let sizes: BTreeSet<String> =
        pdf.pages().iter().map(|page| format!("{:?}", page.media_box())).collect();
    assert_eq!(sizes.len(), 2, "the empty page is as large as the one before it: {sizes:?}");
    let labels: Dict<'_> = catalog(&pdf).get("PageLabels").unwrap();
    let labels: Array<'_> = labels.get("Nums").unwrap();
    let firsts = labels.iter::<Object<'_>>().filter_map(Object::into_i32);
    assert_eq!(firsts.collect::<Vec<_>>(), [0, 2, 4]);
}
