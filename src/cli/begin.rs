//! `castmark begin`: a first file to change, with comments, checked at once.

use std::path::{Path, PathBuf};

use castmark::bank::{Bank, Blueprint, SourceText};
use castmark::paper::ClassList;
use castmark::words::printable;
use clap::{Args, ValueEnum};

use super::disk::{Readers, Target, plainly};
use super::outcome::{Failure, Outcome};
use super::terminal::Terminal;

/// Begin a file of your own: a blueprint, a template, a table of facts or a class list.
///
/// The file is complete and full of comments, so that you only change what you want otherwise. It is
/// checked before it is written, and nothing that is there is written over.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
    castmark begin blueprint first-paper.yaml\n  \
    castmark begin template own/base-with-extra.yaml\n  \
    castmark begin facts own/facts/own_drugs.yaml\n  \
    castmark begin class class.csv")]
pub(super) struct Arguments {
    /// What to begin
    #[arg(value_enum, value_name = "KIND")]
    kind: Kind,
    /// The file to write
    #[arg(value_name = "FILE")]
    file: PathBuf,
}

/// What can be begun.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum Kind {
    /// The plan of a paper
    Blueprint,
    /// A question from which problems are drawn
    Template,
    /// A table of facts with its first row
    Facts,
    /// A list of candidates
    Class,
}

/// Where the name of the file goes in a starter.
const STEM: &str = "STEM";

/// Where its folder goes.
const FOLDER: &str = "FOLDER";

impl Kind {
    fn text(self) -> &'static str {
        match self {
            Self::Blueprint => include_str!("../../exports/starters/blueprint.yaml"),
            Self::Template => include_str!("../../exports/starters/template.yaml"),
            Self::Facts => include_str!("../../exports/starters/facts.yaml"),
            Self::Class => include_str!("../../exports/starters/class.csv"),
        }
    }

    fn ending(self) -> &'static str {
        if self == Self::Class { "csv" } else { "yaml" }
    }

    /// What to do next.
    fn next(self, file: &str, folder: &str, stem: &str) -> String {
        match self {
            Self::Blueprint => format!("castmark paper plan {file}"),
            Self::Template => format!("castmark problem --bank {folder} --template {stem}"),
            Self::Facts => format!("castmark bank check --bank {folder}"),
            Self::Class => format!("castmark paper make BLUEPRINT --class {file} --to FOLDER"),
        }
    }
}

/// Writes the file.
pub(super) fn run(arguments: &Arguments, terminal: &mut Terminal) -> Result<Outcome, Failure> {
    let Arguments { kind, file } = arguments;
    let shown = printable(&file.display().to_string());
    if file.exists() {
        return Err(Failure::unusable(format!("`{shown}` already exists; choose another name")));
    }
    let ending = file.extension().and_then(|ending| ending.to_str());
    if ending != Some(kind.ending()) {
        let ending = kind.ending();
        return Err(Failure::unusable(format!(
            "expected a file that ends in .{ending}, found `{shown}`; give it that ending"
        )));
    }
    let stem = file.file_stem().and_then(|stem| stem.to_str()).unwrap_or_default();
    let folder = folder_of(file, *kind);
    let text = kind.text().replace(STEM, stem).replace(FOLDER, &folder);
    let text = text.replace("FILE", &shown);
    check(*kind, &shown, &text, terminal)?;
    if let Some(folder) = file.parent().filter(|folder| !folder.as_os_str().is_empty()) {
        std::fs::create_dir_all(folder).map_err(|error| {
            let (shown, why) = (folder.display(), plainly(&error));
            Failure::unusable(format!("the folder `{shown}` cannot be made: {why}"))
        })?;
    }
    Target::prepare(file, Readers::Usual)?.write(text.as_bytes())?;
    terminal.note(format_args!(
        "begun in {shown}; change it, then: {}",
        kind.next(&shown, &folder, stem)
    ));
    Ok(Outcome::Done)
}

/// The folder to give as --bank: that of the file, or the one above `facts`.
fn folder_of(file: &Path, kind: Kind) -> String {
    let folder = file.parent().unwrap_or(Path::new(""));
    let in_facts = kind == Kind::Facts && folder.file_name().is_some_and(|name| name == "facts");
    let folder = if in_facts { folder.parent().unwrap_or(Path::new("")) } else { folder };
    let shown = printable(&folder.display().to_string());
    if shown.is_empty() { ".".to_owned() } else { shown }
}

/// Reads the file as it will be read, so that a name which cannot be used is told now.
fn check(kind: Kind, shown: &str, text: &str, terminal: &Terminal) -> Result<(), Failure> {
    let source = SourceText::new(shown.to_owned(), text.to_owned());
    let report = match kind {
        Kind::Class => {
            return ClassList::read(text.as_bytes()).map(|_| ()).map_err(|problems| {
                super::paper::all_of("class list", Path::new(shown), &problems)
            });
        }
        Kind::Blueprint => {
            let bank = Bank::bundled().map_err(|report| Failure::unusable(report.plain()))?;
            Blueprint::read(source, &bank).err()
        }
        Kind::Template | Kind::Facts => Bank::with_own(vec![source]).err(),
    };
    report.map_or(Ok(()), |report| {
        let drawn = if terminal.colour() { report.styled() } else { report.plain() };
        Err(Failure::unusable(format!(
            "the file cannot be begun under that name\n\n{}",
            drawn.trim_end()
        )))
    })
}
