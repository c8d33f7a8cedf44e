//! Where a command prints.

use std::env;
use std::fmt;
use std::io::{self, BufWriter, IsTerminal, Write};

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

    /// Prints text as it is.
    pub(super) fn print(&mut self, text: impl fmt::Display) -> io::Result<()> {
        let text = text.to_string();
        self.lines += text.matches('\n').count();
        self.out.write_all(text.as_bytes())
    }

    /// Prints the bytes of a finished document.
    pub(super) fn print_bytes(&mut self, bytes: &[u8]) -> io::Result<()> {
        self.out.write_all(bytes)
    }

    /// Prints a paragraph, wrapped to the width, with all lines moved in by so many blanks.
    pub(super) fn paragraph(&mut self, indent: usize, text: &str) -> io::Result<()> {
        // What was typed may come back in the text: nothing of it may move the cursor.
        let text: String = text.chars().filter(|letter| !letter.is_control()).collect();
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
        let text: String = text.chars().filter(|letter| !letter.is_control()).collect();
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
