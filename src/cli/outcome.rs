//! What a command can end in.

use std::fmt;
use std::io;
use std::process::ExitCode;

/// How a command that ran to its end went.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Outcome {
    /// All is well.
    Done,
    /// It did its work, and what it looked into is wrong: an answer, a template.
    Found,
    /// An answer could not be read, so it was not marked.
    Unread,
}

impl Outcome {
    /// 0, 1 or 2.
    pub(super) fn exit_code(self) -> ExitCode {
        match self {
            Self::Done => ExitCode::SUCCESS,
            Self::Found => ExitCode::from(1),
            Self::Unread => ExitCode::from(2),
        }
    }
}

/// Why a command could not do its work.
#[derive(Debug)]
pub(super) enum Failure {
    /// What was asked for makes no sense, or a file cannot be read or written. The text is one or
    /// more lines, lower case, and says what to do.
    Unusable(String),
    /// Whoever was reading has stopped reading, which is no fault: `castmark bank list | head`.
    NobodyReads,
}

impl Failure {
    /// A failure with this text.
    pub(super) fn unusable(text: impl fmt::Display) -> Self {
        Self::Unusable(text.to_string())
    }

    /// 2, or 0 when nobody reads.
    pub(super) fn exit_code(&self) -> ExitCode {
        match self {
            Self::Unusable(_) => ExitCode::from(2),
            Self::NobodyReads => ExitCode::SUCCESS,
        }
    }
}

impl From<io::Error> for Failure {
    /// For writing to the terminal or a pipe; files have messages of their own.
    fn from(error: io::Error) -> Self {
        if error.kind() == io::ErrorKind::BrokenPipe {
            return Self::NobodyReads;
        }
        Self::Unusable(format!("the output could not be written: {error}"))
    }
}

/// The text of a failure, for tests.
#[cfg(test)]
pub(super) fn text_of(failure: Failure) -> String {
    match failure {
        Failure::Unusable(text) => text,
        Failure::NobodyReads => String::new(),
    }
}
