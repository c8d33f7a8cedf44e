//! Printing a sheet: which format, which layout, where to.

use std::path::{Path, PathBuf};

use castmark::export::{
    BenchDocument, Contents, EXPORTERS, Exporter, Options, PaperSize, Sheet, TypeSize, exporter,
};
use clap::builder::{PossibleValue, PossibleValuesParser, TypedValueParser};
use clap::{Args, ValueEnum, builder::ValueParser};

use super::disk::{Readers, Target};
use super::layouts::own_layout;
use super::outcome::Failure;
use super::terminal::Terminal;

/// How and where a sheet is printed.
#[derive(Clone, Debug, Args)]
#[command(next_help_heading = "Printing")]
pub(super) struct Printing {
    /// What to make of it; without this, the ending of the file's name decides, and otherwise it is
    /// plain text
    #[arg(long, value_name = "FORMAT", value_parser = format_parser())]
    format: Option<&'static str>,
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
        if let Some(exporter) = self.format.and_then(exporter) {
            return Ok(exporter);
        }
        let text = exporter("text").unwrap_or(EXPORTERS[0]);
        let Some(output) = &self.output else { return Ok(text) };
        let ending = output.extension().and_then(|ending| ending.to_str());
        let Some(ending) = ending else { return Ok(text) };
        let known = by_extension(output).or_else(|| {
            EXPORTERS.iter().copied().find(|it| it.name().eq_ignore_ascii_case(ending))
        });
        known.ok_or_else(|| {
            let endings: Vec<String> =
                EXPORTERS.iter().map(|exporter| format!(".{}", exporter.extension())).collect();
            Failure::unusable(format!(
                "a file ending in .{ending} could hold anything; end its name in {}, or say which \
                 format with --format",
                endings.join(", ")
            ))
        })
    }
}

/// The format whose extension a file has: `questions.qti3.zip` is of another than `questions.zip`.
pub(super) fn by_extension(file: &Path) -> Option<&'static dyn Exporter> {
    let name = file.file_name()?.to_str()?.to_ascii_lowercase();
    EXPORTERS.iter().copied().find(|exporter| {
        name.strip_suffix(exporter.extension()).is_some_and(|stem| stem.ends_with('.'))
    })
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

/// Whether a sheet can be printed where the program prints.
///
/// # Errors
/// When that is a screen and the sheet is no text.
pub(super) fn shown_here(exporter: &dyn Exporter, terminal: &Terminal) -> Result<(), Failure> {
    if exporter.is_text() || !terminal.on_a_screen() {
        return Ok(());
    }
    Err(Failure::unusable(format!(
        "a sheet as {0} is not text and cannot be shown here; name a file to write, as with \
         --output sheet.{1}",
        exporter.name(),
        exporter.extension()
    )))
}

/// The name of a format.
pub(super) fn format_parser() -> ValueParser {
    let values =
        EXPORTERS.iter().map(|exporter| PossibleValue::new(exporter.name()).help(exporter.about()));
    let name = |name: String| exporter(&name).map_or("", Exporter::name);
    ValueParser::new(PossibleValuesParser::new(values).map(name))
}

/// The word by which one of a command's formats is asked for, which is the name of what makes it.
pub(super) fn word_of(format: &impl ValueEnum) -> String {
    format.to_possible_value().map_or_else(String::new, |value| value.get_name().to_owned())
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
