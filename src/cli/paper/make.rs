//! `castmark paper make`: a paper for every candidate of a class.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use castmark::bank::{Bank, Blueprint, Clock};
use castmark::draw::Seed;
use castmark::export::{DocumentKind, EXPORTERS, Exporter, PaperSize, empty_answers};
use castmark::paper::{Candidate, PaperSet, Together};
use clap::{Args, ValueEnum};

use super::super::banks::WhichBank;
use super::super::disk::{Lock, real_path};
#[cfg(feature = "pdf")]
use super::super::fonts::{read_font, unwritable};
use super::super::formats::{chosen, format_parser};
use super::super::layouts::Layouts;
use super::super::outcome::{Failure, Outcome};
use super::super::printing::paper_parser;
use super::super::terminal::Terminal;
use super::changes::tell;
use super::documents::{ANSWERS, Wanted};
use super::folder::{Folder, MANIFEST};
use super::making::Making;
use super::{no_papers, read_avoided, read_blueprint, read_class, secrets, size_of};

/// Make a paper for every candidate, with key, mark scheme and answer slip, and what the room needs.
///
/// Run it again with a longer class list to add candidates: nobody else's paper changes, what has not
/// changed is not made again, and what has is named for printing. The folder is written either
/// completely or not at all.
#[allow(clippy::struct_excessive_bools, reason = "each is a switch of the command line")]
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
    castmark paper make midterm.yaml --class class.csv --to midterm\n  \
    castmark paper make midterm.yaml --class class.csv --to midterm --format html,text\n  \
    castmark paper make midterm.yaml --class class.csv --to midterm --documents papers,grids,room\n  \
    castmark paper make midterm.yaml --class class.csv --to midterm --by room --starts 09:30\n  \
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
    #[arg(long, value_name = "FORMATS", value_delimiter = ',')]
    #[arg(value_parser = format_parser(DocumentKind::Sheet))]
    format: Vec<&'static dyn Exporter>,
    /// The size of the paper, for formats with pages; without this, a4, or what the papers that are
    /// there have
    #[arg(long, value_parser = paper_parser())]
    paper: Option<PaperSize>,
    /// Which documents to make, with commas between; by default all but grids, or those that are there
    /// already
    #[arg(long, value_name = "DOCUMENTS", value_delimiter = ',', value_enum)]
    documents: Vec<Wanted>,
    /// Bind the files by the room or the group of the class list, and not for the whole class
    #[arg(long, value_enum, value_name = "WHAT")]
    by: Option<By>,
    /// The time of the day at which the paper begins, such as 09:30, for the room; by default that of the
    /// blueprint
    #[arg(long, value_name = "TIME", value_parser = Clock::parse)]
    starts: Option<Clock>,
    /// How many seats are beside each other on the seat plan
    #[arg(long, value_name = "SEATS", default_value_t = 5)]
    #[arg(value_parser = clap::value_parser!(u8).range(1..=20))]
    across: u8,
    /// A layout of your own for one format, which the end of its name tells: .html.jinja, .typ.jinja for
    /// PDF, .md.jinja or .txt.jinja. It is for papers, keys, schemes and slips; one whose name ends in
    /// feedback or report before that is kept for marking. Once for each; later runs keep them
    #[arg(long, value_name = "FILE")]
    layout: Vec<PathBuf>,
    /// Use no layout that an earlier run was given
    #[arg(long)]
    no_layout: bool,
    /// The file of a font beside those in the program, for PDF, where names need one
    #[cfg(feature = "pdf")]
    #[arg(long, value_name = "FILE")]
    font: Option<PathBuf>,
    /// Write only the files bound for the class, and none for each candidate
    #[arg(long)]
    bound_only: bool,
    /// Begin each candidate on a new sheet in the PDF for the class, for printing on both sides
    #[arg(long)]
    both_sides: bool,
    #[command(flatten)]
    bank: WhichBank,
}

/// By what files are bound.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum By {
    /// The groups of the class list
    Group,
    /// The rooms of the class list
    Room,
}

