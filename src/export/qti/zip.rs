//! A ZIP archive that is the same for the same files.
//!
//! The format is that of APPNOTE.TXT, version 6.3 (PKWARE), as far as packages need it: names are
//! UTF-8 with forward slashes, contents are deflated, and every file has the earliest time there is.

use std::io::Write;

use flate2::write::DeflateEncoder;
use flate2::{Compression, Crc};

/// 1 January 1980, 0:00: days from bit 0, months from bit 5, years since 1980 from bit 9.
const DATE: u16 = 1 << 5 | 1;

/// What a reader must know to unpack a file: version 2.0, which has deflate.
const NEEDED: u16 = 20;

/// Names are UTF-8.
const FLAGS: u16 = 1 << 11;

const DEFLATED: u16 = 8;

/// An archive that files are added to.
#[derive(Debug, Default)]
pub(super) struct Archive {
    bytes: Vec<u8>,
    /// The central directory, which stands behind all files.
    directory: Vec<u8>,
    files: u16,
}

impl Archive {
    /// Adds a file. The first 65,535 are kept, and no file is of 4 GiB or more.
    pub(super) fn add(&mut self, name: &str, content: &[u8]) {
        let offset = self.bytes.len();
        let mut crc = Crc::new();
        crc.update(content);
        let packed = deflated(content);
        let mut head = Vec::with_capacity(26);
        for word in [NEEDED, FLAGS, DEFLATED, 0, DATE] {
            head.extend(word.to_le_bytes());
        }
        for word in [crc.sum(), long(packed.len()), long(content.len())] {
            head.extend(word.to_le_bytes());
        }
        head.extend(short(name.len()).to_le_bytes());
        head.extend([0; 2]);
        self.bytes.extend(b"PK\x03\x04");
        self.bytes.extend(&head);
        self.bytes.extend(name.as_bytes());
        self.bytes.extend(&packed);
        self.directory.extend(b"PK\x01\x02");
        self.directory.extend(NEEDED.to_le_bytes());
        self.directory.extend(&head);
        // No comment, first disk, no attributes.
        self.directory.extend([0; 10]);
        self.directory.extend(long(offset).to_le_bytes());
        self.directory.extend(name.as_bytes());
        self.files = self.files.saturating_add(1);
    }

    /// The bytes of the archive.
    pub(super) fn end(self) -> Vec<u8> {
        let Self { mut bytes, directory, files } = self;
        let offset = bytes.len();
        bytes.extend(&directory);
        bytes.extend(b"PK\x05\x06\0\0\0\0");
        bytes.extend(files.to_le_bytes());
        bytes.extend(files.to_le_bytes());
        bytes.extend(long(directory.len()).to_le_bytes());
        bytes.extend(long(offset).to_le_bytes());
        bytes.extend([0; 2]);
        bytes
    }
}

fn deflated(content: &[u8]) -> Vec<u8> {
    let mut encoder = DeflateEncoder::new(Vec::new(), Compression::default());
    // Writing to memory does not fail.
    let written = encoder.write_all(content).and_then(|()| encoder.finish());
    written.unwrap_or_default()
}

fn long(length: usize) -> u32 {
    u32::try_from(length).unwrap_or(u32::MAX)
}

fn short(length: usize) -> u16 {
    u16::try_from(length).unwrap_or(u16::MAX)
}
