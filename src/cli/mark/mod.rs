//! `castmark mark`: the answers of a class, marked.

mod folder;
mod output;
mod returned;
mod telling;

use std::collections::BTreeMap;
use std::path::PathBuf;

use castmark::bank::{Grade, Grading, Threshold};
use castmark::export::{DocumentKind, Exporter, Options, PaperSize, head_questions};
use castmark::marking::Settings;
use castmark::marks::{FileText, MarksHead};
use castmark::paper::{Answers, Asked, ClassMarking, HandMarks, PaperMarks, PaperSet};
use clap::Args;

use super::banks::WhichBank;
use super::check::read_rules;
use super::disk::{Limit, Lock, read_bytes, read_from, real_path};
#[cfg(feature = "pdf")]
use super::fonts::read_font;
use super::formats::{chosen, format_parser};
use super::layouts::Layouts;
use super::outcome::{Failure, Outcome};
use super::paper::{all_of, blueprint_of, read_manifest};
use super::printing::paper_parser;
use super::terminal::Terminal;
use folder::{HAND, Kept};
use output::Output;
use returned::Returned;
use telling::{DraftTable, Summary};

/// How many papers are marked before progress is told.
const BATCH: usize = 64;

/// Mark the answers of a class against the manifest of its papers.
///
/// The answers are a table with commas, one row for each part (candidate, question, part, answer) or
/// one for each candidate (candidate, 1a, 1b, 2), or the same as JSON Lines. Questions are numbered as
/// on each candidate's paper. When anything in the answers cannot be placed, everything that is wrong
/// is told and nothing is written.
///
/// The folder gets marks.csv for a spreadsheet, results.csv and results.html by number to post,
/// marks.jsonl with everything, feedback for each candidate, and by-hand.csv with the answers that a
/// person must mark.
/// Fill that in and give it with --hand; marks can be changed in the same way, and the word `withdraw`
/// takes one back. Where two markers differ, differences.csv lists it. Marks by hand are kept in
/// hand.jsonl and survive marking again.
#[allow(clippy::struct_excessive_bools, reason = "each is a switch of the command line")]
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
    castmark mark midterm/manifest.jsonl answers.csv --to marks --draft\n  \
    castmark mark midterm/manifest.jsonl answers.csv --to marks\n  \
    castmark mark midterm/manifest.jsonl answers.csv --to marks --hand marks/by-hand.csv\n  \
    castmark mark midterm/manifest.jsonl answers.csv --to marks --pass '50 %' --grade 'Merit=65 %'")]
pub(super) struct Arguments {
    /// The manifest, `manifest.jsonl` in the folder of the papers
    #[arg(value_name = "MANIFEST")]
    manifest: PathBuf,
    /// The answers
    #[arg(value_name = "ANSWERS")]
    answers: PathBuf,
    /// The folder for the marks
    #[arg(long, value_name = "FOLDER")]
    to: PathBuf,
    /// Marks given by hand: a table with candidate, question, part, marks, who, why and when, and with
    /// `second`, `second_who` and `agreed` where two mark
    #[arg(long, value_name = "FILE")]
    hand: Option<PathBuf>,
    /// A file with rules of marking, in the place of those of the blueprint
    #[arg(long, value_name = "FILE")]
    rules: Option<PathBuf>,
    /// The pass mark: `50 %` of the marks, or `40 marks`; by default that of the blueprint, or of earlier
    /// marking
    #[arg(long, value_name = "PASS", value_parser = Threshold::parse)]
    pass: Option<Threshold>,
    /// A grade and from where it is given, such as `Merit=60 %`; the highest first, once for each
    #[arg(long = "grade", value_name = "GRADE=FROM", value_parser = Grade::parse)]
    grades: Vec<Grade>,
    /// Write the worked solutions of each paper too; a class that has them keeps them
    #[arg(long)]
    solutions: bool,
    /// Remove the worked solutions that are there from earlier marking
    #[arg(long, conflicts_with = "solutions")]
    no_solutions: bool,
    /// What to make of the feedback and the solutions, with commas between; without this, html, or
    /// what is there already
    #[arg(long, value_name = "FORMATS", value_delimiter = ',')]
    #[arg(value_parser = format_parser(DocumentKind::Feedback))]
    format: Vec<&'static dyn Exporter>,
    /// A layout of your own, by the end of its name: feedback.html.jinja for the feedback as html,
    /// report.html.jinja for castmark analyse, others for the solutions; by default those of the papers
    #[arg(long, value_name = "FILE")]
    layout: Vec<PathBuf>,
    /// The size of the paper, for formats with pages
    #[arg(long, value_parser = paper_parser(), default_value = "a4", hide_default_value = true)]
    paper: PaperSize,
    /// The file of a font beside those in the program, for PDF, where names need one
    #[cfg(feature = "pdf")]
    #[arg(long, value_name = "FILE")]
    font: Option<PathBuf>,
    /// Write no pages for candidates, only the files for the class, and remove those that are there
    #[arg(long, conflicts_with = "solutions")]
    no_pages: bool,
    /// Change nothing, and print what the marks would be
    #[arg(long)]
    draft: bool,
    #[command(flatten)]
    bank: WhichBank,
}

