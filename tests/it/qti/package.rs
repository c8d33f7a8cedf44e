//! A reader of packages: the archive by APPNOTE.TXT (PKWARE), the documents by a general reader of XML.

use std::collections::BTreeMap;
use std::io::Read;
use std::path::Path;

use castmark::export::{Exporter, Options, Qti, Sheet};
use flate2::read::DeflateDecoder;

/// The files of a package by their names, and the names in their order.
#[derive(Debug)]
pub(super) struct Package {
    /// The contents.
    pub(super) files: BTreeMap<String, Vec<u8>>,
    /// The names as the directory lists them.
    pub(super) names: Vec<String>,
}

impl Package {
    /// The package of a sheet.
    #[track_caller]
    pub(super) fn of(exporter: Qti, sheet: &Sheet) -> Self {
        let bytes = exporter.export(sheet, &Options::default()).unwrap();
        Self::read(&bytes)
    }

    /// Reads an archive by its central directory and checks what it says of every file.
    #[track_caller]
    pub(super) fn read(bytes: &[u8]) -> Self {
        let short = |at: usize| usize::from(u16::from_le_bytes([bytes[at], bytes[at + 1]]));
        let long = |at: usize| short(at) + (short(at + 2) << 16);
        let end = bytes.len() - 22;
        assert_eq!(&bytes[end..end + 4], b"PK\x05\x06", "no end of the directory");
        let (count, size, start) = (short(end + 10), long(end + 12), long(end + 16));
        assert_eq!(start + size, end, "something stands behind the directory");
        let mut at = start;
        let mut package = Self { files: BTreeMap::new(), names: Vec::new() };
        for _ in 0..count {
            assert_eq!(&bytes[at..at + 4], b"PK\x01\x02");
            let (time, date, sum) = (short(at + 12), short(at + 14), long(at + 16));
            let (packed, whole, length) = (long(at + 20), long(at + 24), short(at + 28));
            assert_eq!((time, date), (0, 33), "not the first of January 1980");
            assert_eq!((short(at + 30), short(at + 32)), (0, 0), "extra fields");
            let local = long(at + 42);
            let name = String::from_utf8(bytes[at + 46..at + 46 + length].to_vec()).unwrap();
            assert_eq!(&bytes[local..local + 4], b"PK\x03\x04");
            assert_eq!(bytes[local + 4..local + 30], bytes[at + 6..at + 32], "{name}: two heads");
            let content = &bytes[local + 30 + length..local + 30 + length + packed];
            let mut unpacked = Vec::new();
            DeflateDecoder::new(content).read_to_end(&mut unpacked).unwrap();
            let mut found = flate2::Crc::new();
            found.update(&unpacked);
            assert_eq!((unpacked.len(), found.sum() as usize), (whole, sum), "{name}");
            package.names.push(name.clone());
            assert!(package.files.insert(name.clone(), unpacked).is_none(), "{name} twice");
            at += 46 + length;
        }
        assert_eq!(at, end);
        package
    }

    /// The text of a file.
    #[track_caller]
    pub(super) fn text(&self, name: &str) -> &str {
        let bytes = self.files.get(name).unwrap_or_else(|| panic!("no {name}"));
        std::str::from_utf8(bytes).unwrap()
    }

    /// The items, each as a tree.
    pub(super) fn items(&self) -> Vec<Element> {
        let items = self.names.iter().filter(|name| name.starts_with("items/"));
        let items = items.filter(|name| is_of(name, "xml"));
        items.map(|name| Element::read(self.text(name))).collect()
    }
}

/// Returns whether a file has that extension.
pub(super) fn is_of(name: &str, extension: &str) -> bool {
    Path::new(name).extension().is_some_and(|found| found == extension)
}

/// An element under its name in 2.2, whichever version it was written in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Element {
    /// The name.
    pub(super) name: String,
    /// The attributes in their order.
    pub(super) attributes: Vec<(String, String)>,
    /// The elements in it.
    pub(super) children: Vec<Element>,
    /// The text that stands in it before, between and behind them.
    pub(super) text: String,
}

impl Element {
    /// Reads a document; what is not well formed or holds letters that XML 1.0 has not is refused.
    #[track_caller]
    pub(super) fn read(document: &str) -> Self {
        let parsed = roxmltree::Document::parse(document);
        let parsed = parsed.unwrap_or_else(|problem| panic!("{problem}\n{document:.2000}"));
        Self::of(parsed.root_element())
    }

    /// The element with the names of 3.0 turned into those of 2.2: hyphens become capitals, and the
    /// bodies of feedback and rubrics are left out.
    fn of(node: roxmltree::Node<'_, '_>) -> Self {
        let own = node.tag_name().name();
        let name = own.strip_prefix("qti-").map_or_else(|| own.to_owned(), camel);
        let is_later = own.starts_with("qti-");
        let attributes = node.attributes().filter(|it| it.name() != "schemaLocation");
        let attributes = attributes.map(|it| {
            let name = if is_later { camel(it.name()) } else { it.name().to_owned() };
            (name, it.value().to_owned())
        });
        let mut element = Self {
            name,
            attributes: attributes.collect(),
            children: Vec::new(),
            text: String::new(),
        };
        element.add(node);
        element
    }

    fn add(&mut self, node: roxmltree::Node<'_, '_>) {
        for child in node.children() {
            if child.tag_name().name() == "qti-content-body" {
                self.add(child);
            } else if child.is_element() {
                self.children.push(Self::of(child));
            } else if let Some(text) = child.text() {
                self.text.push_str(text);
            }
        }
    }

    /// The value of an attribute.
    pub(super) fn get(&self, name: &str) -> Option<&str> {
        self.attributes.iter().find(|(known, _)| known == name).map(|(_, value)| value.as_str())
    }

    /// The value of an attribute that must be there.
    #[track_caller]
    pub(super) fn have(&self, name: &str) -> &str {
        self.get(name).unwrap_or_else(|| panic!("<{}> has no {name}", self.name))
    }

    /// The element and all in it, in reading order.
    pub(super) fn all(&self) -> Vec<&Self> {
        let mut all = vec![self];
        let mut next = 0;
        while let Some(element) = all.get(next).copied() {
            all.splice(next + 1..=next, &element.children);
            next += 1;
        }
        all
    }

    /// The elements in it of that name.
    pub(super) fn named(&self, name: &str) -> Vec<&Self> {
        self.all().into_iter().filter(|element| element.name == name).collect()
    }

    /// All text in it.
    pub(super) fn words(&self) -> String {
        self.all().into_iter().map(|element| element.text.as_str()).collect()
    }
}

fn camel(name: &str) -> String {
    let mut parts = name.split('-');
    let mut camel = parts.next().unwrap_or_default().to_owned();
    for part in parts {
        let (first, rest) = part.split_at(part.len().min(1));
        camel.push_str(&first.to_uppercase());
        camel.push_str(rest);
    }
    camel
}
