//! An object of one file, written under the numbers of another.

use std::collections::BTreeMap;
use std::io::Write;

use hayro_syntax::object::{Array, Dict, MaybeRef, Name, ObjRef, Object};

/// What changes when an object is taken over.
#[derive(Clone, Copy, Debug)]
pub(in crate::export) struct Turn<'a> {
    /// What is added to the number of every object.
    pub shift: u32,
    /// Objects that have another number, by the number that they had.
    pub instead: &'a BTreeMap<i32, u32>,
    /// What is added to the keys by which a page finds the tags of its content.
    pub keys: i64,
    /// What is put before the ids of table headings, which may stand only once in a file.
    pub ids: &'a str,
    /// Entries that are written otherwise; those without a value are left out.
    pub other: &'a [(&'a str, &'a [u8])],
}

/// No object has another number.
static NONE_INSTEAD: BTreeMap<i32, u32> = BTreeMap::new();

/// Entries whose value is a text for people.
const TEXTS: [&[u8]; 5] = [b"Alt", b"ActualText", b"E", b"T", b"Title"];

/// Entries that come behind all others, in that order.
const LAST: [&[u8]; 4] = [b"ID", b"Pg", b"P", b"K"];

impl<'a> Turn<'a> {
    /// Nothing changes.
    pub(in crate::export) const NONE: Turn<'static> =
        Turn { shift: 0, instead: &NONE_INSTEAD, keys: 0, ids: "", other: &[] };

    /// The same with other entries.
    pub(in crate::export) fn with<'b>(self, other: &'b [(&'b str, &'b [u8])]) -> Turn<'b>
    where
        'a: 'b,
    {
        Turn { other, ..self }
    }

    /// The number of an object in the other file; 0, which is no object, for one that cannot be.
    pub(in crate::export) fn number(&self, of: ObjRef) -> u32 {
        let own = || u32::try_from(of.obj_number).map_or(0, |number| number + self.shift);
        self.instead.get(&of.obj_number).copied().unwrap_or_else(own)
    }

    /// Writes an object.
    pub(in crate::export) fn put(self, out: &mut Vec<u8>, object: &Object<'_>) {
        match object {
            Object::Null(_) => out.extend(b"null"),
            Object::Boolean(truth) => put(out, format_args!("{truth}")),
            Object::Number(number) => decimal(out, number.as_f64(), 3),
            Object::String(text) => string(out, text.as_bytes()),
            Object::Name(word) => name(out, word),
            Object::Dict(dict) => self.dict(out, dict),
            Object::Array(array) => self.array(out, array),
            Object::Stream(stream) => {
                let data = stream.raw_data();
                let length = data.len().to_string();
                self.with(&[("Length", length.as_bytes())]).dict(out, stream.dict());
                out.extend(b"\nstream\n");
                out.extend(data.iter());
                out.extend(b"\nendstream");
            }
        }
    }

    fn array(self, out: &mut Vec<u8>, array: &Array<'_>) {
        out.push(b'[');
        for (index, item) in array.raw_iter().enumerate() {
            let is_apart = matches!(
                item,
                MaybeRef::NotRef(
                    Object::Dict(_) | Object::Array(_) | Object::String(_) | Object::Name(_)
                )
            );
            if index > 0 && !is_apart {
                out.push(b' ');
            }
            self.item(out, &item);
        }
        out.push(b']');
    }

    /// Writes the entries, and those others behind them. What differs from one tag to the next comes last, so
    /// that the rest is the same in a row; and that a tag is one, no reader has to be told.
    pub(in crate::export) fn dict(self, out: &mut Vec<u8>, dict: &Dict<'_>) {
        out.extend(b"<<");
        let mut last: Vec<(Name<'_>, MaybeRef<Object<'_>>)> = Vec::new();
        for (key, value) in dict.entries() {
            if self.other.iter().any(|(other, _)| other.as_bytes() == &*key) {
                continue;
            }
            if LAST.contains(&&*key) {
                last.push((key, value));
            } else {
                self.entry(out, dict, &key, &value);
            }
        }
        last.sort_by_key(|(key, _)| LAST.iter().position(|last| last == &&**key));
        for (key, value) in &last {
            self.entry(out, dict, key, value);
        }
        for (key, value) in self.other.iter().filter(|(_, value)| !value.is_empty()) {
            put(out, format_args!("/{key} "));
            out.extend(*value);
        }
        out.extend(b">>");
    }

    /// Writes an entry.
    fn entry(self, out: &mut Vec<u8>, of: &Dict<'_>, key: &Name<'_>, value: &MaybeRef<Object<'_>>) {
        let inner = self.with(&[]);
        if let (b"Type", MaybeRef::NotRef(Object::Name(kind))) = (&**key, value) {
            if &**kind == b"StructElem" {
                return;
            }
        }
        name(out, key);
        match (&**key, value) {
            (b"StructParents" | b"StructParent", MaybeRef::NotRef(Object::Number(key))) => {
                put(out, format_args!(" {}", key.as_i64() + self.keys));
            }
            (b"ID", MaybeRef::NotRef(Object::String(id))) => {
                string(out, &self.id(id.as_bytes()));
            }
            (b"Headers", MaybeRef::NotRef(Object::Array(ids))) => {
                out.push(b'[');
                for id in ids.raw_iter() {
                    match id {
                        MaybeRef::NotRef(Object::String(id)) => {
                            string(out, &self.id(id.as_bytes()));
                        }
                        other => inner.item(out, &other),
                    }
                }
                out.push(b']');
            }
            // The space that a tag takes on its page, to whole points.
            (b"BBox", MaybeRef::NotRef(Object::Array(edges))) if of.contains_key("O") => {
                let edges: Vec<f64> = edges.iter::<f32>().map(f64::from).collect();
                out.push(b'[');
                for (index, edge) in edges.iter().enumerate() {
                    let outward = if index < 2 { edge.floor() } else { edge.ceil() };
                    out.extend(if index > 0 { &b" "[..] } else { b"" });
                    decimal(out, outward, 0);
                }
                out.push(b']');
            }
            (key, MaybeRef::NotRef(Object::String(said))) if TEXTS.contains(&key) => {
                string(out, &shortened(said.as_bytes()));
            }
            (
                _,
                MaybeRef::NotRef(
                    Object::Dict(_) | Object::Array(_) | Object::String(_) | Object::Name(_),
                ),
            ) => inner.item(out, value),
            _ => {
                out.push(b' ');
                inner.item(out, value);
            }
        }
    }

    pub(super) fn item(self, out: &mut Vec<u8>, item: &MaybeRef<Object<'_>>) {
        match item {
            MaybeRef::Ref(of) => put(out, format_args!("{} 0 R", self.number(*of))),
            MaybeRef::NotRef(object) => self.put(out, object),
        }
    }

    /// An id in the other file.
    pub(in crate::export) fn id(self, id: &[u8]) -> Vec<u8> {
        [self.ids.as_bytes(), id].concat()
    }
}

