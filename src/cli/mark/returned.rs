//! What candidates get back: feedback and, if wanted, the worked solutions of their papers.

use std::collections::BTreeSet;

use castmark::export::{
    Document, Exporter, Feedback, Front, LayoutKind, Options, Outcome, PaperPress, Reader, Sheet,
    exporter, office_file, results_sheet,
};
use castmark::marks::MarksHead;
use castmark::paper::{ClassMarking, PaperMarks};
use clap::ValueEnum;

use super::super::layouts::Layouts;
use super::super::outcome::Failure;
use super::super::paper::file_name;
use super::super::printing::word_of;
use super::folder::{FEEDBACK, RESULTS_STEM, SOLUTIONS};

/// What feedback can be made.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, ValueEnum)]
pub(super) enum Format {
    /// Web pages
    Html,
    /// Plain text, for e-mail and screen readers
    #[value(alias = "txt")]
    Text,
    /// Markdown, for course pages
    #[value(alias = "md")]
    Markdown,
    /// Pages to print, tagged for screen readers
    #[cfg(feature = "pdf")]
    Pdf,
}

impl Format {
    /// The formats asked for; without any, those that are there, or HTML.
    ///
    /// # Errors
    /// When nothing was asked for and what is there cannot be made again by this program.
    pub(super) fn chosen(asked: &[Self], there: &BTreeSet<String>) -> Result<Vec<Self>, Failure> {
        let mut formats = asked.to_vec();
        if formats.is_empty() {
            for ending in there {
                let ends = |it: &&Self| it.exporter().is_some_and(|it| it.extension() == ending);
                let known = Self::value_variants().iter().find(ends);
                formats.push(*known.ok_or_else(|| {
                    Failure::unusable(format!(
                        "the feedback is there as {ending}, which this castmark was built without; \
                         say which formats to make now with --format html, or use a castmark with {ending}"
                    ))
                })?);
            }
        }
        if formats.is_empty() {
            formats.push(Self::Html);
        }
        formats.sort_unstable();
        formats.dedup();
        Ok(formats)
    }

    fn exporter(self) -> Option<&'static dyn Exporter> {
        exporter(&word_of(&self))
    }
}

/// Everything that is needed to write what candidates get back.
#[derive(Debug)]
pub(super) struct Returned<'a> {
    /// What is marked.
    marking: &'a ClassMarking<'a>,
    /// The title of the paper, and its grading.
    head: &'a MarksHead,
    /// What makes feedback, and how it looks.
    formats: Vec<(&'static dyn Exporter, Options)>,
    /// How the list of results looks.
    options: Options,
    /// Whether worked solutions are wanted.
    pub solutions: bool,
    /// A press for the solutions in each format.
    presses: Vec<PaperPress>,
}

impl<'a> Returned<'a> {
    /// What is made of the papers of a class; `solutions` says whether worked solutions are wanted.
    ///
    /// # Errors
    /// When the layout of papers cannot be used, which a test rules out.
    pub(super) fn new(
        marking: &'a ClassMarking<'a>,
        head: &'a MarksHead,
        formats: &[Format],
        layouts: &Layouts,
        options: &Options,
        solutions: bool,
    ) -> Result<Self, Failure> {
        let exporters: Vec<_> = formats.iter().filter_map(|format| format.exporter()).collect();
        let options_of = |exporter: &dyn Exporter, kind| {
            let layout = layouts.get(kind, exporter.name()).cloned();
            Options { layout, ..options.clone() }
        };
        let wanted = exporters.iter().filter(|_| solutions);
        let presses = wanted
            .map(|exporter| PaperPress::new(*exporter, &options_of(*exporter, LayoutKind::Sheet)));
        let presses = presses.collect::<Result<_, _>>().map_err(Failure::unusable)?;
        let formats = exporters
            .into_iter()
            .map(|exporter| (exporter, options_of(exporter, LayoutKind::Feedback)));
        let formats = formats.collect();
        Ok(Self { marking, head, formats, options: options.clone(), solutions, presses })
    }

    /// The files of a candidate, each with its name in the folder.
    ///
    /// # Errors
    /// When one cannot be made.
    pub(super) fn files(
        &self,
        place: usize,
        paper: &PaperMarks,
    ) -> Result<Vec<(String, Vec<u8>)>, Failure> {
        let name = file_name(place, &paper.candidate.number);
        let mut files = Vec::with_capacity(2 * self.formats.len());
        let mut feedback = Feedback::of(self.head.title(), paper, &self.head.grading);
        feedback.front = Front::of_marks(self.head);
        for (exporter, options) in &self.formats {
            let name = format!("{name}.{}", exporter.extension());
            feedback.solutions = self.solutions.then(|| format!("../{SOLUTIONS}/{name}"));
            let bytes = exporter.export_feedback(&feedback, options).map_err(Failure::unusable)?;
            files.push((format!("{FEEDBACK}/{name}"), bytes));
        }
        let Some(own) = self.marking.set.papers.get(place).filter(|_| self.solutions) else {
            return Ok(files);
        };
        let ClassMarking { bank, blueprint, set, .. } = self.marking;
        let problems = own.problems(bank, blueprint, &set.made_by).map_err(Failure::unusable)?;
        let sheet = Sheet::of_paper(bank, blueprint, own, problems, Document::Key);
        let sheet = sheet.map_err(Failure::unusable)?;
        for press in &self.presses {
            let bytes = press.print(&sheet, own, Reader::Candidate).map_err(Failure::unusable)?;
            files.push((format!("{SOLUTIONS}/{name}.{}", press.exporter().extension()), bytes));
        }
        Ok(files)
    }

    /// The list of results to post, in each format, with the name of its file.
    pub(super) fn results<'b>(
        &'b self,
        outcomes: &[Outcome],
    ) -> impl Iterator<Item = (String, Result<Vec<u8>, Failure>)> + use<'a, 'b> {
        let sheet = results_sheet(self.head, outcomes);
        self.formats.iter().map(move |(exporter, _)| {
            let bytes = office_file(&sheet, *exporter, &self.options).map_err(Failure::unusable);
            (format!("{RESULTS_STEM}.{}", exporter.extension()), bytes)
        })
    }
}
