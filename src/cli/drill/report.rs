//! `drill --report`: how far the student is.

use castmark::export::{CAUTION, progress_page};
use castmark::practice::Overview;

use crate::cli::files::Target;
use crate::cli::outcome::Failure;
use crate::cli::table::{Side, Table};
use crate::cli::terminal::{Terminal, Tone};

use super::next::subject_words;

/// Prints the overview as tables.
///
/// # Errors
/// When nothing can be printed.
pub(super) fn print(overview: &Overview, terminal: &mut Terminal) -> Result<(), Failure> {
    let mut objectives = Table::new(&[
        ("objective", Side::Left),
        ("known", Side::Right),
        ("begun", Side::Right),
        ("new", Side::Right),
        ("answers", Side::Right),
        ("right", Side::Right),
    ]);
    for row in &overview.objectives {
        objectives.row([
            row.objective.name().replace('-', " "),
            row.known.to_string(),
            row.begun.to_string(),
            row.new.to_string(),
            row.answers.to_string(),
            row.right.to_string(),
        ]);
    }
    let heading = terminal.toned(Tone::Heading, "Subjects by objective");
    terminal.print(format_args!("{heading}\n\n{}", objectives.set(terminal.width())))?;
    if overview.subjects.is_empty() {
        return Ok(());
    }
    let mut subjects = Table::new(&[
        ("answers", Side::Right),
        ("right", Side::Right),
        ("known", Side::Right),
        ("review", Side::Left),
        ("subject", Side::Left),
    ]);
    for row in &overview.subjects {
        let review = row.review();
        subjects.row([
            row.answers.to_string(),
            row.right.to_string(),
            format!("{} %", row.percent),
            if review.is_empty() { "not yet".to_owned() } else { review },
            subject_words(&row.objective, &row.topic),
        ]);
    }
    let heading = terminal.toned(Tone::Heading, "Subjects tried");
    terminal.print(format_args!("\n{heading}\n\n{}\n", subjects.set(terminal.width())))?;
    let words = format!(
        "Known is the chance that you know it, from whole problems solved alone; from {}\u{a0}% on it \
         counts as known and is reviewed after some days.",
        overview.known_from
    );
    terminal.paragraph(0, &words)?;
    terminal.end_line()?;
    Ok(terminal.paragraph(0, CAUTION)?)
}

/// Writes the overview as a page.
///
/// # Errors
/// When the file cannot be written; then the one that was there before still is.
pub(super) fn write(overview: &Overview, target: Target) -> Result<(), Failure> {
    target.write(progress_page(overview).as_bytes())
}
