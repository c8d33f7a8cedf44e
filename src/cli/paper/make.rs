//! `castmark paper make`: a paper for every candidate of a class.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use castmark::bank::{Bank, Blueprint};
use castmark::export::{
    Binder, Document, EXPORTERS, Exporter, Options, PaperPress, PaperSize, Sheet, TypeSize,
};
use castmark::paper::{ClassList, Paper, PaperSet};
use clap::Args;

use super::super::banks::WhichBank;
use super::super::disk::{Draft, Lock, real_place};
use super::super::hands;
use super::super::outcome::{Failure, Outcome};
use super::super::printing::{format_parser, paper_parser};
use super::super::terminal::Terminal;
use super::folder::{Folder, MANIFEST, file_name};
use super::{no_papers, read_avoided, read_blueprint, read_class, secrets, size_of};

/// How many papers are made before they are bound and progress is told.
const BATCH: usize = 32;

/// Make a paper for every candidate, with key, mark scheme and answer slip.
///
/// Run it again with a longer class list to add candidates: nobody else's paper changes. The folder
/// is written whole or not at all.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
    castmark paper make midterm.yaml --class class.csv --to midterm\n  \
    castmark paper make midterm.yaml --class class.csv --to midterm --format html,text\n  \
    castmark paper make midterm.yaml --class class.csv --to midterm --secret ../midterm.secret")]
pub(super) struct Arguments {
    /// The blueprint
    #[arg(value_name = "BLUEPRINT")]
    blueprint: PathBuf,
    /// The class list: a table with commas, one candidate a line
    #[arg(long, value_name = "LIST")]
    class: PathBuf,
    /// The folder for the papers
    #[arg(long, value_name = "FOLDER")]
    to: PathBuf,
    /// The file of the secret; without this, it lies beside the folder under its name and `.secret`,
    /// and is made when there is none
    #[arg(long, value_name = "FILE")]
    secret: Option<PathBuf>,
    /// Use a secret again that has drawn papers of this blueprint before; the new papers get problems
    /// that none of those has, for a further group or sitting
    #[arg(long)]
    further: bool,
    /// What to make of each document, with commas between; without this, html, or what is there
    /// already
    #[arg(long, value_name = "FORMATS", value_delimiter = ',', value_parser = format_parser())]
    format: Vec<&'static str>,
    /// The size of the paper, for formats with pages; without this, a4, or what the papers that are
    /// there have
    #[arg(long, value_parser = paper_parser())]
    paper: Option<PaperSize>,
    /// Write only the files bound for the class, and none for each candidate
    #[arg(long)]
    bound_only: bool,
    /// Begin each candidate on a new sheet in the PDF for the class, for printing on both sides
    #[arg(long)]
    both_sides: bool,
    #[command(flatten)]
    bank: WhichBank,
}

/// Makes the papers.
pub(super) fn run(arguments: &Arguments, terminal: &mut Terminal) -> Result<Outcome, Failure> {
    let bank = arguments.bank.load(terminal)?;
    let mut blueprint = read_blueprint(&arguments.blueprint, &bank, terminal)?;
    let class = read_class(&arguments.class)?;
    let avoid = read_avoided(&blueprint, &arguments.blueprint)?;
    let to = real_place(&arguments.to)?;
    let _folder = Lock::take(&to, terminal)?;
    let folder = Folder::look(&to)?;
    let formats = arguments.formats(&folder.endings())?;
    let place = arguments.secret.clone().unwrap_or_else(|| secrets::usual_place(&to));
    let place = real_place(&place)?;
    let _secret = Lock::take(&place, terminal)?;
    let known = secrets::read(&place)?;
    if known.is_none() && folder.set.is_some() {
        return Err(Failure::unusable(format!(
            "the papers in `{}` were made under a secret that is not in `{}`; give its file with \
             --secret",
            arguments.to.display(),
            place.display()
        )));
    }
    let mut secret = known.clone().map_or_else(secrets::new, Ok)?;
    let used = secret.used(&blueprint.id);
    if used > 0 && folder.set.is_none() && !arguments.further {
        return Err(arguments.used_before(&place, used, &blueprint.id));
    }
    if let Some(earlier) = &folder.set {
        blueprint = earlier.with_its_templates(blueprint, &bank).map_err(|all| no_papers(&all))?;
    }
    terminal.progress("drawing problems");
    let earlier = folder.set.as_ref();
    let made = {
        let (class, avoid) = (&class.candidates, avoid.as_ref());
        PaperSet::make(&bank, &blueprint, &secret.secret, class, earlier, used, avoid)
    };
    let mut set = made.map_err(|all| no_papers(&all))?;
    let paper = arguments.paper.unwrap_or_else(|| size_of(&set));
    set.paper_size = Some(paper.name().to_owned());
    let mut draft = folder.draft(&formats, arguments.bound_only)?;
    let left_out = write(arguments, &bank, &blueprint, &set, &formats, &mut draft, terminal)?;
    draft.write_privately(MANIFEST, set.write().as_bytes())?;
    secret.note(&blueprint.id, set.used());
    if known.as_ref() != Some(&secret) {
        secrets::keep(&place, &secret, known.is_none())?;
    }
    if let Err(failure) = draft.finish() {
        // No paper was made, so the secret is as it was.
        if let Some(known) = &known {
            secrets::keep(&place, known, false)?;
        }
        return Err(failure);
    }
    tell(arguments, &class, &set, earlier, terminal);
    for left in left_out {
        terminal.note(left);
    }
    if known.is_none() {
        let shown = place.display();
        terminal.note(format_args!(
            "the secret of these papers is in {shown}: keep it, and give it to nobody"
        ));
    } else if secrets::is_open_to_others(&place) {
        let shown = place.display();
        terminal.note(format_args!(
            "others on this machine can read the secret in {shown}; take their permission away"
        ));
    }
    Ok(Outcome::Done)
}

