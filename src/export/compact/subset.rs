//! The fonts of a file, with the codes by which their text is written from now on.

use hayro_syntax::object::{Array, Dict, MaybeRef, Name, ObjRef, Object, Stream};

use super::codes;
use super::faces::{Face, Program};
use super::object::put;
use super::writer::Writer;

/// A font of a file, whose glyphs are all known.
#[derive(Debug)]
pub(super) struct Subset {
    /// Its two maps, as numbers of objects in the file that is made.
    pub maps: [u32; 2],
    /// The code of each index in the subset, and how wide its glyph is; nothing for an index that no text uses.
    codes: Vec<Option<(u16, i64)>>,
    texts: Vec<(u16, String)>,
}

impl Subset {
    /// A font by its entries; nothing for one that is not in the program, or holds a glyph of a text that
    /// is not known.
    pub(super) fn of(font: &Dict<'_>) -> Option<Self> {
        let encoding: Name<'_> = font.get("Encoding")?;
        let inner: Dict<'_> =
            font.get::<Array<'_>>("DescendantFonts")?.iter::<Dict<'_>>().next()?;
        let face = face_of(&inner)?;
        let descriptor: Dict<'_> = inner.get("FontDescriptor")?;
        let bare: Option<Stream<'_>> = descriptor.get("FontFile3");
        let is_bare = bare.is_some();
        let program = bare.or_else(|| descriptor.get("FontFile2"))?.decoded().ok()?;
        let program = Program::read(&program, is_bare)?;
        let widths = (face.units() == 1000).then(|| widths(&inner)).flatten().unwrap_or_default();
        let map: Stream<'_> = font.get("ToUnicode")?;
        let read_as = codes::texts(&map.decoded().ok()?);
        let text = |index: u16| read_as.iter().find(|(at, _)| *at == index).map(|(_, text)| text);
        let advance = |index: u16| widths.get(usize::from(index)).copied();
        let glyphs = face.glyphs(&program, advance, |index| text(index).cloned());
        let code = |glyph: u16| (glyph, width(face, glyph));
        let codes: Vec<Option<(u16, i64)>> =
            glyphs.into_iter().map(|glyph| glyph.map(code)).collect();
        // An index without a text is that of no character, or of a piece of other glyphs.
        let all_known =
            (0..).zip(&codes).all(|(index, code)| code.is_some() || text(index).is_none());
        let texts =
            (0..).zip(&codes).filter_map(|(index, code)| Some(((*code)?.0, text(index)?.clone())));
        let mut texts: Vec<(u16, String)> = texts.collect();
        texts.sort_unstable();
        // Two glyphs that look alike and are read alike have the code of one.
        texts.dedup();
        let is_clear = texts.windows(2).all(|pair| pair[0].0 != pair[1].0);
        (&*encoding == b"Identity-H" && all_known && is_clear).then_some(Self {
            maps: [0; 2],
            codes,
            texts,
        })
    }

    /// A text of the file in the new codes, and how far it takes the line in millionths of the height of a
    /// letter; nothing where it cannot be written so.
    pub(super) fn recoded(&self, text: &[u8]) -> Option<(Vec<u8>, i64)> {
        let (mut recoded, mut far) = (Vec::with_capacity(text.len()), 0);
        for pair in text.chunks(2) {
            let index = u16::from_be_bytes(pair.try_into().ok()?);
            let (code, wide) = (*self.codes.get(usize::from(index))?)?;
            recoded.extend(code.to_be_bytes());
            far += wide;
        }
        Some((recoded, far))
    }

    /// Writes its maps.
    pub(super) fn put_maps(&self, out: &mut Vec<u8>, writer: &mut Writer) {
        let indices = (0..).zip(&self.codes).filter_map(|(index, code)| Some(((*code)?.0, index)));
        let mut indices: Vec<(u16, u16)> = indices.collect();
        indices.sort_unstable();
        indices.dedup_by_key(|(code, _)| *code);
        put_maps(out, writer, self.maps, &indices, &self.texts);
    }
}

