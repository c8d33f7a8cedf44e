//! Pieces of a problem as HTML: the stem, steps of the working, the worked solution.

use std::ops::Range;

use serde::Serialize;

use crate::export::{Contents, Entry, Exporter, Html, Options, Sheet};
use crate::practice::Exercise;
use crate::problem::Problem;

use super::Page;
use super::fault::Fault;

/// The layouts of the pieces, compiled once.
#[derive(Debug)]
pub(super) struct Pieces {
    stem: Options,
    steps: Options,
    solution: Options,
}

/// A worked solution.
#[derive(Serialize)]
pub(super) struct Solution {
    heading: &'static str,
    html: String,
}

/// Stands where a result was left out for the student to find.
const LEFT_OUT: &str = "?";

impl Pieces {
    /// Compiles the layouts.
    pub(super) fn new() -> Result<Self, Fault> {
        let piece = |name: &str, text: &str| -> Result<Options, Fault> {
            let layout = Html::piece(name, text).map_err(Fault::failed)?;
            Ok(Options { layout: Some(layout), ..Options::default() })
        };
        Ok(Self {
            stem: piece("stem", include_str!("stem.html.jinja"))?,
            steps: piece("steps", include_str!("steps.html.jinja"))?,
            solution: piece("solution", include_str!("solution.html.jinja"))?,
        })
    }

    /// The stem.
    pub(super) fn stem(&self, page: &Page, problem: &Problem) -> Result<String, Fault> {
        let entry = Entry::of(&page.bank, problem, Contents::QUESTIONS)?;
        piece(page, entry, &self.stem)
    }

    /// Some steps of the working; the one that is asked stands there without its result.
    pub(super) fn steps(
        &self,
        page: &Page,
        exercise: &Exercise,
        steps: Range<usize>,
        asked: Option<usize>,
    ) -> Result<String, Fault> {
        let mut entry = Entry::of(&page.bank, &exercise.problem, Contents::SOLUTIONS)?;
        if let Some(step) = asked.and_then(|asked| entry.working.get_mut(asked)) {
            LEFT_OUT.clone_into(&mut step.result);
        }
        entry.working.truncate(steps.end);
        // Steps keep their numbers; the layout leaves out those without a label.
        for step in entry.working.iter_mut().take(steps.start) {
            step.label.clear();
        }
        piece(page, entry, &self.steps)
    }
}

fn piece(page: &Page, entry: Entry, options: &Options) -> Result<String, Fault> {
    let contents = Contents { key: false, ..Contents::ALL };
    let mut sheet = Sheet::of(&page.bank, Vec::<Problem>::new(), "", contents)?;
    sheet.entries.push(entry.into());
    set(&sheet, options)
}

fn set(sheet: &Sheet, options: &Options) -> Result<String, Fault> {
    let bytes = Html.export(sheet, options).map_err(Fault::failed)?;
    Ok(String::from_utf8_lossy(&bytes).trim().to_owned())
}

impl Solution {
    /// The worked solution of a problem.
    pub(super) fn of(page: &Page, problem: &Problem) -> Result<Self, Fault> {
        let problems = std::slice::from_ref(problem);
        let sheet = Sheet::of(&page.bank, problems.to_vec(), "", Contents::SOLUTIONS)?;
        let heading = if problem.template.working.is_empty() {
            "Answers and sources"
        } else {
            "Worked solution"
        };
        Ok(Self { heading, html: set(&sheet, &page.pieces.solution)? })
    }
}
