//! What a run did to files, in order, from the record of its calls to the system.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// One thing done to a file or folder.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Step {
    /// A file was opened for writing, new where there was none of the name; emptied or not.
    Open {
        path: PathBuf,
        emptied: bool,
    },
    /// Bytes were written at the end of a file.
    Write(PathBuf, Vec<u8>),
    /// A file was cut to this length.
    Cut(PathBuf, usize),
    /// A file or folder was synced.
    Sync(PathBuf),
    MakeFolder(PathBuf),
    Rename(PathBuf, PathBuf),
    /// Two names changed places at one stroke.
    Exchange(PathBuf, PathBuf),
    /// A file got a second name.
    Link(PathBuf, PathBuf),
    Remove(PathBuf),
}

/// The calls that change files, or make changes last.
pub(super) const CALLS: &str = "openat,open,creat,write,writev,pwrite64,pwritev,sendfile,\
    copy_file_range,ftruncate,truncate,fallocate,fsync,fdatasync,sync,syncfs,rename,renameat,\
    renameat2,link,linkat,symlink,symlinkat,unlink,unlinkat,mkdir,mkdirat,rmdir";

/// The steps below a folder in the record of a run that was started in it.
///
/// # Panics
/// On a call that is not understood, so that none is passed over.
pub(super) fn steps(record: &str, folder: &Path) -> Vec<Step> {
    let mut begun: BTreeMap<&str, &str> = BTreeMap::new();
    let mut steps = Vec::new();
    for line in record.lines() {
        let (process, text) = line.split_once(' ').expect("a process before each call");
        let text = text.trim_start();
        if text.starts_with("+++") || text.starts_with("---") {
            continue;
        }
        let whole = if let Some(first) = text.strip_suffix(" <unfinished ...>") {
            begun.insert(process, first);
            continue;
        } else if let Some(rest) = text.strip_prefix("<... ") {
            let (_, rest) = rest.split_once(" resumed>").expect("the rest of a call");
            format!("{}{rest}", begun.remove(process).expect("the beginning of a call"))
        } else {
            text.to_owned()
        };
        steps.extend(step(&whole, folder));
    }
    steps
}

/// What one call did; nothing where it failed or is about something else.
fn step(call: &str, folder: &Path) -> Option<Step> {
    let (call, result) = call.rsplit_once(" = ").expect("a result");
    if result.starts_with('-') || result.starts_with('?') {
        return None;
    }
    let (name, arguments) = call.trim_end().split_once('(').expect("arguments");
    let arguments = arguments.strip_suffix(')').expect("an end of the arguments");
    let arguments: Vec<&str> = arguments.split(", ").collect();
    // A folder and a name in it, or a name alone, which is then below the folder of the run.
    let at = |place: usize| match text(arguments[place]) {
        Some(name) => folder.join(name),
        None => handle(arguments[place]).join(text(arguments[place + 1]).expect("a name")),
    };
    let found = match name {
        "open" | "openat" => {
            let flags = arguments[if name == "open" { 1 } else { 2 }];
            if !(flags.contains("O_WRONLY") || flags.contains("O_RDWR")) {
                return None;
            }
            Step::Open { path: at(0), emptied: flags.contains("O_TRUNC") }
        }
        "write" => Step::Write(handle(arguments[0]), bytes(arguments[1])),
        "ftruncate" => Step::Cut(handle(arguments[0]), arguments[1].parse().unwrap()),
        "fsync" | "fdatasync" => Step::Sync(handle(arguments[0])),
        "mkdir" | "mkdirat" => Step::MakeFolder(at(0)),
        "rename" => Step::Rename(at(0), at(1)),
        "renameat" => Step::Rename(at(0), at(2)),
        "renameat2" if arguments[4] == "RENAME_EXCHANGE" => Step::Exchange(at(0), at(2)),
        "renameat2" if arguments[4] == "0" => Step::Rename(at(0), at(2)),
        "link" => Step::Link(at(0), at(1)),
        "linkat" => Step::Link(at(0), at(2)),
        "unlink" | "rmdir" | "unlinkat" => Step::Remove(at(0)),
        other => panic!("`{other}` is not understood: {call}"),
    };
    let path = match &found {
        Step::Open { path, .. }
        | Step::Write(path, _)
        | Step::Cut(path, _)
        | Step::Sync(path)
        | Step::MakeFolder(path)
        | Step::Rename(path, _)
        | Step::Exchange(path, _)
        | Step::Link(path, _)
        | Step::Remove(path) => path,
    };
    path.starts_with(folder).then_some(found)
}

/// The path that an open file or folder had at the time: `5<\x2f\x74>`.
fn handle(argument: &str) -> PathBuf {
    let (_, path) = argument.split_once('<').expect("a path of an open file");
    let path = path.strip_suffix('>').expect("an end of the path");
    PathBuf::from(String::from_utf8(escaped(path)).unwrap())
}

/// A text in quotation marks.
fn text(argument: &str) -> Option<String> {
    argument.starts_with('"').then(|| String::from_utf8(bytes(argument)).unwrap())
}

fn bytes(argument: &str) -> Vec<u8> {
    let inner = argument.strip_prefix('"').and_then(|it| it.strip_suffix('"'));
    escaped(inner.unwrap_or_else(|| panic!("the record does not hold all bytes: {argument}")))
}

/// Bytes of which each is written `\x2f`; what is not is a sign of the recorder's own.
fn escaped(text: &str) -> Vec<u8> {
    let byte = |it: &str| u8::from_str_radix(it, 16).unwrap_or_else(|_| panic!("{text}"));
    if text.contains("\\x") || text.is_empty() {
        text.split("\\x").skip(1).map(byte).collect()
    } else {
        // `pipe:[123]` and the like.
        text.as_bytes().to_vec()
    }
}
