//! `castmark analyse`: what a marked class tells.

use std::path::{Path, PathBuf};

use castmark::analysis::{Marks, OtherSitting, Redrawn, Report, ReportSettings, Sittings};
use castmark::bank::{SourceText, Threshold};
use castmark::export::{DocumentKind, Exporter, Front, Options, PaperSize};
use castmark::marks::MarksHead;
use clap::Args;

use super::banks::WhichBank;
use super::disk::{Readers, Target, read_lines};
use super::formats::{format_parser, shown_here, told_by};
use super::layouts::Layouts;
use super::outcome::{Failure, Outcome};
use super::paper::all_of;
use super::printing::paper_parser;
use super::terminal::Terminal;

/// See what a marked class tells about the questions and about itself.
///
/// Which questions were easy or hard, which told the stronger from the weaker, how reliable the totals
/// are, and what the class misunderstood. What cannot be told is n/a, with the reason.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
    castmark analyse marks/marks.jsonl\n  \
    castmark analyse marks/marks.jsonl --output analysis.html\n  \
    castmark analyse marks/marks.jsonl --output analysis.pdf --paper letter\n  \
    castmark analyse marks/marks.jsonl --format csv > items.csv\n  \
    castmark analyse marks/marks.jsonl --compare resit/marks.jsonl --pass '50 %'")]
pub(super) struct Arguments {
    /// The marks of the class, `marks.jsonl`, as they were written when it was marked
    #[arg(value_name = "MARKS")]
    marks: PathBuf,
    /// What to make of it; without this, the ending of the file's name decides, and otherwise it is
    /// plain text
    #[arg(long, value_name = "FORMAT", value_parser = format_parser(DocumentKind::Report))]
    format: Option<&'static dyn Exporter>,
    /// The file to write; without this, the report is printed here
    #[arg(long, short, value_name = "FILE")]
    output: Option<PathBuf>,
    /// A layout of your own for the format, in a file whose name ends in report.html.jinja,
    /// report.typ.jinja for PDF, report.md.jinja or report.txt.jinja; by default that of the papers
    #[arg(long, value_name = "FILE")]
    layout: Option<PathBuf>,
    /// The size of the paper, for formats with pages
    #[arg(long, value_parser = paper_parser(), default_value = "a4", hide_default_value = true)]
    paper: PaperSize,
    /// How many per cent of the class are in the upper group, and how many in the lower
    #[arg(long, value_name = "PER CENT", default_value_t = 27)]
    #[arg(value_parser = clap::value_parser!(u8).range(1..=50))]
    group: u8,
    /// The marks of another sitting, or of the resit, to compare with; once for each
    #[arg(long, value_name = "MARKS")]
    compare: Vec<PathBuf>,
    /// The pass mark: `50 %` of the marks, or `40 marks`; by default the one of the marking
    #[arg(long, value_name = "PASS", value_parser = Threshold::parse)]
    pass: Option<Threshold>,
    #[command(flatten)]
    bank: WhichBank,
}

/// Reads the marks, analyses them and prints the report.
pub(super) fn run(arguments: &Arguments, terminal: &mut Terminal) -> Result<Outcome, Failure> {
    let exporter = told_by(DocumentKind::Report, arguments.format, arguments.output.as_deref())?;
    if arguments.output.is_none() {
        shown_here(exporter, terminal)?;
    }
    let bank = arguments.bank.load(terminal)?;
    let marks = arguments.read(&arguments.marks)?;
    let others = arguments.others()?;
    let target = arguments.output.as_deref().map(|path| Target::prepare(path, Readers::OwnerOnly));
    let target = target.transpose()?;
    let settings = ReportSettings { group: arguments.group, ..ReportSettings::default() };
    let report = Report::new(&marks, settings, Some(&mut Redrawn::new(&bank)));
    let mut report = report.map_err(|problems| all_of("marks", &arguments.marks, &problems))?;
    if !others.is_empty() {
        let sittings = Sittings::of("this class", &marks, &others);
        report.sittings = Some(
            sittings.map_err(|(name, problems)| all_of("marks", Path::new(&name), &problems))?,
        );
    }
    let layouts = arguments.layouts(&marks.head, exporter)?;
    let width = if target.is_some() { Options::default().width } else { terminal.width() };
    let options = Options {
        paper: arguments.paper,
        width,
        layout: layouts.get(DocumentKind::Report, exporter.name()).cloned(),
        ..Options::default()
    };
    let front = Front::of_marks(&marks.head);
    let bytes = exporter.export_report(&report, &front, &options).map_err(Failure::unusable)?;
    match target {
        Some(target) => target.write(&bytes)?,
        None => terminal.print_bytes(&bytes)?,
    }
    Ok(Outcome::Done)
}

impl Arguments {
    /// The layout asked for, and those of the papers.
    fn layouts(&self, head: &MarksHead, exporter: &dyn Exporter) -> Result<Layouts, Failure> {
        let asked = Layouts::read(self.layout.as_slice())?;
        asked.check(|kind, name| kind == DocumentKind::Report && name == exporter.name())?;
        let kept: Vec<SourceText> = head.layouts.iter().cloned().map(SourceText::from).collect();
        Ok(asked.or(Layouts::of(&kept)?))
    }

    /// The marks of a file, by the pass mark asked for.
    fn read(&self, path: &Path) -> Result<Marks, Failure> {
        let marks = read_lines(path, "marks.jsonl", |lines| Marks::read_lines(lines))?;
        let mut marks = marks.map_err(|problems| all_of("marks", path, &problems))?;
        marks.head.grading.pass = self.pass.or(marks.head.grading.pass);
        let wrong = |of| marks.head.grading.check(of).err();
        let of: u32 = marks.head.questions.iter().map(|question| question.of).sum();
        match Some(of).filter(|of| *of > 0).and_then(wrong) {
            Some((_, what)) => {
                Err(Failure::unusable(format!("the pass mark cannot be used: {what}")))
            }
            None => Ok(marks),
        }
    }

    /// The other sittings, each called by its title and its file.
    fn others(&self) -> Result<Vec<OtherSitting>, Failure> {
        let other = |path: &PathBuf| {
            let marks = self.read(path)?;
            let name = format!("{} ({})", marks.head.title(), path.display());
            Ok(OtherSitting { name, marks })
        };
        self.compare.iter().map(other).collect()
    }
}