/// Marks the class.
pub(super) fn run(arguments: &Arguments, terminal: &mut Terminal) -> Result<Outcome, Failure> {
    let rules = arguments.rules.as_ref().map(|path| read_rules(path, terminal)).transpose()?;
    let set = read_manifest(&arguments.manifest)?;
    let bank = arguments.bank.load(terminal)?;
    let heading = "the blueprint in the manifest cannot be used with this bank";
    let blueprint = blueprint_of(set.blueprint.clone(), &bank, heading, terminal)?;
    let blueprint = set.with_its_templates(blueprint, &bank).map_err(|all| no_marks(&all))?;
    let of_paper = Settings::of(&blueprint.marking);
    if rules.is_some() && of_paper != Settings::default() {
        terminal.note("the rules in the file replace those in the blueprint");
    }
    let settings = rules.unwrap_or(of_paper);
    let asked = Asked::of(&set, &blueprint);
    let to = real_path(&arguments.to)?;
    let lock = (!arguments.draft).then(|| Lock::take(&to, terminal));
    let _lock = lock.transpose()?;
    let kept = Kept::look(&to, &set, !arguments.draft)?;
    let grading = arguments.grading(&blueprint.grading, &kept.grading, blueprint.marks())?;
    let formats = chosen(DocumentKind::Feedback, &arguments.format, &kept.endings)?;
    let Entered { answers, hand, empty } = read_entries(arguments, &asked, &kept)?;
    let marking = ClassMarking {
        bank: &bank,
        blueprint: &blueprint,
        set: &set,
        settings: &settings,
        answers: &answers,
        hand: &hand,
    };
    let solutions = arguments.solutions || (kept.solutions && !arguments.no_solutions);
    let layouts = arguments.layouts(&set, &formats, solutions)?;
    let mut told = Summary::default();
    if arguments.draft {
        let mut table = DraftTable::new(&kept);
        mark(&marking, terminal, |batch| {
            for (_, paper) in batch {
                told.add(paper);
                table.add(paper);
            }
            Ok(())
        })?;
        table.print(&arguments.to, terminal)?;
    } else {
        let (title, made_by) = (blueprint.title.clone(), env!("CARGO_PKG_VERSION").to_owned());
        let own_rules = settings != Settings::default();
        let head = MarksHead {
            questions: head_questions(&blueprint),
            grading,
            letterhead: blueprint.letterhead.clone(),
            foot: blueprint.foot.clone(),
            layouts: layouts
                .texts(&[DocumentKind::Report])
                .into_iter()
                .map(FileText::from)
                .collect(),
            ..MarksHead::new(title, set.fingerprint(), made_by, own_rules)
        };
        let returned = (!arguments.no_pages).then(|| {
            let options = Options {
                paper: arguments.paper,
                #[cfg(feature = "pdf")]
                font: read_font(arguments.font.as_deref())?,
                ..Options::default()
            };
            Returned::new(&marking, &head, &formats, &layouts, &options, solutions)
        });
        let returned = returned.transpose()?;
        let mut output = Output::begin(&to, &marking, &head, returned)?;
        mark(&marking, terminal, |batch| {
            for (_, paper) in batch {
                told.add(paper);
            }
            output.add(batch)
        })?;
        output.finish()?;
        told.tell_written(&arguments.to, terminal);
    }
    told.tell(empty, &marking.changed_templates(), terminal);
    Ok(Outcome::Done)
}

