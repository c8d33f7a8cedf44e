//! The documents of a candidate's paper.

use std::sync::Arc;

use crate::bank::{Bank, Blueprint};
use crate::marking::{FollowThrough, Settings, own_rules};
use crate::paper::{Need, Paper};
use crate::problem::Problem;

use crate::export::sheet::compose::{glossary, sources};
use crate::export::{
    AnswerSpace, CandidateField, ComposeProblem, Contents, Detail, Entry, ExportError, Exporter,
    Front, Layout, LayoutProblem, Lazy, MarkKind, Options, Section, Sheet, Square, TypeSize,
};

/// A document of a candidate's paper.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Document {
    /// The questions with room to answer.
    Questions,
    /// The answers and the worked solutions.
    Key,
    /// What is accepted, what marks are given for, and the known slips.
    Scheme,
    /// The answer lines alone.
    Slip,
    /// Each question with its key beside it, for who checks the paper.
    Moderation,
    /// Questions and marking in one package, for a platform.
    Package,
}

impl Document {
    /// What is made for every candidate.
    pub const OF_CANDIDATES: [Self; 5] =
        [Self::Questions, Self::Key, Self::Scheme, Self::Slip, Self::Package];

    /// Returns whether a format makes this document: a package is made by what makes packages, and
    /// nothing else is.
    pub fn is_made_by(self, exporter: &dyn Exporter) -> bool {
        (self == Self::Package) == exporter.is_package()
    }

    /// The name of the folder or file they stand in.
    pub fn name(self) -> &'static str {
        match self {
            Self::Questions => "papers",
            Self::Key => "keys",
            Self::Scheme => "schemes",
            Self::Slip => "slips",
            Self::Moderation => "moderation",
            Self::Package => "packages",
        }
    }

    fn contents(self) -> Contents {
        match self {
            Self::Questions | Self::Slip => Contents::QUESTIONS,
            Self::Key => Contents { questions: false, key: true, solutions: true },
            Self::Scheme | Self::Moderation => Contents::SOLUTIONS,
            Self::Package => Contents::ALL,
        }
    }

    fn title(self, title: &str) -> String {
        match self {
            Self::Questions | Self::Package => title.to_owned(),
            Self::Key => format!("{title}: key"),
            Self::Scheme => format!("{title}: mark scheme"),
            Self::Slip => format!("{title}: answer slip"),
            Self::Moderation => format!("{title}: for moderation"),
        }
    }

    fn is_for_candidates(self) -> bool {
        matches!(self, Self::Questions | Self::Slip)
    }

    /// Who reads it.
    pub fn reader(self) -> Reader {
        if self.is_for_candidates() { Reader::Candidate } else { Reader::Marker }
    }
}

/// Who reads a document, and so how large its letters are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reader {
    /// The candidate, who may need large print.
    Candidate,
    /// Whoever marks.
    Marker,
}

impl Sheet {
    /// A document of a paper, whose problems are given in the order in which they are printed.
    ///
    /// # Errors
    /// When the working of a problem cannot be shown.
    pub fn of_paper(
        bank: &Bank,
        blueprint: &Blueprint,
        paper: &Paper,
        problems: impl IntoIterator<Item: Into<Arc<Problem>>>,
        document: Document,
    ) -> Result<Self, ComposeProblem> {
        let contents = document.contents();
        let settings = Settings::of(&blueprint.marking);
        let drawn: Vec<Arc<Problem>> = problems.into_iter().map(Into::into).collect();
        let mut entries = Vec::with_capacity(drawn.len());
        let mut open = None;
        for (question, problem) in paper.questions.iter().zip(&drawn) {
            let mut entry = Entry::of_drawn(bank, problem, contents)?;
            follow_rules(&mut entry, &settings);
            let section = blueprint.questions.get(question.planned).map(|it| it.section);
            if section != open {
                open = section;
                let section = section.and_then(|section| blueprint.sections.get(section));
                entry.section = section.map(|section| Section {
                    title: section.title.clone(),
                    note: section
                        .note
                        .clone()
                        .filter(|_| matches!(document, Document::Questions | Document::Package)),
                });
            }
            match document {
                Document::Questions => entry.heading = None,
                Document::Slip => {
                    entry.heading = None;
                    entry.stem.clear();
                    for part in &mut entry.parts {
                        part.ask.clear();
                        leave_lines(&mut part.space);
                    }
                }
                Document::Scheme => {
                    entry.working.clear();
                    entry.methods = Ok(Vec::new()).into();
                    entry.method = None;
                    entry.agreement = Lazy::default();
                    entry.plausible = Ok(None).into();
                    entry.drawing = Lazy::default();
                }
                Document::Key | Document::Moderation | Document::Package => {}
            }
            entries.push(Arc::new(entry));
        }
        Ok(Self {
            title: document.title(&blueprint.title),
            note: note_of(bank, drawn.clone(), note(blueprint, document, &settings)),
            details: details(blueprint, paper, document),
            square: (blueprint.qr_code && document.is_for_candidates())
                .then(|| Square::of(&paper.code.to_string()))
                .flatten(),
            front: front(blueprint, document),
            mark: Some(paper.code.to_string()),
            candidate: CandidateField::Number(paper.candidate.number.clone()),
            contents,
            minutes: Some(paper.candidate.minutes(blueprint.minutes)),
            rules: settings,
            entries,
            sources: sources(bank, drawn, contents),
        })
    }
}