/// Makes the papers.
pub(super) fn run(arguments: &Arguments, terminal: &mut Terminal) -> Result<Outcome, Failure> {
    let bank = arguments.bank.load(terminal)?;
    let mut blueprint = read_blueprint(&arguments.blueprint, &bank, terminal)?;
    let class = read_class(&arguments.class)?;
    let avoid = read_avoided(&blueprint, &arguments.blueprint)?;
    let to = real_path(&arguments.to)?;
    let _folder = Lock::take(&to, terminal)?;
    let folder = Folder::look(&to)?;
    let formats = arguments.formats(&folder.endings())?;
    let secret_file = arguments.secret.clone().unwrap_or_else(|| secrets::usual_path(&to));
    let secret_file = real_path(&secret_file)?;
    let _secret = Lock::take(&secret_file, terminal)?;
    let known = secrets::read(&secret_file)?;
    if known.is_none() && folder.set.is_some() {
        return Err(Failure::unusable(format!(
            "the papers in `{}` were made under a secret that is not in `{}`; give its file with \
             --secret",
            arguments.to.display(),
            secret_file.display()
        )));
    }
    let mut secret = known.clone().map_or_else(secrets::new, Ok)?;
    let used = secret.used(&blueprint.id);
    if used > 0 && folder.set.is_none() && !arguments.further {
        return Err(arguments.used_before(&secret_file, used, &blueprint.id));
    }
    if let Some(earlier) = &folder.set {
        blueprint = earlier.with_its_templates(blueprint, &bank).map_err(|all| no_papers(&all))?;
        arguments.not_typed_into(&folder, earlier, &blueprint)?;
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
    let layouts = arguments.layouts(&blueprint, earlier, &formats)?;
    set.layouts = layouts.texts(&DocumentKind::LAID_OUT);
    set.pressed = Some(arguments.pressed(paper, &layouts)?);
    let making = Making {
        folder: &folder,
        by: arguments.by(&class.candidates)?,
        documents: Wanted::chosen(&arguments.documents, folder.there()),
        formats,
        layouts,
        both_sides: arguments.both_sides,
        bound_only: arguments.bound_only,
        starts: arguments.starts,
        across: usize::from(arguments.across),
        #[cfg(feature = "pdf")]
        font: read_font(arguments.font.as_deref())?,
    };
    #[cfg(feature = "pdf")]
    let unwritable = if making.formats.iter().any(|format| format.name() == "pdf") {
        unwritable(&class.candidates, making.font.as_ref())
    } else {
        None
    };
    let mut draft = folder.draft(&making.folders(&set))?;
    let changes = making.write(&bank, &blueprint, &set, &mut draft, terminal)?;
    draft.write(MANIFEST, set.write().as_bytes())?;
    secret.note(&blueprint.id, set.used());
    if known.as_ref() != Some(&secret) {
        secrets::keep(&secret_file, &secret, known.is_none())?;
    }
    if let Err(failure) = draft.finish() {
        // No paper was made, so the secret is as it was.
        if let Some(known) = &known {
            secrets::keep(&secret_file, known, false)?;
        }
        return Err(failure);
    }
    tell(&arguments.to, &class, &set, earlier, terminal);
    changes.tell(terminal);
    #[cfg(feature = "pdf")]
    if let Some(unwritable) = unwritable {
        terminal.note(unwritable);
    }
    if known.is_none() {
        let shown = secret_file.display();
        terminal.note(format_args!(
            "the secret of these papers is in {shown}: keep it, and give it to nobody"
        ));
    } else if secrets::is_open_to_others(&secret_file) {
        let shown = secret_file.display();
        terminal.note(format_args!(
            "others on this machine can read the secret in {shown}; take their permission away"
        ));
    }
    Ok(Outcome::Done)
}

impl Arguments {
    /// The refusal to repeat papers that were made before.
    fn used_before(&self, secret_file: &Path, used: u64, blueprint: &str) -> Failure {
        let (to, secret_file) = (self.to.display(), secret_file.display());
        Failure::unusable(format!(
            "`{to}` would be a new folder, but {used} papers of `{blueprint}` have been drawn under \
             the secret in `{secret_file}` before, and its papers would be the same; give --further for \
             problems that none of those has, or another file with --secret"
        ))
    }

    /// The layouts asked for, those that the blueprint names, and those of an earlier run.
    fn layouts(
        &self,
        blueprint: &Blueprint,
        earlier: Option<&PaperSet>,
        formats: &[&'static dyn Exporter],
    ) -> Result<Layouts, Failure> {
        let asked = Layouts::read(&self.layout)?;
        asked.check(|kind, name| {
            kind != DocumentKind::Sheet || formats.iter().any(|format| format.name() == name)
        })?;
        let earlier = earlier.filter(|_| !self.no_layout);
        let earlier = earlier.map(|earlier| Layouts::of(&earlier.layouts)).transpose()?;
        let named = Layouts::named(&blueprint.layouts, &self.blueprint)?;
        Ok(asked.or(named).or(earlier.unwrap_or_default()))
    }

    /// By what the files are bound, which the class list must have.
    fn by(&self, class: &[Candidate]) -> Result<Option<Together>, Failure> {
        let Some(by) = self.by else { return Ok(None) };
        let by = match by {
            By::Group => Together::Group,
            By::Room => Together::Room,
        };
        if class.iter().any(|candidate| by.of(candidate).is_some()) {
            return Ok(Some(by));
        }
        let word = by.word();
        Err(Failure::unusable(format!(
            "expected a column `{word}` in the class list to bind by, found none; add it, or leave out --by"
        )))
    }

    /// By which it is known whether files come out the same again: the program, its layouts, the bank and
    /// the size of the paper.
    fn pressed(&self, paper: PaperSize, layouts: &Layouts) -> Result<String, Failure> {
        let own_layouts = layouts.texts(&[DocumentKind::Sheet]);
        let own = self.bank.own_files()?;
        let bundled = Bank::bundled_files();
        let files = bundled.iter().chain(&own).flat_map(|file| [&*file.path, &*file.text]);
        let bundled_layouts = EXPORTERS.iter().filter_map(|exporter| exporter.bundled_layout());
        let mut fields: Vec<&str> = vec![env!("CARGO_PKG_VERSION"), paper.name()];
        fields.push(if self.both_sides { "both sides" } else { "one side" });
        fields.extend(files);
        fields.extend(bundled_layouts.map(|(_, text)| text));
        fields.extend(own_layouts.iter().map(|it| &*it.text));
        #[cfg(feature = "pdf")]
        let font = self.font.as_ref().map(|path| path.display().to_string());
        #[cfg(feature = "pdf")]
        fields.extend(font.as_deref());
        let hash = Seed::derive(b"castmark pressed", "castmark pressed 1", &fields);
        Ok(hash.bytes().iter().take(16).map(|byte| format!("{byte:02x}")).collect())
    }

    /// Refuses to write over answers that somebody has typed in.
    fn not_typed_into(
        &self,
        folder: &Folder,
        earlier: &PaperSet,
        blueprint: &Blueprint,
    ) -> Result<(), Failure> {
        let Some(there) = folder.read(ANSWERS) else { return Ok(()) };
        if there == empty_answers(earlier, blueprint).as_bytes() {
            return Ok(());
        }
        let shown = self.to.join(ANSWERS);
        Err(Failure::unusable(format!(
            "`{}` is not empty any more and would be written anew; move it to another place",
            shown.display()
        )))
    }

    /// The formats asked for; without any, those of the papers that are there, or HTML.
    ///
    /// # Errors
    /// When only bound files are wanted of a format that has none, or what is there cannot be made by this
    /// program.
    fn formats(&self, endings: &BTreeSet<String>) -> Result<Vec<&'static dyn Exporter>, Failure> {
        let formats = chosen(DocumentKind::Sheet, &self.format, endings)?;
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
