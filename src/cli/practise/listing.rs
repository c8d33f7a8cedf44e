//! `practise --export`: every answer, for a file of one's own.

use castmark::practice::{Attempt, Record, RecordError, RecordFile, moment_text};
use clap::ValueEnum;

use crate::cli::outcome::Failure;
use crate::cli::terminal::Terminal;

/// A format of the list.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum Form {
    /// A table that a spreadsheet opens
    Csv,
    /// For programs
    Json,
}

/// Prints every answer of the record, oldest first; the heads alone when there is no record.
///
/// # Errors
/// When the record cannot be read or nothing can be printed.
pub(super) fn print(
    record: Option<&RecordFile>,
    form: Form,
    about: &dyn Fn(&RecordError) -> Failure,
    terminal: &mut Terminal,
) -> Result<(), Failure> {
    let (head, tail) = match form {
        Form::Csv => (line(&HEADS)?, String::new()),
        Form::Json => ("[".to_owned(), "\n]\n".to_owned()),
    };
    terminal.print(head)?;
    let mut first = true;
    let mut print = |attempt: &Attempt| {
        let text = match form {
            Form::Csv => line(&cells(attempt)?)?,
            Form::Json => {
                let comma = if first { "\n" } else { ",\n" };
                format!("{comma}{}", serde_json::to_string(attempt).map_err(Failure::unusable)?)
            }
        };
        first = false;
        Ok(terminal.print(text)?)
    };
    let mut printed: Result<(), Failure> = Ok(());
    if let Some(record) = record {
        let mut each = |attempt: Attempt| {
            if printed.is_ok() {
                printed = print(&attempt);
            }
        };
        record.each(&mut each).map_err(|error| about(&error))?;
    }
    printed?;
    Ok(terminal.print(tail)?)
}

const HEADS: [&str; 16] = [
    "at",
    "objective",
    "topic",
    "template",
    "code",
    "part",
    "answer",
    "right",
    "marks",
    "of",
    "slips",
    "hints",
    "missing",
    "steps",
    "luck",
    "ended",
];

fn cells(attempt: &Attempt) -> Result<[String; 16], Failure> {
    Ok([
        moment_text(attempt.at),
        attempt.objective.clone(),
        attempt.topic.clone(),
        attempt.template.clone(),
        attempt.code.clone(),
        attempt.part.clone(),
        attempt.answer.clone(),
        attempt.right.to_string(),
        attempt.marks.to_string(),
        attempt.of.to_string(),
        attempt.slips.join(" "),
        attempt.hints.to_string(),
        attempt.missing.to_string(),
        attempt.steps.to_string(),
        attempt.luck.to_string(),
        ended(attempt)?,
    ])
}

/// How the problem ended, as the word that JSON has for it.
fn ended(attempt: &Attempt) -> Result<String, Failure> {
    let value = serde_json::to_value(attempt.ended).map_err(Failure::unusable)?;
    Ok(value.as_str().unwrap_or_default().to_owned())
}

fn line<T: AsRef<[u8]>>(cells: &[T]) -> Result<String, Failure> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(cells).map_err(Failure::unusable)?;
    let bytes = writer.into_inner().map_err(Failure::unusable)?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}