/// Writes the maps of a font: from codes to indices in the subset, and to texts.
pub(in crate::export) fn put_maps(
    out: &mut Vec<u8>,
    writer: &mut Writer,
    [map, texts]: [u32; 2],
    indices: &[(u16, u16)],
    read_as: &[(u16, String)],
) {
    let entries = format!(
        "/Type/CMap/CMapName/{}/CIDSystemInfo<</Registry(Adobe)/Ordering(Identity)/Supplement 0>>/WMode 0",
        codes::MAP_NAME
    );
    writer.stream(out, map, &entries, codes::map(indices).as_bytes());
    let read_as = codes::unicode_map(read_as.iter().map(|(code, text)| (*code, text.as_str())));
    writer.stream(out, texts, "/Type/CMap/WMode 0", read_as.as_bytes());
}

/// The face in the program that a font has been taken from.
fn face_of(inner: &Dict<'_>) -> Option<&'static Face> {
    let name: Name<'_> = inner.get("BaseFont")?;
    let (_, name) = std::str::from_utf8(&name).ok()?.split_once('+')?;
    Face::named(name)
}

/// The widths of a font's indices as whole numbers; nothing where they are none.
fn widths(inner: &Dict<'_>) -> Option<Vec<u16>> {
    let mut widths = Vec::new();
    let list: Array<'_> = inner.get("W")?;
    let mut items = list.raw_iter().map(|item| match item {
        // 505.99997 is written for 506.
        MaybeRef::NotRef(Object::Number(number)) => rounded(number.as_f64()),
        _ => None,
    });
    while let Some(first) = items.next() {
        let (first, last, width) = (usize::from(first?), items.next()??, items.next()??);
        widths.resize(first, 0);
        widths.resize(usize::from(last) + 1, width);
    }
    Some(widths)
}

#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "it is looked at before"
)]
fn rounded(width: f64) -> Option<u16> {
    (0.0..=f64::from(u16::MAX)).contains(&width).then(|| width.round() as u16)
}

/// A font of a file that is written in codes which mean the same in every file.
#[derive(Debug)]
pub(in crate::export) struct Shareable<'a> {
    /// The face in the program.
    pub face: &'static Face,
    /// Its codes, each with the text that it is read as.
    pub texts: Vec<(u16, String)>,
    /// What is said of it.
    pub descriptor: Dict<'a>,
}

impl<'a> Shareable<'a> {
    /// A font by its entries; nothing where its codes are its own.
    pub(in crate::export) fn of(font: &Dict<'a>) -> Option<Self> {
        let map: Stream<'_> = font.get("Encoding")?;
        let name: Name<'_> = map.dict().get("CMapName")?;
        let inner: Dict<'a> =
            font.get::<Array<'a>>("DescendantFonts")?.iter::<Dict<'a>>().next()?;
        let texts: Stream<'_> = font.get("ToUnicode")?;
        let texts = codes::texts(&texts.decoded().ok()?);
        let is_ours = &*name == codes::MAP_NAME.as_bytes();
        let (face, descriptor) = (face_of(&inner)?, inner.get("FontDescriptor")?);
        is_ours.then_some(Self { face, texts, descriptor })
    }

    /// The objects that belong to it alone.
    pub(in crate::export) fn own(font: &Dict<'_>) -> Option<Vec<ObjRef>> {
        let inner_list: Array<'_> = font.get("DescendantFonts")?;
        let inner: Dict<'_> = inner_list.iter::<Dict<'_>>().next()?;
        let descriptor: Dict<'_> = inner.get("FontDescriptor")?;
        let inner_at = inner_list.raw_iter().next()?.as_obj_ref()?;
        let mut own = vec![inner_at, inner.get_ref("FontDescriptor")?];
        own.extend(["Encoding", "ToUnicode"].iter().filter_map(|key| font.get_ref(key)));
        let files = ["FontFile2", "FontFile3", "CIDSet"];
        own.extend(files.iter().filter_map(|key| descriptor.get_ref(key)));
        Some(own)
    }
}

/// How wide a glyph is, in millionths of the height of a letter.
fn width(face: &Face, glyph: u16) -> i64 {
    i64::from(face.advance(glyph)) * 1_000_000 / i64::from(face.units().max(1))
}

/// Writes how wide a glyph is, in thousandths of the height of a letter.
pub(in crate::export) fn put_width(out: &mut Vec<u8>, face: &Face, glyph: u16) {
    let millionths = width(face, glyph);
    let (whole, rest) = (millionths / 1000, millionths % 1000);
    if rest == 0 {
        put(out, format_args!("{whole}"));
    } else {
        put(out, format_args!("{whole}.{rest:03}"));
    }
}
