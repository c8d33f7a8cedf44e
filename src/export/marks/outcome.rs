//! What a paper comes to, in the words of the office.

use crate::bank::Grading;
use crate::marks::Mark;
use crate::paper::{PaperMarks, PartMarks};

/// What a paper comes to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Outcome {
    /// The candidate number.
    pub candidate: String,
    /// `marked`, `to be finished`, or why there are no marks.
    pub status: &'static str,
    /// The marks; empty where there are none, like all that follows.
    pub marks: String,
    /// The marks of the paper.
    pub of: String,
    /// The per cent of the marks, to one place.
    pub per_cent: String,
    /// `pass` or `fail`; empty without a pass mark, or while something waits.
    pub result: &'static str,
    /// The grade; empty below the lowest, without grades, or while something waits.
    pub grade: String,
}

impl Outcome {
    /// What a paper comes to by that grading.
    pub fn of(paper: &PaperMarks, grading: &Grading) -> Self {
        let candidate = paper.candidate.number.clone();
        if let Some(status) = paper.status {
            let nothing = String::new;
            return Self {
                candidate,
                status: status.word(),
                marks: nothing(),
                of: nothing(),
                per_cent: nothing(),
                result: "",
                grade: nothing(),
            };
        }
        let (marks, of) = (paper.marks(), paper.of());
        let waits = paper.parts().any(|part: &PartMarks| part.waits() || part.is_unsettled());
        let result = match grading.passes(marks.halves(), of) {
            Some(true) => "pass",
            Some(false) => "fail",
            None => "",
        };
        Self {
            candidate,
            status: if waits { "to be finished" } else { "marked" },
            marks: marks.to_string(),
            of: of.to_string(),
            per_cent: marks.per_cent(Mark::whole(of)),
            result: if waits { "" } else { result },
            grade: grading
                .grade(marks.halves(), of)
                .filter(|_| !waits)
                .unwrap_or_default()
                .to_owned(),
        }
    }

    /// Whether nothing waits to be marked or settled.
    pub fn is_final(&self) -> bool {
        self.status != "to be finished"
    }
}
