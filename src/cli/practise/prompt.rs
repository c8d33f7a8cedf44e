//! Where the student's lines come from: a line editor on a screen, or a pipe.

use std::io::{self, BufRead, IsTerminal, Read};

use rustyline::completion::Completer;
use rustyline::error::ReadlineError;
use rustyline::highlight::Highlighter;
use rustyline::hint::Hinter;
use rustyline::history::DefaultHistory;
use rustyline::validate::Validator;
use rustyline::{Context, Editor, Helper};

use super::words::WORDS;
use crate::cli::outcome::Failure;
use crate::cli::terminal::Terminal;

/// A longer line is cut; nobody types so much.
const LONGEST: u64 = 16 * 1024;

const PROMPT: &str = "> ";

/// Where the student's lines come from.
pub(super) enum Prompt {
    /// A person at a screen: a line can be edited, earlier lines come back, and words are completed.
    Editor(Box<Editor<Completion, DefaultHistory>>),
    /// A pipe or a file. Nothing shows what was typed, so it is printed behind the prompt.
    Lines(io::StdinLock<'static>),
}

impl Prompt {
    /// The terminal or pipe this process reads from.
    pub(super) fn of_this_process(terminal: &Terminal) -> Self {
        let input = io::stdin();
        if input.is_terminal() && terminal.on_a_screen() {
            if let Ok(mut editor) = Editor::new() {
                editor.set_helper(Some(Completion));
                return Self::Editor(Box::new(editor));
            }
        }
        Self::Lines(input.lock())
    }

    /// Prints the prompt and reads a line; `None` when there are no more, or the student presses
    /// Ctrl-C or Ctrl-D.
    ///
    /// # Errors
    /// When nothing can be read or printed.
    pub(super) fn ask(&mut self, terminal: &mut Terminal) -> Result<Option<String>, Failure> {
        let line = match self {
            Self::Editor(editor) => {
                terminal.finish()?;
                match editor.readline(PROMPT) {
                    Ok(line) => line,
                    Err(ReadlineError::Eof | ReadlineError::Interrupted) => return Ok(None),
                    Err(error) => return Err(unreadable(&error)),
                }
            }
            Self::Lines(input) => {
                terminal.print(PROMPT)?;
                terminal.finish()?;
                let mut bytes = Vec::new();
                let read = input.take(LONGEST).read_until(b'\n', &mut bytes);
                read.map_err(|error| unreadable(&error))?;
                if bytes.is_empty() {
                    terminal.end_line()?;
                    return Ok(None);
                }
                String::from_utf8_lossy(&bytes).into_owned()
            }
        };
        let text = castmark::words::printable(&line);
        let text = text.trim().to_owned();
        match self {
            Self::Editor(editor) => {
                // A line that cannot be kept in the history was read all the same.
                let _ = editor.add_history_entry(&text);
            }
            Self::Lines(_) => terminal.print(format_args!("{text}\n"))?,
        }
        Ok(Some(text))
    }
}

fn unreadable(error: &dyn std::fmt::Display) -> Failure {
    Failure::unusable(format!("the answer could not be read: {error}"))
}

/// Completes the words at the beginning of a line.
pub(super) struct Completion;

impl Helper for Completion {}
impl Highlighter for Completion {}
impl Validator for Completion {}

impl Hinter for Completion {
    type Hint = String;
}

impl Completer for Completion {
    type Candidate = String;

    fn complete(
        &self,
        line: &str,
        index: usize,
        _: &Context<'_>,
    ) -> rustyline::Result<(usize, Vec<String>)> {
        let typed = line.get(..index).unwrap_or_default().to_lowercase();
        let begins = |name: &&str| !typed.is_empty() && name.starts_with(&typed);
        let words = WORDS.iter().map(|(name, _)| *name);
        Ok((0, words.filter(begins).map(str::to_owned).collect()))
    }
}
