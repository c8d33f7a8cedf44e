//! A problem in plain text, piece by piece.

use castmark::bank::Bank;
use castmark::export::{Contents, Entry, Exporter, Layout, Lazy, Options, Sheet, Text};
use castmark::practice::Exercise;
use castmark::problem::Problem;
use castmark::words::worth;

use crate::cli::answers::part_letter;
use crate::cli::outcome::Failure;

/// Stands where a result was left out for the student to find.
const LEFT_OUT: &str = "?";

/// Sets pieces of a problem in lines of the terminal's width.
#[derive(Debug)]
pub(super) struct Teller {
    question: Layout,
    solution: Layout,
}

impl Teller {
    /// Compiles the layouts.
    ///
    /// # Errors
    /// When one of them is not sound, which a test rules out.
    pub(super) fn new() -> Result<Self, Failure> {
        let layout = |name: &str, text: &str| {
            Text.layout(name, text).map(Layout::as_piece).map_err(Failure::unusable)
        };
        Ok(Self {
            question: layout("question.txt.jinja", include_str!("question.txt.jinja"))?,
            solution: layout("solution.txt.jinja", include_str!("solution.txt.jinja"))?,
        })
    }

    /// The stem.
    pub(super) fn stem(
        &self,
        bank: &Bank,
        exercise: &Exercise,
        width: usize,
    ) -> Result<String, Failure> {
        let mut entry = entry(bank, exercise, Contents::QUESTIONS)?;
        entry.parts.clear();
        self.piece(bank, entry, width)
    }

    /// The steps of the working from one to another, the last of them without its result when it is
    /// the one asked.
    pub(super) fn steps(
        &self,
        bank: &Bank,
        exercise: &Exercise,
        steps: std::ops::Range<usize>,
        asked: Option<usize>,
        width: usize,
    ) -> Result<String, Failure> {
        let mut entry = entry(bank, exercise, Contents::SOLUTIONS)?;
        if let Some(step) = asked.and_then(|asked| entry.working.get_mut(asked)) {
            LEFT_OUT.clone_into(&mut step.result);
        }
        entry.working.truncate(steps.end);
        // Steps keep their numbers; the layout leaves out those without a label.
        for step in entry.working.iter_mut().take(steps.start) {
            step.label.clear();
        }
        entry.stem.clear();
        entry.parts.clear();
        entry.methods = Ok(Vec::new()).into();
        entry.method = None;
        entry.plausible = Ok(None).into();
        (entry.agreement, entry.drawing) = (Lazy::default(), Lazy::default());
        self.piece(bank, entry, width)
    }

    /// One question.
    pub(super) fn question(
        &self,
        bank: &Bank,
        exercise: &Exercise,
        part: usize,
        width: usize,
    ) -> Result<String, Failure> {
        let mut entry = entry(bank, exercise, Contents::QUESTIONS)?;
        let several = entry.parts.len() > 1;
        entry.stem.clear();
        let mut asked: Vec<_> = entry.parts.drain(..).skip(part).take(1).collect();
        for asked in &mut asked {
            let letter = if several { format!("({}) ", part_letter(part)) } else { String::new() };
            let worth = worth(asked.marks).replace(' ', "\u{a0}");
            asked.ask = format!("{letter}{} [{worth}]", asked.ask);
        }
        entry.parts = asked;
        self.piece(bank, entry, width)
    }

    /// The worked solution with drawing, answers, marks and sources.
    pub(super) fn solution(
        &self,
        bank: &Bank,
        exercise: &Exercise,
        width: usize,
    ) -> Result<String, Failure> {
        let problems = std::slice::from_ref(&exercise.problem);
        let sheet = Sheet::of(bank, problems.to_vec(), "", Contents::SOLUTIONS)
            .map_err(Failure::unusable)?;
        set(&sheet, &self.solution, width)
    }

    /// A piece of a problem.
    fn piece(&self, bank: &Bank, entry: Entry, width: usize) -> Result<String, Failure> {
        let contents = Contents { key: false, ..Contents::ALL };
        let mut sheet =
            Sheet::of(bank, Vec::<Problem>::new(), "", contents).map_err(Failure::unusable)?;
        sheet.entries.push(entry.into());
        set(&sheet, &self.question, width)
    }
}

fn set(sheet: &Sheet, layout: &Layout, width: usize) -> Result<String, Failure> {
    let options = Options { width, layout: Some(layout.clone()), ..Options::default() };
    let bytes = Text.export(sheet, &options).map_err(Failure::unusable)?;
    let text = String::from_utf8_lossy(&bytes);
    Ok(format!("{}\n", text.trim_matches('\n')))
}

fn entry(bank: &Bank, exercise: &Exercise, contents: Contents) -> Result<Entry, Failure> {
    Entry::of(bank, &exercise.problem, contents).map_err(Failure::unusable)
}
