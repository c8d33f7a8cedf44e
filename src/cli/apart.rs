//! Pages of a layout of one's own, set in a process apart: whatever its markup does, it takes no more
//! than so much time and memory.
//!
//! The parent writes how long the font is that is beside those in the program, the font, and the markup;
//! the child answers with the file, or ends in 1 with what is wrong, the line of the markup and the piece
//! of it that this is about.

use std::io::{Read, Write};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};
use std::{env, io, thread};

use castmark::export::{MarkupProblem, OwnFont, typeset};
use clap::Args;

use super::outcome::{Failure, Outcome};
use super::terminal::Terminal;
use super::watch::megabytes;

/// How long the pages of one document may take.
const LONGEST: Duration = Duration::from_secs(10);

/// How much memory they may take, where the system tells it.
const MOST_MEGABYTES: u64 = 1_200;

/// How often the child is looked at.
const PAUSE: Duration = Duration::from_millis(5);

/// Set the markup of pages that comes from another castmark.
#[derive(Debug, Args)]
pub(super) struct Arguments {}

/// The child: sets what it reads.
pub(super) fn run(_: &Arguments, terminal: &mut Terminal) -> Result<Outcome, Failure> {
    let mut read = Vec::new();
    io::stdin().read_to_end(&mut read).map_err(|error| Failure::unusable(error.to_string()))?;
    let wrong = || Failure::unusable("expected markup from another castmark, found none");
    let (length, rest) = read.split_first_chunk::<8>().ok_or_else(wrong)?;
    let length = usize::try_from(u64::from_be_bytes(*length)).map_err(|_| wrong())?;
    let (font, markup) = rest.split_at_checked(length).ok_or_else(wrong)?;
    let font = (!font.is_empty()).then(|| OwnFont::read(font.to_vec())).flatten();
    let markup = std::str::from_utf8(markup).map_err(|_| wrong())?;
    match typeset(markup, font.as_ref()) {
        Ok(file) => {
            terminal.print_bytes(&file)?;
            Ok(Outcome::Done)
        }
        Err(MarkupProblem { what, line, piece }) => {
            terminal.print(format_args!("{what}\n{line}\n{piece}"))?;
            Ok(Outcome::Found)
        }
    }
}

/// Sets markup in a process apart.
///
/// # Errors
/// When the markup is not sound, or takes too long or too much memory.
pub(super) fn set(markup: &str, font: Option<&OwnFont>) -> Result<Vec<u8>, MarkupProblem> {
    let told = |what: String| MarkupProblem::of_all(&what);
    let font = font.map(OwnFont::file).unwrap_or_default();
    let program = env::current_exe();
    let child = program.and_then(|program| {
        let mut command = Command::new(program);
        command.arg("set-markup").stdin(Stdio::piped()).stdout(Stdio::piped());
        command.stderr(Stdio::null()).spawn()
    });
    let mut child =
        child.map_err(|error| told(format!("another castmark cannot be started: {error}")))?;
    let (input, output) = (child.stdin.take(), child.stdout.take());
    let (ended, file) = thread::scope(|scope| {
        scope.spawn(|| {
            let Some(mut input) = input else { return };
            let length = (font.len() as u64).to_be_bytes();
            // A child that ends early reads no further, which its end tells.
            let _ = [&length[..], font, markup.as_bytes()]
                .iter()
                .try_for_each(|it| input.write_all(it));
        });
        let reader = scope.spawn(|| {
            let mut file = Vec::new();
            let read = output.map(|mut output| output.read_to_end(&mut file));
            read.filter(Result::is_ok).map(|_| file)
        });
        let ended = watched(&mut child);
        (ended, reader.join().ok().flatten().unwrap_or_default())
    });
    match ended.map_err(told)? {
        Some(0) => Ok(file),
        Some(1) => {
            let told = String::from_utf8_lossy(&file).into_owned();
            let mut pieces = told.splitn(3, '\n').map(str::to_owned);
            Err(MarkupProblem {
                what: pieces.next().unwrap_or_default(),
                line: pieces.next().and_then(|line| line.parse().ok()).unwrap_or_default(),
                piece: pieces.next().unwrap_or_default(),
            })
        }
        _ => Err(told(too_much("memory"))),
    }
}

fn too_much(what: &str) -> String {
    let seconds = LONGEST.as_secs();
    format!(
        "they take more than {seconds} seconds or {MOST_MEGABYTES} MB ({what}); let the layout repeat less"
    )
}

/// Waits for the end of a child, and ends it when it takes too much; tells how it ended.
fn watched(child: &mut Child) -> Result<Option<i32>, String> {
    let begun = Instant::now();
    loop {
        if let Some(ended) = child.try_wait().map_err(|error| error.to_string())? {
            return Ok(ended.code());
        }
        let is_large = megabytes(Some(child.id())).is_some_and(|held| held > MOST_MEGABYTES);
        if is_large || begun.elapsed() > LONGEST {
            // It may have ended by itself in between.
            let _ = child.kill();
            child.wait().map_err(|error| error.to_string())?;
            return Err(too_much(if is_large { "memory" } else { "time" }));
        }
        thread::sleep(PAUSE);
    }
}
