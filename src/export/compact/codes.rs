//! How text is written for a font: by the numbers of its glyphs, in two bytes, and so the same in every
//! file, whatever glyphs the file's subset has.
//!
//! Two maps say what a code means (ISO 32000-1, 9.7.5 and 9.10.3): one leads to the place in the subset, the
//! other to the text. All codes are equally long and none is left out: a reader may look for the text of a
//! place among the codes, and would lose what is not one.

use std::fmt::Write;

/// The name of the map, by which fonts that are written like this are known again.
pub(super) const MAP_NAME: &str = "Castmark-Codes";

/// What begins both maps: whose codes they are, and how long codes are.
const HEAD: &str = "/CIDInit/ProcSet findresource begin\n12 dict begin\nbegincmap\n\
    /CIDSystemInfo<</Registry(Adobe)/Ordering(Identity)/Supplement 0>>def\n/WMode 0 def\n";
const SPACES: &str = "1 begincodespacerange\n<0000><ffff>\nendcodespacerange\n";
const FOOT: &str = "endcmap\nCMapName currentdict/CMap defineresource pop\nend\nend";

/// How many lines there may be in a group.
const GROUP: usize = 100;

/// The map from codes to places in the subset.
pub(super) fn map(glyphs: &[(u16, u16)]) -> String {
    let lines: Vec<String> =
        glyphs.iter().map(|(code, glyph)| format!("<{code:04x}> {glyph}\n")).collect();
    grouped(MAP_NAME, 1, "cidchar", &lines)
}

/// The map from codes to text.
pub(super) fn unicode_map<'a>(texts: impl Iterator<Item = (u16, &'a str)>) -> String {
    let line = |(code, text): (u16, &str)| {
        let units: String = text.encode_utf16().map(|unit| format!("{unit:04x}")).collect();
        format!("<{code:04x}><{units}>\n")
    };
    grouped("Castmark-Texts", 2, "bfchar", &texts.map(line).collect::<Vec<_>>())
}

fn grouped(name: &str, kind: u8, word: &str, lines: &[String]) -> String {
    let mut map = format!("{HEAD}/CMapName/{name} def\n/CMapType {kind} def\n{SPACES}");
    for group in lines.chunks(GROUP) {
        let _ = write!(map, "{} begin{word}\n{}end{word}\n", group.len(), group.concat());
    }
    map + FOOT
}

/// The texts of codes by a map from them, as such maps are written here and by the typesetter.
pub(super) fn texts(map: &[u8]) -> Vec<(u16, String)> {
    let map = String::from_utf8_lossy(map);
    let groups = map.split("beginbfchar").skip(1).filter_map(|it| it.split_once("endbfchar"));
    let mut texts = Vec::new();
    for line in groups.flat_map(|(group, _)| group.lines()) {
        let mut pieces = line.split(['<', '>']).filter(|piece| !piece.trim().is_empty());
        let (Some(code), Some(units)) = (pieces.next(), pieces.next()) else { continue };
        let Ok(code) = u16::from_str_radix(code, 16) else { continue };
        let unit = |at: usize| u16::from_str_radix(units.get(at..at + 4)?, 16).ok();
        let units: Option<Vec<u16>> = (0..units.len()).step_by(4).map(unit).collect();
        texts.extend(units.and_then(|it| String::from_utf16(&it).ok()).map(|it| (code, it)));
    }
    texts
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn texts_are_read_as_they_are_written() {
        let written = [(0x41, "A"), (0x8123, "ffi"), (0x8124, "\u{1d44e}")];
        let map = unicode_map(written.into_iter());
        assert!(map.contains("<8124><d835dc4e>\n"), "{map}");
        let read = texts(map.as_bytes());
        let read: Vec<(u16, &str)> =
            read.iter().map(|(code, text)| (*code, text.as_str())).collect();
        assert_eq!(read, written);
    }
}