impl Arguments {
    /// The refusal to repeat papers that were made before.
    fn used_before(&self, place: &Path, used: u64, blueprint: &str) -> Failure {
        let (to, place) = (self.to.display(), place.display());
        Failure::unusable(format!(
            "`{to}` would be a new folder, but {used} papers of `{blueprint}` have been drawn under \
             the secret in `{place}` before, and its papers would be the same; give --further for \
             problems that none of those has, or another file with --secret"
        ))
    }

    /// The formats asked for; without any, those of the papers that are there, or HTML.
    ///
    /// # Errors
    /// When only bound files are wanted of a format that has none.
    fn formats(&self, endings: &BTreeSet<String>) -> Result<Vec<&'static dyn Exporter>, Failure> {
        let mut formats: Vec<&'static dyn Exporter> = Vec::new();
        for format in EXPORTERS {
            let wanted = if !self.format.is_empty() {
                self.format.contains(&format.name())
            } else if endings.is_empty() {
                format.name() == "html"
            } else {
                endings.contains(format.extension())
            };
            if wanted {
                formats.push(*format);
            }
        }
        match formats.iter().find(|format| self.bound_only && format.is_package()) {
            Some(package) => Err(Failure::unusable(format!(
                "packages as {} are one for each candidate and not bound for the class; leave \
                 --bound-only out, or choose another format with --format",
                package.name()
            ))),
            None => Ok(formats),
        }
    }
}

/// Says what was made.
fn tell(
    arguments: &Arguments,
    class: &ClassList,
    set: &PaperSet,
    earlier: Option<&PaperSet>,
    terminal: &mut Terminal,
) {
    let count = set.papers.len();
    let papers = if count == 1 { "paper" } else { "papers" };
    let to = arguments.to.display();
    terminal.note(match earlier.map(|earlier| count - earlier.papers.len()) {
        Some(new) => format!("{count} {papers} in {to}, {new} of them new"),
        None => format!("{count} {papers} in {to}"),
    });
    let listed: BTreeSet<&str> = class.candidates.iter().map(|it| it.number.as_str()).collect();
    let papers = set.papers.iter();
    let gone = papers.filter(|paper| !listed.contains(paper.candidate.number.as_str())).count();
    if gone > 0 {
        terminal.note(format_args!(
            "{gone} of the candidates are not in the class list any more; they keep their papers"
        ));
    }
}

/// A document of a paper as a file.
struct Leaf {
    document: Document,
    exporter: &'static dyn Exporter,
    size: TypeSize,
    bytes: Vec<u8>,
    /// What the format cannot say of it.
    left_out: BTreeSet<String>,
}

/// Everything that is needed to make papers into files.
struct Workshop<'a> {
    bank: &'a Bank,
    blueprint: &'a Blueprint,
    set: &'a PaperSet,
    presses: Vec<PaperPress>,
}

