//! What is done with the record besides practising: `practise --report`, `--export`, `--join`, `--forget`.

use std::path::{Path, PathBuf};

use castmark::bank::Bank;
use castmark::export::progress_page;
use castmark::practice::{
    Attempt, AttemptList, Overview, Record, RecordError, Settings, day_of, read_attempts,
};
use clap::Args;

use super::listing::{self, Form};
use super::{record_path, report};
use crate::cli::clock::now;
use crate::cli::disk::{Readers, Target, read_text};
use crate::cli::outcome::{Failure, Outcome};
use crate::cli::terminal::Terminal;

/// Where the record is, and what is done with it.
#[derive(Debug, Args)]
#[command(next_help_heading = "Your record")]
pub(super) struct Keeping {
    /// File that keeps your answers; by default `CASTMARK_RECORD`, or a file in the folder for data
    #[arg(long, value_name = "FILE")]
    record: Option<PathBuf>,
    /// Show how far you are: ready, shaky, not yet, and what is due
    #[arg(long)]
    report: bool,
    /// Write the report as a web page as well
    #[arg(long, value_name = "FILE")]
    html: Option<PathBuf>,
    /// Print every answer, for a spreadsheet or a program
    #[arg(long, value_name = "FORMAT", value_enum, conflicts_with = "report")]
    export: Option<Form>,
    /// Add the answers of another record, as `--export json` or a practice page writes them
    #[arg(long, value_name = "FILE", conflicts_with_all = ["report", "export"])]
    join: Option<PathBuf>,
    /// Delete every answer for good
    #[arg(long, conflicts_with_all = ["report", "export", "join"])]
    forget: bool,
    /// Delete without asking for confirmation
    #[arg(long, requires = "forget")]
    yes: bool,
}

impl Keeping {
    /// The file asked for.
    pub(super) fn record(&self) -> Option<&Path> {
        self.record.as_deref()
    }

    /// Lists, joins or deletes the answers, if that is asked for.
    ///
    /// # Errors
    /// When the record cannot be used or nothing can be printed.
    pub(super) fn without_bank(
        &self,
        path: &Path,
        terminal: &mut Terminal,
    ) -> Result<Option<Outcome>, Failure> {
        if self.forget {
            return forget(self.yes, path, terminal).map(Some);
        }
        if let Some(other) = &self.join {
            return join(other, path, terminal).map(Some);
        }
        let Some(form) = self.export else { return Ok(None) };
        let about = |error: &RecordError| record_path::about(path, error);
        listing::print(record_path::open_to_read(path)?.as_ref(), form, &about, terminal)?;
        Ok(Some(Outcome::Done))
    }

    /// Shows how far the student is, if that is asked for.
    ///
    /// # Errors
    /// When the record cannot be used or nothing can be written.
    pub(super) fn with_bank(
        &self,
        bank: &Bank,
        settings: &Settings,
        path: &Path,
        exam: Option<i64>,
        terminal: &mut Terminal,
    ) -> Result<Option<Outcome>, Failure> {
        if !self.report && self.html.is_none() {
            return Ok(None);
        }
        let target =
            self.html.as_deref().map(|path| Target::prepare(path, Readers::Usual)).transpose()?;
        let record = record_path::open_to_read(path)?;
        let empty = AttemptList::default();
        let record: &dyn Record = record.as_ref().map_or(&empty, |record| record);
        let overview = Overview::of(bank, record, settings, day_of(now()), exam)
            .map_err(|error| record_path::about(path, &error))?;
        if let Some(target) = target {
            target.write(progress_page(&overview).as_bytes())?;
        }
        report::print(&overview, terminal)?;
        Ok(Some(Outcome::Done))
    }
}

/// The answers in a file: a list of them, or a record as a practice page keeps it.
fn read_answers(path: &Path) -> Result<Vec<Attempt>, Failure> {
    read_attempts(&read_text(path)?).map_err(|error| {
        let shown = path.display();
        Failure::unusable(format!(
            "`{shown}`: expected answers as `castmark practise --export json` writes them, found {error}"
        ))
    })
}

/// Adds the answers of another record.
fn join(other: &Path, path: &Path, terminal: &mut Terminal) -> Result<Outcome, Failure> {
    let answers = read_answers(other)?;
    let all = answers.len();
    let mut record = record_path::open(path)?;
    let new = record.join(answers).map_err(|error| record_path::about(path, &error))?;
    let count = record.count().map_err(|error| record_path::about(path, &error))?;
    terminal.paragraph(
        0,
        &format!(
            "The file held {all} answers: {} were already here, {new} are new. Your record now holds \
             {count} answers.",
            all - new
        ),
    )?;
    Ok(Outcome::Done)
}

/// Deletes every answer, if that is truly wanted.
fn forget(yes: bool, path: &Path, terminal: &mut Terminal) -> Result<Outcome, Failure> {
    let shown = path.display();
    let Some(mut record) = record_path::open_old(path)? else {
        terminal.paragraph(0, &format!("There is no record at {shown}, so nothing is kept."))?;
        return Ok(Outcome::Done);
    };
    let about = |error: &RecordError| record_path::about(path, error);
    let count = record.count().map_err(|error| about(&error))?;
    if !yes {
        return Err(Failure::unusable(format!(
            "this deletes all {count} answers in `{shown}` for good; give --yes as well if you want that"
        )));
    }
    record.forget().map_err(|error| about(&error))?;
    terminal.paragraph(0, &format!("All {count} answers were deleted. {shown} is empty now."))?;
    Ok(Outcome::Done)
}
