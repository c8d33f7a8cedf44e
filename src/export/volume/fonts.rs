//! The fonts that the files of a volume share: each is written once, with the glyphs of all of them.

use std::collections::BTreeMap;

use hayro_syntax::object::Array;
use subsetter::GlyphRemapper;

use crate::export::compact::{Face, Shareable, Turn, Writer, put, put_maps, put_width};

/// The fonts of the volume so far.
#[derive(Clone, Debug, Default)]
pub(super) struct Fonts {
    all: Vec<SharedFont>,
}

#[derive(Clone, Debug)]
struct SharedFont {
    face: &'static Face,
    number: u32,
    /// Its codes, and what each is read as.
    texts: BTreeMap<u16, String>,
    /// What is said of it, as written, up to the name.
    descriptor: Vec<u8>,
    /// The corners of a box that holds every glyph.
    corners: [f64; 4],
}

impl Fonts {
    /// The number of the font that takes the place of a file's own; nothing where one of its codes is read
    /// otherwise there.
    pub(super) fn share(&mut self, font: &Shareable<'_>, writer: &mut Writer) -> Option<u32> {
        let corners: Array<'_> = font.descriptor.get("FontBBox")?;
        let corners: Vec<f64> = corners.iter::<f32>().map(f64::from).collect();
        let corners: [f64; 4] = corners.try_into().ok()?;
        let index = self.all.iter().position(|known| known.face.name == font.face.name);
        let index = index.unwrap_or_else(|| {
            let mut descriptor = Vec::new();
            let out = ["FontName", "FontBBox", "FontFile2", "FontFile3", "CIDSet"];
            let other = out.map(|key| (key, &b""[..]));
            Turn::NONE.with(&other).dict(&mut descriptor, &font.descriptor);
            descriptor.truncate(descriptor.len() - 2);
            let (face, number) = (font.face, writer.reserve());
            self.all.push(SharedFont { face, number, texts: BTreeMap::new(), descriptor, corners });
            self.all.len() - 1
        });
        let shared = self.all.get_mut(index)?;
        let differs = |(code, text): &(u16, String)| {
            shared.texts.get(code).is_some_and(|known| known != text)
        };
        if font.texts.iter().any(differs) {
            return None;
        }
        shared.texts.extend(font.texts.iter().cloned());
        let [left, low, right, high] = shared.corners;
        shared.corners = [
            left.min(corners[0]),
            low.min(corners[1]),
            right.max(corners[2]),
            high.max(corners[3]),
        ];
        Some(shared.number)
    }

    /// Writes them.
    pub(super) fn put(&self, out: &mut Vec<u8>, writer: &mut Writer) -> Option<()> {
        for (index, font) in self.all.iter().enumerate() {
            font.put(out, writer, &tag(index))?;
        }
        Some(())
    }
}

/// Six letters that tell a subset from others of the same font.
fn tag(index: usize) -> String {
    let index = u8::try_from(index % 26).unwrap_or(0);
    format!("CLASS{}", char::from(b'A' + index))
}

impl SharedFont {
    fn put(&self, out: &mut Vec<u8>, writer: &mut Writer, tag: &str) -> Option<()> {
        // A code is the number of its glyph.
        let glyphs: Vec<u16> = self.texts.keys().copied().collect();
        let subset = GlyphRemapper::new_from_glyphs(&glyphs);
        let program = subsetter::subset(self.face.data, self.face.index, &subset).ok()?;
        let outlines = ttf_parser::RawFace::parse(&program, 0).ok()?;
        let bare = outlines.table(ttf_parser::Tag::from_bytes(b"CFF "));
        let [map, texts, inner, descriptor, file] = [(); 5].map(|()| writer.reserve());
        let indices: Option<Vec<(u16, u16)>> =
            glyphs.iter().map(|glyph| Some((*glyph, subset.get(*glyph)?))).collect();
        let read_as: Vec<(u16, String)> =
            self.texts.iter().map(|(code, text)| (*code, text.clone())).collect();
        put_maps(out, writer, [map, texts], &indices?, &read_as);
        let (entries, key, kind, end, more) = match bare {
            Some(_) => ("/Subtype/CIDFontType0C", "FontFile3", 0, "-Castmark-Codes", ""),
            None => ("", "FontFile2", 2, "", "/CIDToGIDMap/Identity"),
        };
        writer.stream(out, file, entries, bare.unwrap_or(&program));
        let name = format!("{tag}+{}", self.face.name);
        let mut font = Vec::new();
        put(
            &mut font,
            format_args!(
                "<</Type/Font/Subtype/Type0/BaseFont/{name}{end}/Encoding {map} 0 R\
                 /DescendantFonts[{inner} 0 R]/ToUnicode {texts} 0 R>>"
            ),
        );
        writer.pack(out, self.number, &font);
        font.clear();
        put(
            &mut font,
            format_args!(
                "<</Type/Font/Subtype/CIDFontType{kind}/BaseFont/{name}/CIDSystemInfo<</Registry(Adobe)\
                 /Ordering(Identity)/Supplement 0>>/FontDescriptor {descriptor} 0 R/DW 0{more}/W[0["
            ),
        );
        for glyph in subset.remapped_gids() {
            put_width(&mut font, self.face, glyph);
            font.push(b' ');
        }
        font.extend(b"]]>>");
        writer.pack(out, inner, &font);
        font.clone_from(&self.descriptor);
        let [left, low, right, high] = self.corners;
        put(
            &mut font,
            format_args!(
                "/FontName/{name}/FontBBox[{left} {low} {right} {high}]/{key} {file} 0 R>>"
            ),
        );
        writer.pack(out, descriptor, &font);
        Some(())
    }
}
