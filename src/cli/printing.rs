//! Printing a sheet: which format, which layout, where to.

use std::path::PathBuf;

use castmark::export::{
    BenchDocument, Contents, DocumentKind, Exporter, Options, PaperSize, Sheet, TypeSize,
};
use clap::builder::{PossibleValue, PossibleValuesParser, TypedValueParser};
use clap::{Args, builder::ValueParser};

use super::disk::{Readers, Target};
use super::formats::{format_parser, shown_here, told_by};
use super::layouts::own_layout;
use super::outcome::Failure;
use super::terminal::Terminal;

/// How and where a sheet is printed.
#[derive(Clone, Debug, Args)]
#[command(next_help_heading = "Printing")]
pub(super) struct Printing {
    /// What to make of it; without this, the ending of the file's name decides, and otherwise it is
    /// plain text
    #[arg(long, value_name = "FORMAT", value_parser = format_parser(DocumentKind::Sheet))]
    format: Option<&'static dyn Exporter>,
    /// The file to write; without this, the sheet is printed here
    #[arg(long, short, value_name = "FILE")]
    output: Option<PathBuf>,
    /// The paper, for formats with pages
    #[arg(long, value_parser = paper_parser(), default_value = "a4", hide_default_value = true)]
    paper: PaperSize,
    /// How large the letters are, for formats with pages
    #[arg(long, value_name = "SIZE", value_parser = size_parser(), default_value = "normal")]
    #[arg(hide_default_value = true)]
    type_size: TypeSize,
    /// A layout of your own for this format
    #[arg(long, value_name = "FILE")]
    layout: Option<PathBuf>,
}

/// A place to print to that was found to be good, with all choices made.
#[derive(Debug)]
pub(super) struct Press {
    exporter: &'static dyn Exporter,
    options: Options,
    target: Option<Target>,
}

impl Printing {
    /// Checks everything that could go wrong before the work is done. `readers` are those of a new
    /// file.
    ///
    /// # Errors
    /// When the layout cannot be used or the file cannot be written.
    pub(super) fn press(&self, readers: Readers, terminal: &Terminal) -> Result<Press, Failure> {
        let exporter = self.exporter()?;
        let layout = self.layout.as_ref().map(|path| own_layout(exporter, path)).transpose()?;
        let width = if self.output.is_some() { Options::default().width } else { terminal.width() };
        #[allow(clippy::needless_update, reason = "with `pdf` there is a font as well")]
        let options = Options {
            paper: self.paper,
            type_size: self.type_size,
            width,
            layout,
            ..Options::default()
        };
        if self.output.is_none() {
            shown_here(exporter, terminal)?;
        }
        let target = self.output.as_deref().map(|path| Target::prepare(path, readers));
        let target = target.transpose()?;
        Ok(Press { exporter, options, target })
    }

    /// What a sheet holds when nothing is asked for: the questions, and in a package what marks them.
    ///
    /// # Errors
    /// When the file's extension names no format.
    pub(super) fn usual_contents(&self) -> Result<Contents, Failure> {
        let is_package = self.exporter()?.is_package();
        Ok(if is_package { Contents::ALL } else { Contents::QUESTIONS })
    }

    /// The format asked for, or the one of the file's ending.
    fn exporter(&self) -> Result<&'static dyn Exporter, Failure> {
        told_by(DocumentKind::Sheet, self.format, self.output.as_deref())
    }
}

impl Press {
    /// Prints the sheet.
    ///
    /// # Errors
    /// When a layout cannot be filled in or the sheet cannot be written; then no file is left.
    pub(super) fn print(self, sheet: &Sheet, terminal: &mut Terminal) -> Result<(), Failure> {
        let bytes = self.exporter.export(sheet, &self.options).map_err(Failure::unusable)?;
        match self.target {
            Some(target) => target.write(&bytes)?,
            None => terminal.print_bytes(&bytes)?,
        }
        let left_out = self.exporter.left_out(sheet);
        if !left_out.is_empty() {
            terminal.finish()?;
        }
        for left in left_out {
            terminal.note(left);
        }
        Ok(())
    }

    /// Prints a document for the bench.
    ///
    /// # Errors
    /// When there is a layout, which it does not take, or it cannot be written; then no file is left.
    pub(super) fn print_bench(
        self,
        document: &BenchDocument,
        terminal: &mut Terminal,
    ) -> Result<(), Failure> {
        let bytes =
            self.exporter.export_bench(document, &self.options).map_err(Failure::unusable)?;
        match self.target {
            Some(target) => target.write(&bytes),
            None => Ok(terminal.print_bytes(&bytes)?),
        }
    }
}

/// The name of a paper size.
pub(super) fn paper_parser() -> ValueParser {
    let values = [
        PossibleValue::new("a4").help("210 mm by 297 mm; without this, it is A4"),
        PossibleValue::new("letter").help("8.5 in by 11 in"),
    ];
    let size = |name: String| {
        let named = |size: &PaperSize| size.name().eq_ignore_ascii_case(&name);
        PaperSize::ALL.into_iter().find(named).unwrap_or_default()
    };
    ValueParser::new(PossibleValuesParser::new(values).map(size))
}

fn size_parser() -> ValueParser {
    let values = TypeSize::ALL.into_iter().map(|size| {
        let usual = if size == TypeSize::default() { "; without this, it is normal" } else { "" };
        PossibleValue::new(size.name()).help(format!("{} points{usual}", size.points()))
    });
    let size = |name: String| {
        TypeSize::ALL.into_iter().find(|size| size.name() == name).unwrap_or_default()
    };
    ValueParser::new(PossibleValuesParser::new(values).map(size))
}
