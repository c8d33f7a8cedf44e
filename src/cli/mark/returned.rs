//! What candidates get back: feedback and, if wanted, the worked solutions of their papers.

use castmark::export::{
    Document, DocumentKind, Exporter, Feedback, Front, Options, Outcome, PaperPress, Reader, Sheet,
    office_file, results_sheet,
};
use castmark::marks::MarksHead;
use castmark::paper::{ClassMarking, PaperMarks};

use super::super::layouts::Layouts;
use super::super::outcome::Failure;
use super::super::paper::file_name;
use super::folder::{FEEDBACK, RESULTS_STEM, SOLUTIONS};

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
        exporters: &[&'static dyn Exporter],
        layouts: &Layouts,
        options: &Options,
        solutions: bool,
    ) -> Result<Self, Failure> {
        let options_of = |exporter: &dyn Exporter, kind| {
            let layout = layouts.get(kind, exporter.name()).cloned();
            Options { layout, ..options.clone() }
        };
        let wanted = exporters.iter().copied().filter(|_| solutions);
        let presses = wanted
            .map(|exporter| PaperPress::new(exporter, &options_of(exporter, DocumentKind::Sheet)));
        let presses = presses.collect::<Result<_, _>>().map_err(Failure::unusable)?;
        let formats = exporters
            .iter()
            .copied()
            .map(|exporter| (exporter, options_of(exporter, DocumentKind::Feedback)));
        let formats = formats.collect();
        Ok(Self { marking, head, formats, options: options.clone(), solutions, presses })
    }

    /// The files of a candidate, each with its name in the folder.
    ///
    /// # Errors
    /// When one cannot be made.
    pub(super) fn files(
        &self,
        index: usize,
        paper: &PaperMarks,
    ) -> Result<Vec<(String, Vec<u8>)>, Failure> {
        let name = file_name(index, &paper.candidate.number);
        let mut files = Vec::with_capacity(2 * self.formats.len());
        let mut feedback = Feedback::of(self.head.title(), paper, &self.head.grading);
        feedback.front = Front::of_marks(self.head);
        for (exporter, options) in &self.formats {
            let name = format!("{name}.{}", exporter.extension());
            feedback.solutions = self.solutions.then(|| format!("../{SOLUTIONS}/{name}"));
            let bytes = exporter.export_feedback(&feedback, options).map_err(Failure::unusable)?;
            files.push((format!("{FEEDBACK}/{name}"), bytes));
        }
        let Some(own) = self.marking.set.papers.get(index).filter(|_| self.solutions) else {
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
