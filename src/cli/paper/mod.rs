//! `castmark paper`: papers for a class.

mod again;
mod changes;
mod documents;
mod folder;
mod make;
mod making;
mod plan;
mod secrets;
mod workshop;

use std::fmt::Display;
use std::path::{Path, PathBuf};

use castmark::bank::{Bank, Blueprint, SourceText};
use castmark::export::PaperSize;
use castmark::paper::{ClassList, PaperSet};
use clap::{Args, Subcommand};

use super::disk::{Limit, read_bytes, read_lines, read_source};
use super::outcome::{Failure, Outcome};
use super::terminal::Terminal;

pub(super) use folder::file_name;

/// Make papers for a class, each candidate with problems of their own.
///
/// A blueprint says what the papers hold. The problems are drawn under a secret that stays with you:
/// nobody can find them, or their answers, from what is printed.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
    castmark paper plan midterm.yaml --class class.csv\n  \
    castmark paper make midterm.yaml --class class.csv --to midterm\n  \
    castmark paper again midterm/manifest.jsonl --candidate 0104 --show key")]
pub(super) struct Arguments {
    /// What to do
    #[command(subcommand)]
    command: Command,
}

/// What can be done about papers.
#[derive(Debug, Subcommand)]
enum Command {
    Plan(plan::Arguments),
    Make(make::Arguments),
    Again(again::Arguments),
}

/// Carries out one of the commands.
pub(super) fn run(arguments: &Arguments, terminal: &mut Terminal) -> Result<Outcome, Failure> {
    match &arguments.command {
        Command::Plan(arguments) => plan::run(arguments, terminal),
        Command::Make(arguments) => make::run(arguments, terminal),
        Command::Again(arguments) => again::run(arguments, terminal),
    }
}

/// Reads a blueprint.
fn read_blueprint(path: &Path, bank: &Bank, terminal: &Terminal) -> Result<Blueprint, Failure> {
    blueprint_of(read_source(path)?, bank, "the blueprint cannot be used", terminal)
}

/// The blueprint of a text; what is wrong with it is drawn under the heading.
///
/// # Errors
/// Everything that is wrong with it.
pub(super) fn blueprint_of(
    source: SourceText,
    bank: &Bank,
    heading: &str,
    terminal: &Terminal,
) -> Result<Blueprint, Failure> {
    Blueprint::read(source, bank).map_err(|report| {
        let drawn = if terminal.colour() { report.styled() } else { report.plain() };
        Failure::unusable(format!("{heading}\n\n{}", drawn.trim_end()))
    })
}

/// Reads a class list.
fn read_class(path: &Path) -> Result<ClassList, Failure> {
    ClassList::read(&read_bytes(path, Limit::Table)?)
        .map_err(|problems| all_of("class list", path, &problems))
}

/// Reads a manifest.
///
/// # Errors
/// When it cannot be read, with everything that is wrong with it.
pub(super) fn read_manifest(path: &Path) -> Result<PaperSet, Failure> {
    let set = read_lines(path, "the manifest", |lines| PaperSet::read_lines(lines))?;
    set.map_err(|problems| all_of("manifest", path, &problems))
}

/// The size of paper that a set was printed for.
fn size_of(set: &PaperSet) -> PaperSize {
    set.paper_size.as_deref().and_then(PaperSize::parse).unwrap_or_default()
}

/// The manifest of the earlier paper that a blueprint avoids; its path begins where the blueprint
/// lies.
fn read_avoided(blueprint: &Blueprint, path: &Path) -> Result<Option<PaperSet>, Failure> {
    let Some(avoid) = &blueprint.avoid else { return Ok(None) };
    let path: PathBuf = path.parent().unwrap_or(Path::new("")).join(avoid);
    read_manifest(&path).map(Some).map_err(|failure| match failure {
        Failure::Unusable(text) => {
            Failure::unusable(format!("`avoid` of the blueprint names an earlier paper: {text}"))
        }
        Failure::NobodyReads => Failure::NobodyReads,
    })
}

/// Everything that is wrong with a file.
pub(super) fn all_of(kind: &str, path: &Path, problems: &[impl Display]) -> Failure {
    let lines: Vec<String> = problems.iter().map(|problem| format!("  {problem}")).collect();
    let shown = path.display();
    Failure::unusable(format!("the {kind} `{shown}` cannot be used\n{}", lines.join("\n")))
}

/// Everything that stands in the way of papers.
pub(super) fn no_papers(problems: &[impl Display]) -> Failure {
    let lines: Vec<String> = problems.iter().map(|problem| format!("  {problem}")).collect();
    Failure::unusable(format!("no papers were made\n{}", lines.join("\n")))
}