/// What the institution puts around a document; a cover only before the questions.
fn front(blueprint: &Blueprint, document: Document) -> Front {
    Front {
        cover: blueprint.cover.clone().filter(|_| document == Document::Questions),
        ..Front::of(blueprint)
    }
}

/// Takes away what stands on the paper already and leaves the room to write.
fn leave_lines(space: &mut AnswerSpace) {
    match space {
        AnswerSpace::Options { options, .. } => options.clear(),
        AnswerSpace::Judgement { reasons, .. } => reasons.clear(),
        AnswerSpace::Match { left, right, .. } => {
            left.iter_mut().for_each(String::clear);
            right.clear();
        }
        _ => {}
    }
}

/// Takes back what the lines of the scheme promise by the usual rules and the paper's own do not hold.
fn follow_rules(entry: &mut Entry, settings: &Settings) {
    if settings.follow_through != FollowThrough::Never {
        return;
    }
    for part in &mut entry.parts {
        part.key = part.key.clone().changed(|key| {
            for line in key.scheme.iter_mut().filter(|line| line.kind == MarkKind::Method) {
                METHOD_ALONE.clone_into(&mut line.what);
            }
        });
    }
}

/// What a mark for method is given for where nothing is followed from an earlier wrong answer.
const METHOD_ALONE: &str = "a right method, from right numbers";

/// The note of a document, and the second names of what its problems name.
fn note_of(bank: &Bank, problems: Vec<Arc<Problem>>, note: Option<String>) -> Lazy<Option<String>> {
    glossary(bank, problems).changed(|glossary| {
        let both: Vec<String> = note.into_iter().chain(glossary.take()).collect();
        *glossary = (!both.is_empty()).then(|| both.join(" "));
    })
}

/// The instructions, on the questions, the paper's own rules of marking, for markers, and the
/// blueprint's own caution, on everything.
fn note(blueprint: &Blueprint, document: Document, settings: &Settings) -> Option<String> {
    let mut note: Vec<&str> = Vec::new();
    if matches!(document, Document::Questions | Document::Package) {
        note.extend(blueprint.instructions.iter().map(String::as_str));
    }
    let own = own_rules(settings);
    if matches!(document, Document::Scheme | Document::Moderation) && !own.is_empty() {
        note.push("This paper has rules of marking of its own.");
        note.extend(own.iter().map(String::as_str));
    }
    note.extend(blueprint.caution.as_deref());
    (!note.is_empty()).then(|| note.join(" "))
}

fn details(blueprint: &Blueprint, paper: &Paper, document: Document) -> Vec<Detail> {
    let mut details = Vec::new();
    let mut tell = |label: &str, value: Option<String>| {
        let label = label.to_owned();
        details.extend(value.map(|value| Detail { label, value }));
    };
    tell("Course", blueprint.course.clone());
    tell("Date", blueprint.date.clone());
    if document.is_for_candidates() {
        tell("Name", paper.candidate.name.clone());
        tell("Group", paper.candidate.group.clone());
        let minutes = paper.candidate.minutes(blueprint.minutes);
        tell("Time allowed", Some(format!("{minutes} minutes")));
    }
    details
}

/// What makes the documents of papers in one format.
#[derive(Clone, Debug)]
pub struct PaperPress {
    exporter: &'static dyn Exporter,
    options: Options,
}

impl PaperPress {
    /// A press for a format; the options are those of candidates without needs of their own.
    ///
    /// # Errors
    /// When the layout of papers cannot be used, which a test rules out.
    pub fn new(exporter: &'static dyn Exporter, options: &Options) -> Result<Self, LayoutProblem> {
        let layout = (exporter.name() == "html").then(|| paper_layout(exporter)).transpose()?;
        let layout = options.layout.clone().or(layout);
        Ok(Self { exporter, options: Options { layout, ..options.clone() } })
    }

    /// The format.
    pub fn exporter(&self) -> &'static dyn Exporter {
        self.exporter
    }

    /// How large the letters of a candidate's documents are.
    pub fn type_size(&self, paper: &Paper, reader: Reader) -> TypeSize {
        if reader == Reader::Candidate && paper.candidate.needs.contains(&Need::LargePrint) {
            TypeSize::Large
        } else {
            self.options.type_size
        }
    }

    /// How a document of a candidate looks.
    pub fn options_of(&self, paper: &Paper, reader: Reader) -> Options {
        Options { type_size: self.type_size(paper, reader), ..self.options.clone() }
    }

    /// The sheet as the bytes of a file, in letters as large as the reader needs.
    ///
    /// # Errors
    /// When a layout of one's own cannot be filled in.
    pub fn print(
        &self,
        sheet: &Sheet,
        paper: &Paper,
        reader: Reader,
    ) -> Result<Vec<u8>, ExportError> {
        self.exporter.export(sheet, &self.options_of(paper, reader))
    }
}

/// The layout of papers: the sheet's own with the code of the paper on every page.
fn paper_layout(exporter: &dyn Exporter) -> Result<Layout, LayoutProblem> {
    let (name, text) = crate::export::format::html::PAPER;
    exporter.layout(name, text)
}
