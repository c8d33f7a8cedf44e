//! `castmark mark`: the answers of a class, marked.

mod folder;
mod telling;

use std::path::PathBuf;

use castmark::bank::{Bank, Blueprint};
use castmark::export::{
    Document, MarksTitle, Options, PaperPress, Sheet, by_hand_head, by_hand_table, exporter,
    feedback_page, marks_head, marks_lines, marks_table, marks_table_head,
};
use castmark::marking::Settings;
use castmark::paper::{Answers, Asked, ClassMarking, HandMarks, PaperMarks, PaperSet};
use clap::Args;

use super::banks::WhichBank;
use super::check::read_rules;
use super::draft::Draft;
use super::hands;
use super::outcome::{Failure, Outcome};
use super::paper::{all_of, blueprint_of, file_name, read_bytes, read_manifest};
use super::terminal::Terminal;
use folder::{BY_HAND, FEEDBACK, HAND, Kept, LINES, SOLUTIONS, TABLE};
use telling::{DraftTable, Told};

/// How many papers are marked before progress is told.
const BATCH: usize = 64;

/// Mark the answers of a class against the manifest of its papers.
///
/// The answers are a table with commas, one row for each part (candidate, question, part, answer) or
/// one for each candidate (candidate, 1a, 1b, 2), or the same as JSON Lines. Questions are numbered as
/// on each candidate's paper. When anything in the answers cannot be placed, everything that is wrong
/// is told and nothing is written.
///
/// The folder gets marks.csv for a spreadsheet, marks.jsonl with everything, a page of feedback for
/// each candidate, and by-hand.csv with the answers that a person must mark. Fill that in and give it
/// with --hand; marks can be changed in the same way. They are kept in hand.jsonl and survive marking
/// again.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
    castmark mark midterm/manifest.jsonl answers.csv --to marks --draft\n  \
    castmark mark midterm/manifest.jsonl answers.csv --to marks\n  \
    castmark mark midterm/manifest.jsonl answers.csv --to marks --hand marks/by-hand.csv")]
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
    /// Marks given by hand: a table with candidate, question, part, marks, who, why and when
    #[arg(long, value_name = "FILE")]
    hand: Option<PathBuf>,
    /// A file with rules of marking of your own
    #[arg(long, value_name = "FILE")]
    rules: Option<PathBuf>,
    /// Write the worked solutions of each paper as well, beside the feedback
    #[arg(long)]
    solutions: bool,
    /// Write no page of feedback for each candidate, only the files for the whole class
    #[arg(long)]
    no_feedback: bool,
    /// Change nothing, and print what the marks would be
    #[arg(long)]
    draft: bool,
    #[command(flatten)]
    bank: WhichBank,
}

