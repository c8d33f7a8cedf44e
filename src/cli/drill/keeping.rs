//! What is done with the record besides practising: `drill --report`, `--export`, `--forget`.

use std::path::{Path, PathBuf};

use castmark::bank::Bank;
use castmark::practice::{Overview, RecordError, Settings, Subject, day_of};
use clap::Args;

use super::listing::{self, Form};
use super::sitting::now;
use super::{place, report};
use crate::cli::disk::{Readers, Target};
use crate::cli::outcome::{Failure, Outcome};
use crate::cli::terminal::Terminal;

/// Where the record is, and what is done with it.
#[derive(Debug, Args)]
#[command(next_help_heading = "Your record")]
pub(super) struct Keeping {
    /// The file that keeps your answers; without this, `CASTMARK_RECORD` or the usual folder for data
    #[arg(long, value_name = "FILE")]
    record: Option<PathBuf>,
    /// Show how far you are, as tables
    #[arg(long)]
    report: bool,
    /// Write the report as a web page with a plot, too
    #[arg(long, value_name = "FILE", requires = "report")]
    html: Option<PathBuf>,
    /// Print every answer, for a file of your own
    #[arg(long, value_name = "FORMAT", value_enum, conflicts_with = "report")]
    export: Option<Form>,
    /// Delete every answer for good
    #[arg(long, conflicts_with_all = ["report", "export"])]
    forget: bool,
    /// Do it without asking
    #[arg(long, requires = "forget")]
    yes: bool,
}

impl Keeping {
    /// The file asked for.
    pub(super) fn record(&self) -> Option<&Path> {
        self.record.as_deref()
    }

    /// Lists or deletes the answers, if that is asked for.
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
        let Some(form) = self.export else { return Ok(None) };
        let about = |error: &RecordError| place::about(path, error);
        listing::print(place::open_old(path)?.as_ref(), form, &about, terminal)?;
        Ok(Some(Outcome::Done))
    }

    /// Tells how far the student is, if that is asked for.
    ///
    /// # Errors
    /// When the record cannot be used or nothing can be written.
    pub(super) fn with_bank(
        &self,
        bank: &Bank,
        settings: &Settings,
        path: &Path,
        terminal: &mut Terminal,
    ) -> Result<Option<Outcome>, Failure> {
        if !self.report {
            return Ok(None);
        }
        let target =
            self.html.as_deref().map(|path| Target::prepare(path, Readers::Usual)).transpose()?;
        let progress = match place::open_old(path)? {
            Some(mut record) => {
                record.progress(settings).map_err(|error| place::about(path, &error))?
            }
            None => Vec::new(),
        };
        let subjects = Subject::all(bank, |_| true);
        let overview = Overview::of(&subjects, &progress, settings, day_of(now()));
        report::print(&overview, terminal)?;
        if let Some(target) = target {
            report::write(&overview, target)?;
        }
        Ok(Some(Outcome::Done))
    }
}

/// Deletes every answer, if that is truly wanted.
fn forget(yes: bool, path: &Path, terminal: &mut Terminal) -> Result<Outcome, Failure> {
    let shown = path.display();
    let Some(mut record) = place::open_old(path)? else {
        terminal.paragraph(0, &format!("There is no record at {shown}, so nothing is kept."))?;
        return Ok(Outcome::Done);
    };
    let about = |error: &RecordError| place::about(path, error);
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
