//! `practise --report`: how far the student is.

use castmark::export::CAUTION;
use castmark::practice::{MEANING, Overview, Readiness, TopicRow, day_text};

use crate::cli::outcome::Failure;
use crate::cli::table::{Side, Table};
use crate::cli::terminal::Terminal;

/// How many of the last days of practice are listed.
const DAYS: usize = 7;

/// Prints the overview.
///
/// # Errors
/// When nothing can be printed.
pub(super) fn print(overview: &Overview, terminal: &mut Terminal) -> Result<(), Failure> {
    for sentence in overview.summary() {
        terminal.paragraph(0, &sentence)?;
    }
    heading(terminal, "By objective")?;
    let wide = terminal.width() >= 60;
    for row in &overview.objectives {
        terminal.paragraph(0, &row.words())?;
        if wide {
            let bar = bar([row.ready, row.shaky, row.not_yet]);
            terminal.paragraph(INDENT, &bar)?;
        }
    }
    if wide {
        terminal.paragraph(0, "#: ready. /: shaky. Dot: not yet.")?;
    }
    days(overview, terminal)?;
    heading(terminal, "Due for review today")?;
    list(terminal, overview.due().map(|row| row.title.clone()), "Nothing is due.")?;
    heading(terminal, "Your commonest slips")?;
    let slips = overview.slips.iter().map(castmark::practice::SlipRow::words);
    list(terminal, slips, "No known slip was found in your answers.")?;
    for readiness in [Readiness::Ready, Readiness::Shaky, Readiness::NotYet] {
        let name = readiness.name();
        heading(terminal, &format!("Topics: {name}"))?;
        let here = overview.topics.iter().filter(|row| row.readiness == readiness);
        list(terminal, here.map(shortly), "None.")?;
    }
    terminal.end_line()?;
    terminal.paragraph(0, MEANING)?;
    terminal.end_line()?;
    Ok(terminal.paragraph(0, CAUTION)?)
}

/// How far lists are moved in.
const INDENT: usize = 2;

/// One letter a topic: `##//....`.
fn bar(shares: [usize; 3]) -> String {
    ["#", "/", "."].iter().zip(shares).map(|(letter, count)| letter.repeat(count)).collect()
}

/// What was done on the last days, the newest last.
fn days(overview: &Overview, terminal: &mut Terminal) -> Result<(), Failure> {
    if overview.days.is_empty() {
        return Ok(());
    }
    heading(terminal, "The last days of practice")?;
    let mut table = Table::new(&[
        ("day", Side::Left),
        ("problems", Side::Right),
        ("correct", Side::Right),
        ("known", Side::Right),
    ]);
    let first = overview.days.len().saturating_sub(DAYS);
    for row in overview.days.iter().skip(first) {
        table.row([
            day_text(row.day),
            row.problems.to_string(),
            format!("{}/{}", row.correct, row.answers),
            row.known.to_string(),
        ]);
    }
    Ok(terminal.print(table.set(terminal.width()))?)
}

/// The line of a topic without the word for its readiness, under which it is listed.
fn shortly(row: &TopicRow) -> String {
    row.words().replacen(&format!(": {}", row.readiness.name()), "", 1)
}

fn heading(terminal: &mut Terminal, text: &str) -> Result<(), Failure> {
    terminal.end_line()?;
    Ok(terminal.heading(text)?)
}

fn list(
    terminal: &mut Terminal,
    items: impl Iterator<Item = String>,
    nothing: &str,
) -> Result<(), Failure> {
    let mut none = true;
    for item in items {
        none = false;
        terminal.paragraph(INDENT, &item)?;
    }
    if none {
        terminal.paragraph(INDENT, nothing)?;
    }
    Ok(())
}
