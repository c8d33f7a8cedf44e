//! Where a command prints.

use std::env;
use std::fmt;
use std::io::{self, BufWriter, IsTerminal, Write};

use castmark::words::{is_hidden, printable};

use terminal_size::terminal_size_of;

use super::outcome::Failure;

/// The width when nothing tells it.
const USUAL_WIDTH: usize = 80;

/// Text gets hard to read beyond this, however wide the window.
const WIDEST: usize = 100;

/// Narrower than this nothing can be set.
const NARROWEST: usize = 30;

/// Standard output and standard error, and what is known of who reads them.
pub(super) struct Terminal {
    out: Box<dyn Write>,
    err: Box<dyn Write>,
    width: usize,
    screen: Screen,
    live: bool,
    progress: bool,
    /// How many lines were printed.
    lines: usize,
}

/// What standard output goes to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Screen {
    /// A file or another program.
    None,
    /// A screen that is to show no colours.
    Plain,
    /// A screen with colours.
    Coloured,
}

/// What a piece of text is, for a terminal with colours. The words say it too.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Tone {
    /// A heading.
    Heading,
    /// Something right.
    Good,
    /// Something partly right, or to be looked at.
    Middling,
    /// Something wrong.
    Bad,
}

/// Wrapping to a width. Words with hyphens stay whole, so that the name of a template can be copied.
pub(super) fn wrapping<'a>(width: usize) -> textwrap::Options<'a> {
    textwrap::Options::new(width).word_splitter(textwrap::WordSplitter::NoHyphenation)
}

impl fmt::Debug for Terminal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Terminal")
            .field("width", &self.width)
            .field("screen", &self.screen)
            .finish_non_exhaustive()
    }
}

impl Terminal {
    /// The terminal or the pipes this process was started with.
    ///
    /// Colours are for a terminal only, and for none that has `NO_COLOR` set or calls itself dumb.
    pub(super) fn of_this_process() -> Self {
        let out = io::stdout();
        let is_terminal = out.is_terminal();
        let plain = env::var_os("NO_COLOR").is_some_and(|value| !value.is_empty())
            || env::var_os("TERM").is_some_and(|term| term == "dumb");
        let told = || env::var("COLUMNS").ok().and_then(|columns| columns.parse().ok());
        let width = terminal_size_of(&out)
            .map(|(width, _)| usize::from(width.0))
            .or_else(told)
            .unwrap_or(USUAL_WIDTH);
        Self {
            width: width.clamp(NARROWEST, WIDEST),
            screen: match (is_terminal, plain) {
                (false, _) => Screen::None,
                (true, true) => Screen::Plain,
                (true, false) => Screen::Coloured,
            },
            live: io::stderr().is_terminal(),
            progress: false,
            lines: 0,
            out: Box::new(BufWriter::new(out.lock())),
            err: Box::new(io::stderr()),
        }
    }

    /// How many letters fit on a line.
    pub(super) fn width(&self) -> usize {
        self.width
    }

    /// Whether what is printed goes to a screen, and not into a file or another program.
    pub(super) fn on_a_screen(&self) -> bool {
        self.screen != Screen::None
    }

    /// Whether colours are wanted.
    pub(super) fn colour(&self) -> bool {
        self.screen == Screen::Coloured
    }

    /// How many lines were printed.
    #[cfg(feature = "record")]
    pub(super) fn lines(&self) -> usize {
        self.lines
    }

    /// How many lines the screen has; `None` without a screen.
    #[cfg(feature = "record")]
    pub(super) fn rows(&self) -> Option<usize> {
        let size = terminal_size_of(io::stdout());
        size.map(|(_, height)| usize::from(height.0)).filter(|_| self.on_a_screen())
    }

    /// Takes the width of the screen again, since its window may have changed.
    #[cfg(feature = "record")]
    pub(super) fn measure(&mut self) {
        if let Some((width, _)) = terminal_size_of(io::stdout()) {
            self.width = usize::from(width.0).clamp(NARROWEST, WIDEST);
        }
    }

    /// Prints text with its lines; what could move the cursor or reverse letters is left out, since
    /// titles and names come from files of others.
    pub(super) fn print(&mut self, text: impl fmt::Display) -> io::Result<()> {
        let text = harmless(&text.to_string(), self.colour());
        self.lines += text.matches('\n').count();
        self.out.write_all(text.as_bytes())
    }

    /// Prints the bytes of a finished document; on a screen, what it holds of others' texts moves nothing.
    pub(super) fn print_bytes(&mut self, bytes: &[u8]) -> io::Result<()> {
        match std::str::from_utf8(bytes) {
            Ok(text) if self.on_a_screen() => self.print(text),
            _ => self.out.write_all(bytes),
        }
    }

    /// Prints a paragraph, wrapped to the width, with all lines moved in by so many blanks.
    pub(super) fn paragraph(&mut self, indent: usize, text: &str) -> io::Result<()> {
        // What was typed may come back in the text: nothing of it may move the cursor.
        let text = printable(text);
        let blanks = " ".repeat(indent);
        let options = wrapping(self.width).initial_indent(&blanks).subsequent_indent(&blanks);
        self.print(format_args!("{}\n", textwrap::fill(&text, options)))
    }

