//! The folder of marks while it is written, batch by batch, so that a large class need not be held at
//! once.

use std::path::Path;

use castmark::export::{
    Outcome, by_hand_head, by_hand_table, differences_head, differences_table, marks_lines,
    marks_table, marks_table_head, results_table,
};
use castmark::marks::MarksHead;
use castmark::paper::{ClassMarking, PaperMarks};

use super::super::disk::Draft;
use super::super::outcome::Failure;
use super::super::workers;
use super::folder::{self, BY_HAND, DIFFERENCES, FEEDBACK, HAND, LINES, RESULTS, SOLUTIONS, TABLE};
use super::returned::Returned;

/// The folder in the making.
pub(super) struct Output<'a> {
    /// What is the same for all papers.
    head: &'a MarksHead,
    /// What each paper comes to, for the list of results.
    outcomes: Vec<Outcome>,
    /// Where two markers differ.
    differences: String,
    /// What candidates get back, if they get anything.
    returned: Option<Returned<'a>>,
    draft: Draft,
}

impl<'a> Output<'a> {
    /// Begins the folder with the heads of its tables.
    ///
    /// # Errors
    /// When it cannot be written.
    pub(super) fn begin(
        to: &Path,
        marking: &ClassMarking<'_>,
        head: &'a MarksHead,
        returned: Option<Returned<'a>>,
    ) -> Result<Self, Failure> {
        let folders: &[&str] = match &returned {
            None => &[],
            Some(returned) if returned.solutions => &[FEEDBACK, SOLUTIONS],
            Some(_) => &[FEEDBACK],
        };
        let mut draft = Draft::begin(to, folders, folder::WHAT)?;
        draft.write(TABLE, marks_table_head(head).as_bytes())?;
        draft.write(LINES, head.write().as_bytes())?;
        draft.write(BY_HAND, by_hand_head().as_bytes())?;
        if !marking.hand.is_empty() {
            draft.write(HAND, marking.hand.write().as_bytes())?;
        }
        Ok(Self { head, outcomes: Vec::new(), differences: String::new(), returned, draft })
    }

    /// Adds papers, each with its index in the set, made into files by as many workers as the machine
    /// has.
    ///
    /// # Errors
    /// When a file cannot be made or written.
    pub(super) fn add(&mut self, batch: &[(usize, PaperMarks)]) -> Result<(), Failure> {
        let pieces = workers::each(batch, |(index, paper)| self.pieces(*index, paper));
        let [mut rows, mut lines, mut by_hand] = [const { String::new() }; 3];
        for piece in pieces {
            let piece = piece?;
            rows.push_str(&piece.row);
            lines.push_str(&piece.lines);
            by_hand.push_str(&piece.by_hand);
            self.differences.push_str(&piece.differences);
            self.outcomes.push(piece.outcome);
            for (name, bytes) in piece.pages {
                self.draft.write(&name, &bytes)?;
            }
        }
        self.draft.append(TABLE, rows.as_bytes())?;
        self.draft.append(LINES, lines.as_bytes())?;
        self.draft.append(BY_HAND, by_hand.as_bytes())
    }

    /// Puts the folder in its place.
    ///
    /// # Errors
    /// When that fails; what was there before is then still there.
    pub(super) fn finish(mut self) -> Result<(), Failure> {
        let grading = &self.head.grading;
        self.draft.write(RESULTS, results_table(&self.outcomes, grading).as_bytes())?;
        for (name, bytes) in self.returned.iter().flat_map(|it| it.results(&self.outcomes)) {
            self.draft.write(&name, &bytes?)?;
        }
        if !self.differences.is_empty() {
            let differences = differences_head() + &self.differences;
            self.draft.write(DIFFERENCES, differences.as_bytes())?;
        }
        self.draft.finish()
    }

    fn pieces(&self, index: usize, paper: &PaperMarks) -> Result<Pieces, Failure> {
        let one = std::slice::from_ref(paper);
        let returned = self.returned.as_ref().filter(|_| paper.status.is_none());
        let pages = returned.map(|returned| returned.files(index, paper)).transpose()?;
        Ok(Pieces {
            row: marks_table(one, self.head),
            lines: marks_lines(one),
            by_hand: by_hand_table(one),
            differences: differences_table(one),
            outcome: Outcome::of(paper, &self.head.grading),
            pages: pages.unwrap_or_default(),
        })
    }
}

/// What a paper adds to the folder.
struct Pieces {
    row: String,
    lines: String,
    by_hand: String,
    differences: String,
    outcome: Outcome,
    pages: Vec<(String, Vec<u8>)>,
}