impl Arguments {
    /// The layouts asked for, and those that the papers have.
    fn layouts(
        &self,
        set: &PaperSet,
        formats: &[&'static dyn Exporter],
        solutions: bool,
    ) -> Result<Layouts, Failure> {
        let asked = Layouts::read(&self.layout)?;
        let is_made = |name: &str| formats.iter().any(|format| format.name() == name);
        asked.check(|kind, name| match kind {
            DocumentKind::Sheet => solutions && is_made(name),
            DocumentKind::Feedback => is_made(name),
            DocumentKind::Report => true,
            DocumentKind::Account => false,
        })?;
        Ok(asked.or(Layouts::of(&set.layouts)?))
    }

    /// The grading asked for; what is not asked for is as in earlier marking or in the blueprint.
    fn grading(&self, planned: &Grading, kept: &Grading, of: u32) -> Result<Grading, Failure> {
        let or = |kept: &Grading| Grading {
            pass: self.pass.or(kept.pass),
            grades: if self.grades.is_empty() { kept.grades.clone() } else { self.grades.clone() },
        };
        let grading = or(if kept.is_empty() { planned } else { kept });
        grading.check(of).map_err(|(_, what)| {
            Failure::unusable(format!("the pass mark and the grades cannot be used: {what}"))
        })?;
        Ok(grading)
    }
}

/// What was entered.
struct Entered {
    answers: Answers,
    hand: HandMarks,
    /// How many rows of the table of marks by hand have no marks yet.
    empty: usize,
}

/// Reads the answers and the marks given by hand; what is wrong with either is told together.
fn read_entries(arguments: &Arguments, asked: &Asked, kept: &Kept) -> Result<Entered, Failure> {
    let mut failures = Vec::new();
    let read = read_from(&arguments.answers, |source| Answers::read_from(source, asked))?;
    let answers = read.unwrap_or_else(|problems| {
        failures.push(all_of("answers", &arguments.answers, &problems));
        Answers { papers: Vec::new(), statuses: BTreeMap::new() }
    });
    let mut hand = match &kept.hand {
        Some(text) => HandMarks::read_record(text, asked).unwrap_or_else(|problems| {
            failures.push(all_of("marks by hand", &arguments.to.join(HAND), &problems));
            HandMarks::default()
        }),
        None => HandMarks::default(),
    };
    let mut empty = 0;
    if let Some(path) = &arguments.hand {
        match hand.add_table(&read_bytes(path, Limit::Table)?, asked, &answers) {
            Ok(rows) => empty = rows,
            Err(problems) => failures.push(all_of("marks by hand", path, &problems)),
        }
    }
    if failures.is_empty() {
        if !arguments.draft {
            not_forgotten(arguments, asked, kept, &answers, &hand)?;
        }
        return Ok(Entered { answers, hand, empty });
    }
    let texts: Vec<String> = failures
        .into_iter()
        .filter_map(|failure| match failure {
            Failure::Unusable(text) => Some(text),
            Failure::NobodyReads => None,
        })
        .collect();
    Err(Failure::unusable(format!("{}\nnothing was marked", texts.join("\n"))))
}

/// Refuses to write over a table that somebody has filled in and not handed back.
fn not_forgotten(
    arguments: &Arguments,
    asked: &Asked,
    kept: &Kept,
    answers: &Answers,
    hand: &HandMarks,
) -> Result<(), Failure> {
    for (name, bytes) in &kept.to_fill_in {
        let mut filled = HandMarks::default();
        let sound = filled.add_table(bytes, asked, answers).is_ok();
        if sound && filled.missing_from(hand) == 0 {
            continue;
        }
        let shown = arguments.to.join(name);
        let shown = shown.display();
        return Err(Failure::unusable(format!(
            "`{shown}` has been filled in since it was written and would be written anew; give it with \
             --hand {shown}, or move it to another place"
        )));
    }
    Ok(())
}

/// Marks all papers, both cores at work, and hands them on in batches, each with its index in the
/// set. What is handed on after a paper that cannot be marked comes to nothing.
fn mark(
    marking: &ClassMarking<'_>,
    terminal: &mut Terminal,
    mut use_them: impl FnMut(&[(usize, PaperMarks)]) -> Result<(), Failure>,
) -> Result<(), Failure> {
    let places: Vec<usize> = (0..marking.set.papers.len()).collect();
    let mut problems = Vec::new();
    for batch in places.chunks(BATCH) {
        let mut papers = Vec::with_capacity(batch.len());
        for (place, marked) in batch.iter().zip(marking.mark(batch)) {
            match marked {
                Ok(paper) => papers.push((*place, paper)),
                Err(problem) => problems.push(problem),
            }
        }
        if problems.is_empty() {
            use_them(&papers)?;
        }
        let done = batch.last().map_or(0, |place| place + 1);
        terminal.progress(format_args!("{done} of {} papers marked", places.len()));
    }
    terminal.clear_progress();
    if problems.is_empty() { Ok(()) } else { Err(no_marks(&problems)) }
}

/// Everything that stands in the way of marks.
fn no_marks(problems: &[impl std::fmt::Display]) -> Failure {
    let lines: Vec<String> = problems.iter().map(|problem| format!("  {problem}")).collect();
    Failure::unusable(format!("nothing was marked\n{}", lines.join("\n")))
}