    /// Prints a heading, wrapped to the width.
    #[cfg(feature = "record")]
    pub(super) fn heading(&mut self, text: &str) -> io::Result<()> {
        self.toned_paragraph(Tone::Heading, text, text.len())
    }

    /// Prints a paragraph, wrapped to the width, whose beginning has a tone.
    #[cfg(feature = "record")]
    pub(super) fn toned_paragraph(&mut self, tone: Tone, text: &str, end: usize) -> io::Result<()> {
        let text = printable(text);
        let filled = textwrap::fill(&text, wrapping(self.width));
        // Wrapping changes blanks into ends of lines, one for one, so places stay.
        let (begin, rest) = filled.split_at_checked(end).unwrap_or((&filled, ""));
        let begin = self.toned(tone, begin);
        self.print(format_args!("{begin}{rest}\n"))
    }

    /// Ends a line, or leaves one empty.
    pub(super) fn end_line(&mut self) -> io::Result<()> {
        self.print("\n")
    }

    /// The text in the colour of its tone, where there are colours.
    pub(super) fn toned(&self, tone: Tone, text: &str) -> String {
        if !self.colour() {
            return text.to_owned();
        }
        let code = match tone {
            Tone::Heading => "1",
            Tone::Good => "32",
            Tone::Middling => "33",
            Tone::Bad => "31",
        };
        format!("\u{1b}[{code}m{text}\u{1b}[0m")
    }

    /// Tells something beside the output, on standard error.
    pub(super) fn note(&mut self, text: impl fmt::Display) {
        self.clear_progress();
        // Nobody is left to tell when standard error cannot be written.
        let text = harmless(&text.to_string(), self.colour());
        let _ = writeln!(self.err, "castmark: {text}");
    }

    /// Tells how far the work has got; only a person at a terminal sees it.
    pub(super) fn progress(&mut self, text: impl fmt::Display) {
        if self.live {
            self.progress = true;
            let _ = write!(self.err, "\r\u{1b}[K{text}");
            let _ = self.err.flush();
        }
    }

    /// Wipes the line of progress away.
    pub(super) fn clear_progress(&mut self) {
        if self.progress {
            self.progress = false;
            let _ = write!(self.err, "\r\u{1b}[K");
            let _ = self.err.flush();
        }
    }

    /// Writes out what is still held back.
    pub(super) fn finish(&mut self) -> io::Result<()> {
        self.clear_progress();
        self.out.flush()
    }

    /// Says once what went wrong, after whatever was already printed.
    pub(super) fn complain(&mut self, failure: &Failure) {
        if let Failure::Unusable(text) = failure {
            let _ = self.out.flush();
            self.note(text);
        }
    }
}

/// The text without hidden characters, but for line ends, tabs and, where there are colours, codes
/// that only change the colour.
fn harmless(text: &str, colour: bool) -> String {
    let mut clean = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(letter) = rest.chars().next() {
        let code = if colour { colour_code(rest) } else { "" };
        if !code.is_empty() {
            clean.push_str(code);
            rest = &rest[code.len()..];
            continue;
        }
        if matches!(letter, '\n' | '\t') || !is_hidden(letter) {
            clean.push(letter);
        }
        rest = &rest[letter.len_utf8()..];
    }
    clean
}

/// The code at the beginning of a text that changes the colour, or nothing. A code that hides letters
/// (8), or sets them on another ground (7, 40 to 49, 100 to 107), is none.
fn colour_code(text: &str) -> &str {
    let Some((codes, _)) = text.strip_prefix("\u{1b}[").and_then(|rest| rest.split_once('m'))
    else {
        return "";
    };
    let mut codes_of_it = codes.split(';');
    // `38;5;9` is the ninth of many colours.
    let is_colour = codes_of_it.all(|code| {
        matches!(code, "" | "0" | "1" | "2" | "3" | "4" | "5" | "22" | "39")
            || code.parse::<u8>().is_ok_and(|code| matches!(code, 9..=15 | 30..=38 | 90..=97))
    });
    if is_colour { &text[..codes.len() + 3] } else { "" }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_from_a_file_moves_the_cursor_or_reverses_letters() {
        let nasty = "a\u{1b}[31mb\u{7}\u{202e}c\u{1b}]0;title\u{7}\td\n";
        assert_eq!(harmless(nasty, false), "a[31mbc]0;title\td\n");
        assert_eq!(harmless(nasty, true), "a\u{1b}[31mbc]0;title\td\n");
        assert_eq!(harmless("\u{1b}[1;38;5;9mx\u{1b}[0m", true), "\u{1b}[1;38;5;9mx\u{1b}[0m");
        assert_eq!(harmless("\u{1b}[8mx\u{1b}[30;40my", true), "[8mx[30;40my");
    }
}
