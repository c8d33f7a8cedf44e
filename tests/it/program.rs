//! The program as the tests run it: with an empty environment and nothing to read, so that no test
//! changes with the machine.

use std::ffi::OsStr;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

use tempfile::TempDir;

/// The program with these arguments, in the folder of the project.
pub(crate) fn castmark<S: AsRef<OsStr>>(arguments: impl IntoIterator<Item = S>) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_castmark"));
    command
        .args(arguments)
        .env_clear()
        .env("NO_COLOR", "1")
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .stdin(Stdio::null());
    command
}

/// What a run did.
#[derive(Debug)]
#[must_use]
pub(crate) struct Ran {
    /// The exit code; -1 where the run was killed.
    pub code: i32,
    /// What it printed.
    pub out: String,
    /// What it said on standard error.
    pub err: String,
}

impl Ran {
    /// Runs the command to its end.
    pub(crate) fn of(command: &mut Command) -> Self {
        command.output().unwrap().into()
    }

    /// Code 0.
    #[track_caller]
    pub(crate) fn done(self) -> Self {
        assert_eq!(self.code, 0, "{self:?}");
        self
    }

    /// Code 2, and nothing printed; what was said.
    #[track_caller]
    pub(crate) fn refused(self) -> String {
        assert_eq!((self.code, self.out.as_str()), (2, ""), "{self:?}");
        self.err
    }

    /// Code 0, nothing said, and this printed.
    #[track_caller]
    pub(crate) fn check_printed(&self, out: &str) {
        assert_eq!((self.code, self.err.as_str(), self.out.as_str()), (0, "", out));
    }

    /// Code 2, nothing printed, and this message said.
    #[track_caller]
    pub(crate) fn check_refused(&self, message: &str) {
        let said = format!("castmark: {message}\n");
        assert_eq!((self.code, self.out.as_str(), self.err.as_str()), (2, "", said.as_str()));
    }
}

impl From<Output> for Ran {
    fn from(output: Output) -> Self {
        Self {
            code: output.status.code().unwrap_or(-1),
            out: String::from_utf8(output.stdout).unwrap(),
            err: String::from_utf8(output.stderr).unwrap(),
        }
    }
}

/// A folder in which the program is run.
pub(crate) struct Folder(TempDir);

impl Folder {
    pub(crate) fn new() -> Self {
        Self(tempfile::tempdir().unwrap())
    }

    /// A folder with these files in it.
    pub(crate) fn with(files: &[(&str, &str)]) -> Self {
        let folder = Self::new();
        for (name, text) in files {
            folder.put(name, text);
        }
        folder
    }

    /// The folder itself.
    pub(crate) fn root(&self) -> &Path {
        self.0.path()
    }

    /// The path of a file in it.
    pub(crate) fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }

    pub(crate) fn put(&self, name: &str, text: &str) {
        fs::write(self.path(name), text).unwrap();
    }

    pub(crate) fn read(&self, name: &str) -> String {
        fs::read_to_string(self.path(name)).unwrap_or_else(|error| panic!("{name}: {error}"))
    }

    /// The program with arguments that have no blanks in them, in the folder.
    pub(crate) fn command(&self, arguments: &str) -> Command {
        let mut command = castmark(arguments.split_whitespace());
        command.current_dir(self.0.path());
        command
    }

    pub(crate) fn run(&self, arguments: &str) -> Ran {
        Ran::of(&mut self.command(arguments))
    }

    /// What was said by a run that did what was asked.
    #[track_caller]
    pub(crate) fn done(&self, arguments: &str) -> String {
        self.run(arguments).done().err
    }

    /// What was printed by a run that did what was asked.
    #[track_caller]
    pub(crate) fn printed(&self, arguments: &str) -> String {
        self.run(arguments).done().out
    }

    /// What was said by a run that was refused.
    #[track_caller]
    pub(crate) fn refused(&self, arguments: &str) -> String {
        self.run(arguments).refused()
    }
}

/// Every file below a folder, by its path within it.
pub(crate) fn files(folder: &Path) -> Vec<(String, Vec<u8>)> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        if path.is_dir() {
            let inner = files(&path).into_iter();
            found.extend(inner.map(|(inner, bytes)| (format!("{name}/{inner}"), bytes)));
        } else {
            found.push((name, fs::read(&path).unwrap()));
        }
    }
    found.sort();
    found
}
