//! What is typed at the prompt.

use std::io::{self, BufRead, IsTerminal, Read};

use crate::cli::outcome::Failure;
use crate::cli::terminal::Terminal;

/// A longer line is cut; nobody types so much.
const LONGEST: u64 = 16 * 1024;

/// Where the student's lines come from.
#[derive(Debug)]
pub(super) struct Prompt {
    input: io::StdinLock<'static>,
    echo: bool,
}

/// What a line says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Said {
    /// Nothing: the line is empty.
    Nothing,
    /// One of the words that ask for something.
    Word(Word),
    /// An answer.
    Answer(String),
    /// There are no more lines.
    End,
}

/// A word that asks for something.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Word {
    /// The next step of the working.
    Hint,
    /// The worked solution.
    Show,
    /// New numbers of the same kind.
    Again,
    /// The next question.
    Next,
    /// Another problem.
    Skip,
    /// The end.
    Stop,
    /// What can be typed.
    Help,
}

impl Word {
    /// Every word, with what it does.
    pub(super) const ALL: [(Self, &'static str, &'static str); 7] = [
        (Self::Hint, "hint", "the next step of the working; ask again for its numbers"),
        (Self::Show, "show", "the worked solution; the problem counts as not solved"),
        (Self::Again, "again", "the same kind of problem with new numbers"),
        (Self::Next, "next", "leave this question and go to the next one"),
        (Self::Skip, "skip", "leave this problem and go to another"),
        (Self::Stop, "stop", "stop here; you can go on another day"),
        (Self::Help, "help", "these words"),
    ];

    fn of(text: &str) -> Option<Self> {
        let same = |(_, name, _): &&(Self, &str, &str)| text.eq_ignore_ascii_case(name);
        Self::ALL.iter().find(same).map(|(word, ..)| *word)
    }
}

impl Prompt {
    /// The terminal or pipe this process reads from.
    pub(super) fn of_this_process() -> Self {
        let input = io::stdin();
        // From a pipe nothing shows what was typed, so it is printed behind the prompt.
        Self { echo: !input.is_terminal(), input: input.lock() }
    }

    /// Prints the prompt and reads a line.
    ///
    /// # Errors
    /// When nothing can be read or printed.
    pub(super) fn ask(&mut self, terminal: &mut Terminal) -> Result<Said, Failure> {
        terminal.print("> ")?;
        terminal.finish()?;
        let mut bytes = Vec::new();
        (&mut self.input)
            .take(LONGEST)
            .read_until(b'\n', &mut bytes)
            .map_err(|error| Failure::unusable(format!("the answer could not be read: {error}")))?;
        if bytes.is_empty() {
            terminal.end_line()?;
            return Ok(Said::End);
        }
        let text = String::from_utf8_lossy(&bytes);
        let text: String = text.chars().filter(|letter| !letter.is_control()).collect();
        let text = text.trim();
        if self.echo {
            terminal.print(format_args!("{text}\n"))?;
        }
        Ok(read(text))
    }
}

/// What a line says. After an equals sign everything is an answer, even one of the words.
fn read(text: &str) -> Said {
    if let Some(answer) = text.strip_prefix('=') {
        return Said::Answer(answer.trim().to_owned());
    }
    match Word::of(text) {
        Some(word) => Said::Word(word),
        None if text.is_empty() => Said::Nothing,
        None => Said::Answer(text.to_owned()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_told_from_answers() {
        assert_eq!(read("Hint"), Said::Word(Word::Hint));
        assert_eq!(read("13.9 g"), Said::Answer("13.9 g".to_owned()));
        assert_eq!(read("= stop"), Said::Answer("stop".to_owned()));
        assert_eq!(read(""), Said::Nothing);
    }
}
