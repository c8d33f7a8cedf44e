//! From a sheet to bytes.
//!
//! A [`Sheet`] is plain data: questions, a key, worked solutions, or any of them together. An
//! [`Exporter`] turns it into the bytes of one file and does nothing else: no clock, no file, no
//! network, so the same sheet and [`Options`] give the same bytes. [`EXPORTERS`] is the table of
//! them; a new format is one new file and one new row.
//!
//! The folders in reading order: what every format writes; the [`Sheet`] and how problems are composed
//! into one; the [`Layout`] and the fields it reads; the formats; the documents of a paper and the file
//! that holds a whole class's; the [package](Qti) for a platform. Beside sheets there are the lists of
//! the office, the account of an answer, the sheet for the bench, what comes of marking a class, the
//! report of its item analysis, and the page that shows a student's progress.

mod caution;
mod writing;
#[cfg(feature = "pdf")]
mod fonts;
#[cfg(feature = "pdf")]
mod compact;
#[cfg(feature = "pdf")]
mod typeset;
mod sheet;
mod layout;
mod fields;
#[cfg(feature = "pdf")]
mod pages;
mod office;
mod account;
mod analysis;
mod batch;
mod marks;
mod room;
mod format;
mod progress;
#[cfg(feature = "pdf")]
mod volume;
mod papers;
mod qti;

pub use crate::problem::AnswerSpace;
pub use account::{account_line_text, account_text, marked_sheet};
pub use batch::{BenchDocument, Piece};
pub use caution::CAUTION;
#[cfg(feature = "pdf")]
pub use fonts::OwnFont;
#[cfg(feature = "pdf")]
pub use format::Pdf;
pub use format::{Csv, Exporter, Html, Json, Markdown, Text, office_file};
pub use layout::{
    DocumentKind, ExportError, Layout, LayoutProblem, Options, PaperSize, TypeSize, Watch,
};
pub use marks::{
    Feedback, Outcome, PartFeedback, QuestionFeedback, by_hand_head, by_hand_table,
    differences_head, differences_table, head_questions, marks_lines, marks_table,
    marks_table_head, results_sheet, results_table,
};
pub use office::{OfficeBlock, OfficeColumn, OfficeSheet};
pub use papers::{Binder, Document, PaperPress, Reader};
pub use progress::{days_plot, progress_page};
pub use qti::Qti;
pub use room::{KeyRow, RoomPack, answer_grid, empty_answers, key_row, key_table, key_table_rows};
pub use sheet::{
    Accepted, CandidateField, ComposeProblem, Contents, Detail, Entry, EntryPart, EntrySlip, Front,
    Lazy, MarkKind, MarkLine, PartKey, PartMarking, Section, Sheet, SlipAnswer, rule,
};
#[cfg(feature = "pdf")]
pub use typeset::{MarkupProblem, Typesetter, is_writable, typeset};
pub use writing::{Course, Picture, Shares, Square, readable};

/// Every format, in the order they are listed to a person.
pub static EXPORTERS: &[&dyn Exporter] = &[
    &Text,
    &Markdown,
    &Html,
    #[cfg(feature = "pdf")]
    &Pdf,
    &Json,
    &Qti::V3,
    &Qti::V2,
    &Csv,
];

/// The formats that documents of that kind can be made of, in the same order.
pub fn exporters_of(kind: DocumentKind) -> impl Iterator<Item = &'static dyn Exporter> {
    EXPORTERS.iter().copied().filter(move |exporter| exporter.makes(kind))
}

/// The exporter of that name.
pub fn exporter(name: &str) -> Option<&'static dyn Exporter> {
    EXPORTERS.iter().copied().find(|exporter| exporter.name() == name)
}