/// Marks the class.
pub(super) fn run(arguments: &Arguments, terminal: &mut Terminal) -> Result<Outcome, Failure> {
    let settings = match &arguments.rules {
        Some(path) => read_rules(path, terminal)?,
        None => Settings::default(),
    };
    let set = read_manifest(&arguments.manifest)?;
    let bank = arguments.bank.load(terminal)?;
    let heading = "the blueprint in the manifest cannot be used with this bank";
    let blueprint = blueprint_of(set.blueprint.clone(), &bank, heading, terminal)?;
    let blueprint = set.with_its_templates(blueprint, &bank).map_err(|all| no_marks(&all))?;
    let asked = Asked::of(&set, &blueprint);
    let kept = Kept::look(&arguments.to, &set, !arguments.draft)?;
    let Entered { answers, hand, empty } = read_entries(arguments, &asked, &kept)?;
    let marking = ClassMarking {
        bank: &bank,
        blueprint: &blueprint,
        set: &set,
        settings: &settings,
        answers: &answers,
        hand: &hand,
    };
    let mut told = Told::default();
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
        let title = MarksTitle {
            title: blueprint.title.clone(),
            fingerprint: set.fingerprint(),
            made_by: env!("CARGO_PKG_VERSION").to_owned(),
            own_rules: arguments.rules.is_some(),
        };
        let mut output = Output::begin(arguments, &marking, &title)?;
        mark(&marking, terminal, |batch| {
            for (_, paper) in batch {
                told.add(paper);
            }
            output.add(batch)
        })?;
        output.draft.finish()?;
        told.tell_written(&arguments.to, terminal);
    }
    told.tell(empty, &marking.changed_templates(), terminal);
    Ok(Outcome::Done)
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
    let read = Answers::read(&read_bytes(&arguments.answers)?, asked);
    let answers = read.unwrap_or_else(|problems| {
        failures.push(all_of("answers", &arguments.answers, &problems));
        Answers { papers: Vec::new() }
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
        match hand.add_table(&read_bytes(path)?, asked, &answers) {
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

/// Refuses to write over a list that somebody has filled in and not handed back.
fn not_forgotten(
    arguments: &Arguments,
    asked: &Asked,
    kept: &Kept,
    answers: &Answers,
    hand: &HandMarks,
) -> Result<(), Failure> {
    let Some(bytes) = &kept.by_hand else { return Ok(()) };
    let mut filled = HandMarks::default();
    let sound = filled.add_table(bytes, asked, answers).is_ok();
    if sound && filled.missing_from(hand) == 0 {
        return Ok(());
    }
    let shown = arguments.to.join(BY_HAND);
    let shown = shown.display();
    Err(Failure::unusable(format!(
        "`{shown}` has been filled in since it was written and would be written anew; give it with \
         --hand {shown}, or move it to another place"
    )))
}

/// Marks all papers, both cores at work, and hands them on in batches, each with its place in the
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

/// The folder of marks while it is written, so that a large class need not be held at once.
struct Output<'a> {
    arguments: &'a Arguments,
    marking: &'a ClassMarking<'a>,
    title: &'a MarksTitle,
    draft: Draft,
}

impl<'a> Output<'a> {
    fn begin(
        arguments: &'a Arguments,
        marking: &'a ClassMarking<'a>,
        title: &'a MarksTitle,
    ) -> Result<Self, Failure> {
        let mut folders = Vec::new();
        if !arguments.no_feedback {
            folders.push(FEEDBACK);
        }
        if arguments.solutions {
            folders.push(SOLUTIONS);
        }
        let mut draft = Draft::begin(&arguments.to, &folders, folder::WHAT)?;
        draft.write(TABLE, marks_table_head(marking.set.templates.len()).as_bytes())?;
        draft.write(LINES, marks_head(title).as_bytes())?;
        draft.write(BY_HAND, by_hand_head().as_bytes())?;
        if !marking.hand.is_empty() {
            draft.write(HAND, marking.hand.write().as_bytes())?;
        }
        Ok(Self { arguments, marking, title, draft })
    }

    fn add(&mut self, batch: &[(usize, PaperMarks)]) -> Result<(), Failure> {
        let questions = self.marking.set.templates.len();
        let pieces = hands::each(batch, |(place, paper)| self.pieces(*place, paper, questions));
        let [mut rows, mut lines, mut by_hand] = [const { String::new() }; 3];
        for piece in pieces {
            let piece = piece?;
            rows.push_str(&piece.row);
            lines.push_str(&piece.lines);
            by_hand.push_str(&piece.by_hand);
            for (name, bytes) in piece.pages {
                self.draft.write(&name, &bytes)?;
            }
        }
        self.draft.append(TABLE, rows.as_bytes())?;
        self.draft.append(LINES, lines.as_bytes())?;
        self.draft.append(BY_HAND, by_hand.as_bytes())
    }

    fn pieces(
        &self,
        place: usize,
        paper: &PaperMarks,
        questions: usize,
    ) -> Result<Pieces, Failure> {
        let one = std::slice::from_ref(paper);
        let mut pages = Vec::new();
        if !paper.absent {
            let name = format!("{}.html", file_name(place, &paper.candidate.number));
            let solutions = self.arguments.solutions;
            if !self.arguments.no_feedback {
                let beside = format!("../{SOLUTIONS}/{name}");
                let beside = solutions.then_some(beside.as_str());
                let page = feedback_page(&self.title.title, paper, beside);
                pages.push((format!("{FEEDBACK}/{name}"), page.into_bytes()));
            }
            if solutions {
                let ClassMarking { bank, blueprint, set, .. } = self.marking;
                let key = worked(bank, blueprint, set, place)?;
                pages.push((format!("{SOLUTIONS}/{name}"), key));
            }
        }
        Ok(Pieces {
            row: marks_table(one, questions),
            lines: marks_lines(one),
            by_hand: by_hand_table(one),
            pages,
        })
    }
}

/// What a paper adds to the folder.
struct Pieces {
    row: String,
    lines: String,
    by_hand: String,
    pages: Vec<(String, Vec<u8>)>,
}

/// The key of a paper as a web page.
fn worked(
    bank: &Bank,
    blueprint: &Blueprint,
    set: &PaperSet,
    place: usize,
) -> Result<Vec<u8>, Failure> {
    let Some((paper, html)) = set.papers.get(place).zip(exporter("html")) else {
        return Ok(Vec::new());
    };
    let problems = paper.problems(bank, blueprint, &set.made_by).map_err(Failure::unusable)?;
    let sheet = Sheet::of_paper(bank, blueprint, paper, &problems, Document::Key);
    let press = PaperPress::new(html, &Options::default()).map_err(Failure::unusable)?;
    press.print(&sheet.map_err(Failure::unusable)?, paper).map_err(Failure::unusable)
}

/// Everything that stands in the way of marks.
fn no_marks(problems: &[impl std::fmt::Display]) -> Failure {
    let lines: Vec<String> = problems.iter().map(|problem| format!("  {problem}")).collect();
    Failure::unusable(format!("nothing was marked\n{}", lines.join("\n")))
}
