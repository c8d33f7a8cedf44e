//! `castmark paper again`: one document of one paper, made again from the manifest.

use std::path::PathBuf;

use castmark::draw::CodeProblem;
use castmark::export::{Document, DocumentKind, Exporter, Options, PaperPress, PaperSize, Sheet};
use castmark::paper::{PaperCode, PaperSet};
use clap::{Args, ValueEnum};

use super::super::banks::WhichBank;
use super::super::disk::{Readers, Target};
#[cfg(feature = "pdf")]
use super::super::fonts::read_font;
use super::super::formats::{format_parser, shown_here, told_by};
use super::super::layouts::{Layouts, own_layout};
use super::super::outcome::{Failure, Outcome};
use super::super::printing::paper_parser;
use super::super::terminal::Terminal;
use super::{blueprint_of, no_papers, read_manifest, size_of};

/// Make one document of one candidate's paper again, byte for byte.
///
/// The manifest is enough; the secret is not needed. When the bank or castmark has changed so that
/// the paper would be another, it says so and makes none.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
    castmark paper again midterm/manifest.jsonl --candidate 0104\n  \
    castmark paper again midterm/manifest.jsonl --code k7m2-9qfxt --show key")]
pub(super) struct Arguments {
    /// The manifest, `manifest.jsonl` in the folder of the papers
    #[arg(value_name = "MANIFEST")]
    manifest: PathBuf,
    /// The number of the candidate
    #[arg(long, value_name = "NUMBER", required_unless_present = "code")]
    candidate: Option<String>,
    /// The code that is printed on the paper
    #[arg(long, value_name = "CODE", conflicts_with = "candidate")]
    code: Option<String>,
    /// Which document
    #[arg(long, value_enum, value_name = "WHAT", default_value = "paper")]
    show: Show,
    /// What to make of it; without this, the ending of the file's name decides, and otherwise it is
    /// plain text
    #[arg(long, value_name = "FORMAT", value_parser = format_parser(DocumentKind::Sheet))]
    format: Option<&'static dyn Exporter>,
    /// The file to write; without this, it is printed here
    #[arg(long, short, value_name = "FILE")]
    output: Option<PathBuf>,
    /// The size of the paper, for formats with pages; without this, that of the set
    #[arg(long, value_parser = paper_parser())]
    paper: Option<PaperSize>,
    /// A layout of your own; by default that of the set, if it has one for the format
    #[arg(long, value_name = "FILE")]
    layout: Option<PathBuf>,
    /// The file of the font that the papers were made with, if any
    #[cfg(feature = "pdf")]
    #[arg(long, value_name = "FILE")]
    font: Option<PathBuf>,
    #[command(flatten)]
    bank: WhichBank,
}

/// A document, as a person asks for it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum Show {
    /// The questions, with room to answer
    Paper,
    /// The answers and worked solutions
    Key,
    /// What is accepted, what marks are for, and the known slips
    Scheme,
    /// The answer slip
    Slip,
    /// Each question with its key beside it
    Moderation,
}

impl Show {
    fn document(self) -> Document {
        match self {
            Self::Paper => Document::Questions,
            Self::Key => Document::Key,
            Self::Scheme => Document::Scheme,
            Self::Slip => Document::Slip,
            Self::Moderation => Document::Moderation,
        }
    }
}

/// Makes the document.
pub(super) fn run(arguments: &Arguments, terminal: &mut Terminal) -> Result<Outcome, Failure> {
    let set = read_manifest(&arguments.manifest)?;
    let number = arguments.number(&set)?;
    let paper = set.paper(&number).map_err(Failure::unusable)?;
    let bank = arguments.bank.load(terminal)?;
    let heading = "the blueprint in the manifest cannot be used with this bank";
    let blueprint = blueprint_of(set.blueprint.clone(), &bank, heading, terminal)?;
    let blueprint = set.with_its_templates(blueprint, &bank).map_err(|all| no_papers(&all))?;
    let exporter = told_by(DocumentKind::Sheet, arguments.format, arguments.output.as_deref())?;
    if arguments.output.is_none() {
        shown_here(exporter, terminal)?;
    }
    let document = arguments.document(exporter)?;
    let readers = match document {
        Document::Questions | Document::Slip => Readers::Usual,
        _ => Readers::OwnerOnly,
    };
    let target = arguments.output.as_deref().map(|path| Target::prepare(path, readers));
    let target = target.transpose()?;
    let problems = paper.problems(&bank, &blueprint, &set.made_by).map_err(Failure::unusable)?;
    let sheet = Sheet::of_paper(&bank, &blueprint, paper, problems, document);
    let layout = match &arguments.layout {
        Some(path) => Some(own_layout(exporter, path)?),
        None => Layouts::of(&set.layouts)?.get(DocumentKind::Sheet, exporter.name()).cloned(),
    };
    let options = Options {
        paper: arguments.paper.unwrap_or_else(|| size_of(&set)),
        layout,
        #[cfg(feature = "pdf")]
        font: read_font(arguments.font.as_deref())?,
        ..Options::default()
    };
    let press = PaperPress::new(exporter, &options).map_err(Failure::unusable)?;
    let sheet = sheet.map_err(Failure::unusable)?;
    let bytes = press.print(&sheet, paper, document.reader()).map_err(Failure::unusable)?;
    let left_out = exporter.left_out(&sheet);
    match target {
        Some(target) => target.write(&bytes)?,
        None => terminal.print_bytes(&bytes)?,
    }
    terminal.finish()?;
    for left in left_out {
        terminal.note(left);
    }
    Ok(Outcome::Done)
}

impl Arguments {
    /// The number of the candidate asked for.
    fn number(&self, set: &PaperSet) -> Result<String, Failure> {
        let Some(code) = &self.code else { return Ok(self.candidate.clone().unwrap_or_default()) };
        let read = PaperCode::parse(code).map_err(|problem| match problem {
            CodeProblem::Length(found) => Failure::unusable(format!(
                "the code `{code}`: expected nine letters, found {found}; copy the whole code from \
                 the paper"
            )),
            problem => Failure::unusable(format!("the code `{code}`: {problem}")),
        })?;
        let paper = set.papers.iter().find(|paper| paper.code == read);
        paper.map(|paper| paper.candidate.number.clone()).ok_or_else(|| {
            Failure::unusable(format!("the manifest has no paper of the code {read}; give another"))
        })
    }

    /// The document asked for. A package holds a whole paper, so it is the only document of its format.
    ///
    /// # Errors
    /// When another is asked for as a package.
    fn document(&self, exporter: &dyn Exporter) -> Result<Document, Failure> {
        match self.show {
            Show::Paper if exporter.is_package() => Ok(Document::Package),
            _ if exporter.is_package() => Err(Failure::unusable(format!(
                "a package as {} holds the questions and their key together; leave --show out, or \
                 choose another format",
                exporter.name()
            ))),
            show => Ok(show.document()),
        }
    }
}
