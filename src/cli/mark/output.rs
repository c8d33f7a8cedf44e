//! The folder of marks while it is written, batch by batch, so that a large class need not be held at
//! once.

use std::path::Path;

use castmark::export::{
    MarksTitle, by_hand_head, by_hand_table, marks_head, marks_lines, marks_table, marks_table_head,
};
use castmark::paper::{ClassMarking, PaperMarks};

use super::super::disk::Draft;
use super::super::hands;
use super::super::outcome::Failure;
use super::folder::{self, BY_HAND, FEEDBACK, HAND, LINES, SOLUTIONS, TABLE};
use super::returned::Returned;

/// The folder in the making.
pub(super) struct Output<'a> {
    /// How many questions a paper has.
    questions: usize,
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
        title: &MarksTitle,
        returned: Option<Returned<'a>>,
    ) -> Result<Self, Failure> {
        let folders: &[&str] = match &returned {
            None => &[],
            Some(returned) if returned.solutions => &[FEEDBACK, SOLUTIONS],
            Some(_) => &[FEEDBACK],
        };
        let questions = marking.set.templates.len();
        let mut draft = Draft::begin(to, folders, folder::WHAT)?;
        draft.write(TABLE, marks_table_head(questions).as_bytes())?;
        draft.write(LINES, marks_head(title).as_bytes())?;
        draft.write(BY_HAND, by_hand_head().as_bytes())?;
        if !marking.hand.is_empty() {
            draft.write(HAND, marking.hand.write().as_bytes())?;
        }
        Ok(Self { questions, returned, draft })
    }

    /// Adds papers, each with its place in the set, made into files by as many hands as the machine
    /// has.
    ///
    /// # Errors
    /// When a file cannot be made or written.
    pub(super) fn add(&mut self, batch: &[(usize, PaperMarks)]) -> Result<(), Failure> {
        let pieces = hands::each(batch, |(place, paper)| self.pieces(*place, paper));
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

    /// Puts the folder in its place.
    ///
    /// # Errors
    /// When that fails; what was there before is then still there.
    pub(super) fn finish(self) -> Result<(), Failure> {
        self.draft.finish()
    }

    fn pieces(&self, place: usize, paper: &PaperMarks) -> Result<Pieces, Failure> {
        let one = std::slice::from_ref(paper);
        let returned = self.returned.as_ref().filter(|_| !paper.absent);
        let pages = returned.map(|returned| returned.files(place, paper)).transpose()?;
        Ok(Pieces {
            row: marks_table(one, self.questions),
            lines: marks_lines(one),
            by_hand: by_hand_table(one),
            pages: pages.unwrap_or_default(),
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
