//! An object of one file, written under the numbers of another.

use std::io::Write;

use hayro_syntax::object::{Dict, MaybeRef, Name, ObjRef, Object};

/// What changes when an object is taken over.
#[derive(Clone, Copy, Debug)]
pub(super) struct Turn<'a> {
    /// What is added to the number of every object.
    pub shift: u32,
    /// What is added to the keys by which a page finds the tags of its content.
    pub keys: i64,
    /// What is put before the ids of table headings, which may stand only once in a file.
    pub ids: &'a str,
    /// Entries that are written otherwise.
    pub other: &'a [(&'a str, &'a str)],
}

impl<'a> Turn<'a> {
    /// Nothing changes; for an object that refers to no other.
    pub(super) const NONE: Self = Self { shift: 0, keys: 0, ids: "", other: &[] };

    /// The same with other entries.
    pub(super) fn with<'b>(self, other: &'b [(&'b str, &'b str)]) -> Turn<'b>
    where
        'a: 'b,
    {
        Turn { other, ..self }
    }

    /// The number of an object in the volume; 0, which is no object, for one that cannot be.
    pub(super) fn number(&self, of: ObjRef) -> u32 {
        u32::try_from(of.obj_number).map_or(0, |number| number + self.shift)
    }

    /// Writes an object.
    pub(super) fn put(self, out: &mut Vec<u8>, object: &Object<'_>) {
        match object {
            Object::Null(_) => out.extend(b"null"),
            Object::Boolean(truth) => put(out, format_args!("{truth}")),
            Object::Number(number) => put(out, format_args!("{}", number.as_f64())),
            Object::String(text) => string(out, text.as_bytes()),
            Object::Name(word) => name(out, word),
            Object::Dict(dict) => self.dict(out, dict),
            Object::Array(array) => {
                out.push(b'[');
                for item in array.raw_iter() {
                    self.item(out, &item);
                    out.push(b' ');
                }
                out.push(b']');
            }
            Object::Stream(stream) => {
                let data = stream.raw_data();
                let length = data.len().to_string();
                self.with(&[("Length", &length)]).dict(out, stream.dict());
                out.extend(b"\nstream\n");
                out.extend(data.iter());
                out.extend(b"\nendstream");
            }
        }
    }

    /// Writes the entries, and those others behind them.
    fn dict(self, out: &mut Vec<u8>, dict: &Dict<'_>) {
        let inner = self.with(&[]);
        out.extend(b"<<");
        for (key, value) in dict.entries() {
            if self.other.iter().any(|(other, _)| other.as_bytes() == &*key) {
                continue;
            }
            name(out, &key);
            out.push(b' ');
            match (&*key, &value) {
                (b"StructParents" | b"StructParent", MaybeRef::NotRef(Object::Number(key))) => {
                    put(out, format_args!("{}", key.as_i64() + self.keys));
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
                _ => inner.item(out, &value),
            }
        }
        for (key, value) in self.other {
            put(out, format_args!("/{key} {value}"));
        }
        out.extend(b">>");
    }

    fn item(self, out: &mut Vec<u8>, item: &MaybeRef<Object<'_>>) {
        match item {
            MaybeRef::Ref(of) => put(out, format_args!("{} 0 R", self.number(*of))),
            MaybeRef::NotRef(object) => self.put(out, object),
        }
    }

    /// An id in the volume.
    pub(super) fn id(self, id: &[u8]) -> Vec<u8> {
        [self.ids.as_bytes(), id].concat()
    }
}

/// Begins an object of that number.
pub(super) fn begin(out: &mut Vec<u8>, number: u32) {
    put(out, format_args!("{number} 0 obj\n"));
}

/// Ends an object.
pub(super) fn end(out: &mut Vec<u8>) {
    out.extend(b"\nendobj\n");
}

/// Writes words; memory takes them all.
pub(super) fn put(out: &mut Vec<u8>, words: std::fmt::Arguments<'_>) {
    let _ = out.write_fmt(words);
}

/// Writes bytes as a string in hexadecimal digits, in which nothing has to be escaped.
pub(super) fn string(out: &mut Vec<u8>, bytes: &[u8]) {
    out.push(b'<');
    for byte in bytes {
        put(out, format_args!("{byte:02x}"));
    }
    out.push(b'>');
}

/// Writes a text for people as a string, in UTF-16.
pub(super) fn text(out: &mut Vec<u8>, text: &str) {
    let units = std::iter::once(0xfeff).chain(text.encode_utf16());
    string(out, &units.flat_map(u16::to_be_bytes).collect::<Vec<u8>>());
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