/// Writes words; memory takes them all.
pub(in crate::export) fn put(out: &mut Vec<u8>, words: std::fmt::Arguments<'_>) {
    let _ = out.write_fmt(words);
}

/// Writes a number with so many decimal places at the most.
pub(super) fn decimal(out: &mut Vec<u8>, number: f64, places: usize) {
    let text = format!("{number:.places$}");
    let is_whole = !text.contains('.');
    let text = if is_whole { &text } else { text.trim_end_matches('0').trim_end_matches('.') };
    let (sign, digits) = match text.strip_prefix('-') {
        Some(digits) if digits != "0" => ("-", digits),
        other => ("", other.unwrap_or(text)),
    };
    let bare = digits.strip_prefix('0').filter(|rest| rest.starts_with('.'));
    put(out, format_args!("{sign}{}", bare.unwrap_or(digits)));
}

/// Writes bytes as a string.
pub(in crate::export) fn string(out: &mut Vec<u8>, bytes: &[u8]) {
    out.push(b'(');
    for byte in bytes {
        match byte {
            b'(' | b')' | b'\\' => out.extend([b'\\', *byte]),
            // A reader takes it for the end of a line.
            b'\r' => out.extend(b"\\r"),
            byte => out.push(*byte),
        }
    }
    out.push(b')');
}

/// Writes a text for people as a string.
pub(in crate::export) fn text(out: &mut Vec<u8>, text: &str) {
    let units = std::iter::once(0xfeff).chain(text.encode_utf16());
    string(out, &shortened(&units.flat_map(u16::to_be_bytes).collect::<Vec<u8>>()));
}

/// A text in UTF-16 with one byte for each letter where they are all in the encoding that such texts have
/// (ISO 32000-1, D.2).
fn shortened(text: &[u8]) -> Vec<u8> {
    let Some(units) = text.strip_prefix(&[0xfe, 0xff]) else { return text.to_vec() };
    let letter = |pair: &[u8]| match pair {
        [0, byte @ (0x20..=0x7e | 0xa1..=0xac | 0xae..=0xff)] => Some(*byte),
        [0x20, 0x13] => Some(0x85),
        [0x20, 0x14] => Some(0x84),
        [0x20, 0x19] => Some(0x90),
        [0x22, 0x12] => Some(0x8a),
        _ => None,
    };
    let letters: Option<Vec<u8>> = units.chunks(2).map(letter).collect();
    // What begins like UTF-8 or UTF-16 would be taken for it.
    let is_safe = |short: &Vec<u8>| !short.starts_with(&[0xef]) && !short.starts_with(&[0xfe]);
    letters.filter(is_safe).unwrap_or_else(|| text.to_vec())
}

/// Writes a name; a sign that would end it is written by its number.
fn name(out: &mut Vec<u8>, name: &Name<'_>) {
    out.push(b'/');
    for byte in name.iter() {
        if byte.is_ascii_alphanumeric() || b"-_.+:*".contains(byte) {
            out.push(*byte);
        } else {
            put(out, format_args!("#{byte:02x}"));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_as_short_as_they_can_be() {
        let written = |number, places| {
            let mut out = Vec::new();
            decimal(&mut out, number, places);
            String::from_utf8(out).unwrap()
        };
        assert_eq!(written(56.692_913, 2), "56.69");
        assert_eq!(written(-0.25, 2), "-.25");
        assert_eq!(written(0.5, 2), ".5");
        assert_eq!(written(100.0, 2), "100");
        assert_eq!(written(-0.001, 2), "0");
    }

    /// ISO 32000-1, D.2: 212 octal is the minus sign, 205 the en dash, 327 the multiplication sign.
    #[test]
    fn texts_have_one_byte_for_each_letter_where_they_can() {
        let mut out = Vec::new();
        text(&mut out, "2 × (3 − 1) – é");
        assert_eq!(out, b"(2 \xd7 \\(3 \x8a 1\\) \x85 \xe9)");
        out.clear();
        text(&mut out, "≈");
        assert_eq!(out, b"(\xfe\xff\x22\x48)");
        out.clear();
        text(&mut out, "þa");
        assert_eq!(out, b"(\xfe\xff\x00\xfe\x00a)");
    }
}
