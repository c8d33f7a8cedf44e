//! `drill --export`: every answer, for a file of one's own.

use castmark::practice::{Attempt, Record, RecordError, moment_text};
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

/// Why a list was not printed to its end.
enum Trouble {
    Record(RecordError),
    Printing(Failure),
}

impl From<RecordError> for Trouble {
    fn from(error: RecordError) -> Self {
        Self::Record(error)
    }
}

/// Prints every answer of the record, oldest first; the heads alone when there is no record.
///
/// # Errors
/// When the record cannot be read or nothing can be printed.
pub(super) fn print(
    record: Option<&Record>,
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
            Form::Csv => line(&cells(attempt))?,
            Form::Json => {
                let comma = if first { "\n" } else { ",\n" };
                format!("{comma}{}", object(attempt)?)
            }
        };
        first = false;
        Ok(terminal.print(text)?)
    };
    if let Some(record) = record {
        let listed = record.each(|attempt| print(&attempt).map_err(Trouble::Printing));
        listed.map_err(|trouble| match trouble {
            Trouble::Record(error) => about(&error),
            Trouble::Printing(failure) => failure,
        })?;
    }
    Ok(terminal.print(tail)?)
}

const HEADS: [&str; 15] = [
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
    "solved",
];

fn cells(attempt: &Attempt) -> [String; 15] {
    [
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
        attempt.solved.map(|solved| solved.to_string()).unwrap_or_default(),
    ]
}

fn line<T: AsRef<[u8]>>(cells: &[T]) -> Result<String, Failure> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(cells).map_err(Failure::unusable)?;
    let bytes = writer.into_inner().map_err(Failure::unusable)?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

fn object(attempt: &Attempt) -> Result<String, Failure> {
    let mut object = serde_json::to_value(attempt).map_err(Failure::unusable)?;
    if let Some(at) = object.get_mut("at") {
        *at = moment_text(attempt.at).into();
    }
    Ok(object.to_string())
}