/// Writes the files, and returns what a format could not say.
fn write(
    arguments: &Arguments,
    bank: &Bank,
    blueprint: &Blueprint,
    set: &PaperSet,
    formats: &[&'static dyn Exporter],
    draft: &mut Draft,
    terminal: &mut Terminal,
) -> Result<BTreeSet<String>, Failure> {
    let options = Options { paper: size_of(set), ..Options::default() };
    let presses = formats.iter().map(|format| PaperPress::new(*format, &options));
    let presses = presses.collect::<Result<_, _>>().map_err(Failure::unusable)?;
    let workshop = Workshop { bank, blueprint, set, presses };
    let papers: Vec<(usize, &Paper)> = set.papers.iter().enumerate().collect();
    let mut left_out = BTreeSet::new();
    let mut binding = Binding { both_sides: arguments.both_sides, files: Vec::new() };
    for batch in papers.chunks(BATCH) {
        for (number, leaves) in workshop.leaves(batch)? {
            for mut leaf in leaves {
                left_out.append(&mut leaf.left_out);
                let candidate = &set.papers[number].candidate.number;
                binding.add(draft, candidate, &leaf)?;
                if arguments.bound_only {
                    continue;
                }
                let paper = file_name(number, candidate);
                let (folder, ending) = (leaf.document.name(), leaf.exporter.extension());
                draft.write(&format!("{folder}/{paper}.{ending}"), &leaf.bytes)?;
            }
        }
        let done = batch.last().map_or(0, |(number, _)| number + 1);
        terminal.progress(format_args!("{done} of {} papers", papers.len()));
    }
    binding.end(draft)?;
    if let Some(first) = set.papers.first() {
        for leaf in workshop.documents(first, &[Document::Moderation])? {
            let name = format!("{}.{}", leaf.document.name(), leaf.exporter.extension());
            draft.write(&name, &leaf.bytes)?;
        }
    }
    Ok(left_out)
}

impl Workshop<'_> {
    /// The files of a batch of papers, made by as many hands as the machine has.
    fn leaves(&self, batch: &[(usize, &Paper)]) -> Result<Vec<(usize, Vec<Leaf>)>, Failure> {
        let made = hands::each(batch, |(number, paper)| {
            Ok((*number, self.documents(paper, &Document::OF_CANDIDATES)?))
        });
        made.into_iter().collect()
    }

    /// Documents of a paper in every format.
    fn documents(&self, paper: &Paper, documents: &[Document]) -> Result<Vec<Leaf>, Failure> {
        let problems = paper.problems(self.bank, self.blueprint, &self.set.made_by);
        let problems = problems.map_err(Failure::unusable)?;
        let mut leaves = Vec::with_capacity(documents.len() * self.presses.len());
        for document in documents {
            let made_by = |press: &&PaperPress| document.is_made_by(press.exporter());
            let presses: Vec<&PaperPress> = self.presses.iter().filter(made_by).collect();
            if presses.is_empty() {
                continue;
            }
            let sheet = Sheet::of_paper(self.bank, self.blueprint, paper, &problems, *document)
                .map_err(Failure::unusable)?;
            for press in presses {
                leaves.push(Leaf {
                    document: *document,
                    exporter: press.exporter(),
                    size: press.type_size(paper),
                    bytes: press.print(&sheet, paper).map_err(Failure::unusable)?,
                    left_out: press.exporter().left_out(&sheet).into_iter().collect(),
                });
            }
        }
        Ok(leaves)
    }
}

/// The files that hold a document for the whole class, large print apart from the others.
struct Binding {
    both_sides: bool,
    files: Vec<(String, Binder)>,
}

impl Binding {
    fn add(&mut self, draft: &mut Draft, candidate: &str, leaf: &Leaf) -> Result<(), Failure> {
        let new = Binder::new(leaf.exporter.name(), self.both_sides);
        let Some(new) = new else { return Ok(()) };
        let ending = new.extension().unwrap_or(leaf.exporter.extension());
        let large = if leaf.size == TypeSize::Large { "-large-print" } else { "" };
        let name = format!("{}{large}.{ending}", leaf.document.name());
        let place = self.files.iter().position(|(known, _)| *known == name);
        let place = place.unwrap_or_else(|| {
            self.files.push((name.clone(), new));
            self.files.len() - 1
        });
        let piece = self.files[place].1.add(candidate, &leaf.bytes);
        draft.append(&name, &piece.map_err(Failure::unusable)?)
    }

    fn end(self, draft: &mut Draft) -> Result<(), Failure> {
        for (name, binder) in self.files {
            draft.append(&name, &binder.end())?;
        }
        Ok(())
    }
}
