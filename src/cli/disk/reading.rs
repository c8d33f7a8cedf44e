//! Reading files.

use std::fs::File;
use std::io::{self, BufRead, BufReader, Cursor, Read};
use std::path::Path;

use castmark::bank::SourceText;

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

/// Reads a text file as [`read_text`] does, with its path, as messages show it.
///
/// # Errors
/// As for the text.
pub(in super::super) fn read_source(path: &Path) -> Result<SourceText, Failure> {
    Ok(SourceText::new(path.display().to_string(), read_text(path)?))
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
    let mut file = Bounded::open(path, limit)?;
    let mut bytes = Vec::new();
    file.read_to_end(&mut bytes).map_err(|error| file.failure(&error))?;
    Ok(bytes)
}

/// Reads a file of a whole class with a reader that takes it bit by bit.
///
/// # Errors
/// When it cannot be opened or read, or is larger than any class.
pub(in super::super) fn read_from<R>(
    path: &Path,
    read: impl FnOnce(&mut dyn BufRead) -> io::Result<R>,
) -> Result<R, Failure> {
    let mut source = BufReader::new(Bounded::open(path, Limit::Class)?);
    read(&mut source).map_err(|error| source.get_ref().failure(&error))
}

/// Reads what the program itself has written for a whole class, line by line, since a large class has
/// more than can be held; `name` is what the file is called in messages.
///
/// # Errors
/// When it cannot be opened or read, is larger than any class, or is not text in UTF-8.
pub(in super::super) fn read_lines<R>(
    path: &Path,
    name: &str,
    read: impl FnOnce(&mut dyn Iterator<Item = String>) -> R,
) -> Result<R, Failure> {
    let mut lines = BufReader::new(Bounded::open(path, Limit::Class)?);
    let mut stopped = None;
    let result = read(&mut lines.by_ref().lines().map_while(|line| match line {
        Ok(line) => Some(line),
        Err(error) => {
            stopped = Some(error);
            None
        }
    }));
    match stopped {
        None => Ok(result),
        Some(error) if error.kind() == io::ErrorKind::InvalidData => {
            let shown = path.display();
            Err(Failure::unusable(format!(
                "`{shown}` is not UTF-8 text; give {name} as castmark wrote it"
            )))
        }
        Some(error) => Err(lines.get_ref().failure(&error)),
    }
}

/// A file that is read up to a limit, and fails where it goes on behind it.
struct Bounded<'p> {
    path: &'p Path,
    limit: Limit,
    file: io::Chain<Cursor<Vec<u8>>, File>,
    /// How much of the limit has not been read yet.
    left: u64,
}

impl<'p> Bounded<'p> {
    /// Opens a file.
    ///
    /// # Errors
    /// When it cannot be opened, or is larger than the limit.
    fn open(path: &'p Path, limit: Limit) -> Result<Self, Failure> {
        let unread = |error: io::Error| cannot(path, limit, &error);
        let (begun, file) = pipe::open(path).map_err(unread)?;
        let metadata = file.metadata().map_err(unread)?;
        if metadata.is_dir() {
            let shown = path.display();
            return Err(Failure::unusable(format!("`{shown}` is a folder; give a file")));
        }
        // What is no file has no size that could be looked at first.
        let limit = if metadata.is_file() || limit == Limit::Text { limit } else { Limit::Table };
        if metadata.len() > limit.bytes() {
            return Err(cannot(path, limit, &io::ErrorKind::FileTooLarge.into()));
        }
        Ok(Self { path, limit, file: Cursor::new(begun).chain(file), left: limit.bytes() })
    }

    /// What is told of an error in reading it.
    fn failure(&self, error: &io::Error) -> Failure {
        cannot(self.path, self.limit, error)
    }
}

impl Read for Bounded<'_> {
    fn read(&mut self, bytes: &mut [u8]) -> io::Result<usize> {
        let read = self.file.read(bytes)?;
        let left = u64::try_from(read).ok().and_then(|read| self.left.checked_sub(read));
        self.left = left.ok_or(io::ErrorKind::FileTooLarge)?;
        Ok(read)
    }
}

/// Says that a file cannot be read.
fn cannot(path: &Path, limit: Limit, error: &io::Error) -> Failure {
    let shown = path.display();
    Failure::unusable(if error.kind() == io::ErrorKind::FileTooLarge {
        let megabytes = limit.bytes() / 1024 / 1024;
        format!("`{shown}` is larger than {megabytes} MB; check that it is the right file")
    } else {
        format!("`{shown}` cannot be read: {}", plainly(error))
    })
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
    fn lines_are_read_up_to_one_that_is_no_text() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("marks.jsonl");
        let read = || read_lines(&path, "marks.jsonl", |lines| lines.collect::<Vec<String>>());
        fs::write(&path, "one\r\ntwo\n\nfour").unwrap();
        assert_eq!(read().unwrap(), ["one", "two", "", "four"]);
        fs::write(&path, b"one\n\xff\n").unwrap();
        assert_eq!(
            text_of(read().unwrap_err()),
            format!(
                "`{}` is not UTF-8 text; give marks.jsonl as castmark wrote it",
                path.display()
            )
        );
    }

    #[test]
    fn what_grows_while_it_is_read_is_read_up_to_the_limit() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("class.csv");
        fs::write(&path, "candidate\n").unwrap();
        let mut file = Bounded::open(&path, Limit::Text).unwrap();
        file.left = 9;
        let error = file.read_to_end(&mut Vec::new()).unwrap_err();
        assert_eq!(
            text_of(file.failure(&error)),
            format!("`{}` is larger than 4 MB; check that it is the right file", path.display())
        );
    }

    #[test]
    fn no_more_than_the_limit_is_read() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("class.csv");
        File::create(&path).unwrap().set_len(Limit::Table.bytes() + 1).unwrap();
        assert_eq!(
            text_of(read_bytes(&path, Limit::Table).unwrap_err()),
            format!("`{}` is larger than 64 MB; check that it is the right file", path.display())
        );
    }
}
