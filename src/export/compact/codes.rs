//! How text is written for a font: the usual glyph of a frequent letter is one byte, any other glyph its
//! number in two, and so a text is the same in every file, whatever glyphs the file's subset has.
//!
//! Two maps say what a code means (ISO 32000-1, 9.7.5 and 9.10.3): one leads to the place in the subset, the
//! other to the text.

use std::fmt::Write;

/// The name of the map, by which fonts that are written like this are known again.
pub(super) const MAP_NAME: &str = "Castmark-Codes";

/// What begins both maps: whose codes they are, and how long codes are.
const HEAD: &str = "/CIDInit/ProcSet findresource begin\n12 dict begin\nbegincmap\n\
    /CIDSystemInfo<</Registry(Adobe)/Ordering(Identity)/Supplement 0>>def\n/WMode 0 def\n";
const SPACES: &str = "2 begincodespacerange\n<10><7e>\n<8000><ffff>\nendcodespacerange\n";
const FOOT: &str = "endcmap\nCMapName currentdict/CMap defineresource pop\nend\nend";

/// How many lines there may be in a group.
const GROUP: usize = 100;

/// What is added to the number of a glyph that has two bytes, so that its first is no letter.
const LONG: u16 = 0x8000;

/// The letters of the bytes before those of ASCII.
const FREQUENT: [char; 16] =
    ['\u{a0}', '−', '×', '÷', '·', '–', '—', '’', '‘', '“', '”', '…', '≈', '≤', '≥', '½'];

/// The codes that are one byte, each with its letter.
pub(super) fn short() -> impl DoubleEndedIterator<Item = (u16, char)> {
    (0x10..0x7f).filter_map(|code| Some((code, letter(code)?)))
}

/// The letter of a code that is one byte.
pub(super) fn letter(code: u16) -> Option<char> {
    match u8::try_from(code).ok()? {
        own @ 0x10..0x20 => FREQUENT.get(usize::from(own) - 0x10).copied(),
        ascii @ 0x20..0x7f => Some(char::from(ascii)),
        _ => None,
    }
}

/// The code of a glyph that has two bytes; nothing where the font has too many.
pub(super) fn long(glyph: u16) -> Option<u16> {
    glyph.checked_add(LONG)
}

/// The glyph of a code that has two bytes.
pub(super) fn glyph(code: u16) -> Option<u16> {
    code.checked_sub(LONG)
}

/// Writes a code.
pub(super) fn put(out: &mut Vec<u8>, code: u16) {
    let [high, low] = code.to_be_bytes();
    if high > 0 {
        out.push(high);
    }
    out.push(low);
}

/// A code as maps have it.
fn hexadecimal(code: u16) -> String {
    if code < LONG { format!("{code:02x}") } else { format!("{code:04x}") }
}

/// The map from codes to places in the subset.
pub(super) fn map(places: &[(u16, u16)]) -> String {
    let lines: Vec<String> =
        places.iter().map(|(code, place)| format!("<{}> {place}\n", hexadecimal(*code))).collect();
    grouped(MAP_NAME, 1, "cidchar", &lines)
}

/// The map from codes to text.
pub(super) fn unicode_map<'a>(texts: impl Iterator<Item = (u16, &'a str)>) -> String {
    let line = |(code, text): (u16, &str)| {
        let units: String = text.encode_utf16().map(|unit| format!("{unit:04x}")).collect();
        format!("<{}><{units}>\n", hexadecimal(code))
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

    #[test]
    fn letters_are_one_byte_and_no_glyph_is_taken_for_one() {
        let (mut shorts, mut bytes) = (0, Vec::new());
        for (code, at) in short() {
            assert_eq!((letter(code), glyph(code)), (Some(at), None));
            put(&mut bytes, code);
            shorts += 1;
        }
        assert_eq!((shorts, bytes.len()), (111, 111));
        assert_eq!((letter(0x41), letter(0x7e), letter(0x7f)), (Some('A'), Some('~'), None));
        assert_eq!((long(0x1234), glyph(0x9234), long(0x8000)), (Some(0x9234), Some(0x1234), None));
    }
}
