//! Reading files.

use std::io::{self, Read};
use std::path::Path;

use super::super::outcome::Failure;
use super::pipe;

/// How much of a file is read; what is larger is refused, so that a wrong file cannot fill the memory.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in super::super) enum Limit {
    /// Templates, layouts, rules, settings, secrets: 4 MB.
    Text,
    /// Class lists, answers and marks by hand: 64 MB.
    Table,
    /// What the program itself has written for a whole class: 4 GB.
    Class,
}

impl Limit {
    /// The limit in bytes.
    fn bytes(self) -> u64 {
        let megabytes = match self {
            Self::Text => 4,
            Self::Table => 64,
            Self::Class => 4096,
        };
        megabytes * 1024 * 1024
    }
}

/// Reads a text file, without a byte-order mark.
///
/// # Errors
/// When it cannot be opened, is larger than anything useful, or is not text in UTF-8.
pub(in super::super) fn read_text(path: &Path) -> Result<String, Failure> {
    let mut bytes = read_bytes(path, Limit::Text)?;
    if bytes.starts_with(MARK) {
        bytes.drain(..MARK.len());
    }
    let shown = path.display();
    String::from_utf8(bytes).map_err(|error| {
        let bytes = error.as_bytes();
        if bytes.starts_with(b"\xff\xfe") || bytes.starts_with(b"\xfe\xff") {
            return Failure::unusable(format!("`{shown}` is UTF-16 text; save it as UTF-8"));
        }
        let sound = bytes.iter().take(error.utf8_error().valid_up_to());
        let line = 1 + sound.filter(|byte| **byte == b'\n').count();
        Failure::unusable(format!("`{shown}` is not UTF-8 text (line {line}); save it as UTF-8"))
    })
}

/// Reads a file up to a limit.
///
/// # Errors
/// When it cannot be opened or read, or is larger.
pub(in super::super) fn read_bytes(path: &Path, limit: Limit) -> Result<Vec<u8>, Failure> {
    let shown = path.display();
    let cannot = |error: &io::Error| {
        Failure::unusable(format!("`{shown}` cannot be read: {}", plainly(error)))
    };
    let (mut bytes, file) = pipe::open(path).map_err(|error| cannot(&error))?;
    let metadata = file.metadata().map_err(|error| cannot(&error))?;
    if metadata.is_dir() {
        return Err(Failure::unusable(format!("`{shown}` is a folder; give a file")));
    }
    // What is no file has no size that could be looked at first.
    let limit = if metadata.is_file() || limit == Limit::Text { limit } else { Limit::Table };
    let too_large = || {
        let megabytes = limit.bytes() / 1024 / 1024;
        Failure::unusable(format!(
            "`{shown}` is larger than {megabytes} MB; check that it is the right file"
        ))
    };
    if metadata.len() > limit.bytes() {
        return Err(too_large());
    }
    file.take(limit.bytes() + 1).read_to_end(&mut bytes).map_err(|error| cannot(&error))?;
    if u64::try_from(bytes.len()).unwrap_or(u64::MAX) > limit.bytes() {
        return Err(too_large());
    }
    Ok(bytes)
}

/// The byte-order mark that some editors and spreadsheets write before a text.
const MARK: &[u8] = b"\xef\xbb\xbf";

/// What the system said, in words that say what to do where there are any.
pub(in super::super) fn plainly(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::NotFound => "there is no such file or folder; check the name".into(),
        io::ErrorKind::PermissionDenied => "permission denied; check its permissions".into(),
        io::ErrorKind::StorageFull => "the disk is full; make room and run it again".into(),
        _ => error.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use std::fs;

    use super::super::super::outcome::text_of;
    use super::*;

    #[test]
    fn refuses_to_read_what_is_not_text() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("layout.txt");
        fs::write(&path, b"fine\nnot \xff fine").unwrap();
        assert_eq!(
            text_of(read_text(&path).unwrap_err()),
            format!("`{}` is not UTF-8 text (line 2); save it as UTF-8", path.display())
        );
        fs::write(&path, b"\xff\xfeb\0a\0n\0k\0").unwrap();
        assert_eq!(
            text_of(read_text(&path).unwrap_err()),
            format!("`{}` is UTF-16 text; save it as UTF-8", path.display())
        );
    }

    #[test]
    fn a_byte_order_mark_is_not_part_of_the_text() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("midterm.yaml");
        fs::write(&path, "\u{feff}castmark: 1").unwrap();
        assert_eq!(read_text(&path).unwrap(), "castmark: 1");
    }

    #[test]
    fn no_more_than_the_limit_is_read() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("class.csv");
        fs::File::create(&path).unwrap().set_len(Limit::Table.bytes() + 1).unwrap();
        assert_eq!(
            text_of(read_bytes(&path, Limit::Table).unwrap_err()),
            format!("`{}` is larger than 64 MB; check that it is the right file", path.display())
        );
    }
}
