//! From a sheet to bytes.
//!
//! A [`Sheet`] is plain data: questions, a key, worked solutions, or any of them together. An
//! [`Exporter`] turns it into the bytes of one file and does nothing else: no clock, no file, no
//! network, so the same sheet and [`Options`] give the same bytes. [`EXPORTERS`] is the table of
//! them; a new format is one new file and one new row.
//!
//! The files in reading order: the [`Sheet`], how a problem is composed into one, the [drawing](crate::problem::Drawing)
//! of a mould as a picture, what is escaped, the fields a layout reads, the [`Layout`] itself,
//! then one file per format, the documents of a paper, the file that holds a whole class's, and the
//! [package](Qti) for a platform. Beside
//! sheets there is the page that shows a student's progress, with its plots, what comes of marking a
//! class, and the report of its item analysis; the last two are set in pages as well.

mod lazy;
mod sheet;
mod theory;
mod compose;
mod worked;
mod picture;
mod square;
mod escape;
mod lines;
mod fields;
mod mistakes;
mod pieces;
mod lazy_fields;
mod view;
mod fuel;
mod blocks;
mod functions;
mod layout_problem;
mod export_error;
mod format;
mod layout;
mod text;
mod markdown;
mod html;
mod json;
mod plot;
mod progress;
mod analysis;
mod papers;
mod binder;
mod qti;
mod account;
mod batch;
mod marks;
mod office;
mod room;
#[cfg(feature = "pdf")]
mod compact;
#[cfg(feature = "pdf")]
mod fonts;
#[cfg(feature = "pdf")]
mod origin;
#[cfg(feature = "pdf")]
mod pages;
#[cfg(feature = "pdf")]
mod pdf;
#[cfg(feature = "pdf")]
mod shapes;
#[cfg(feature = "pdf")]
mod typeset;
#[cfg(feature = "pdf")]
mod volume;

use std::fmt;

use crate::analysis::Report;

pub use crate::problem::AnswerSpace;
pub use account::{AccountFormat, account_line_text, account_text, marked_sheet};
pub use analysis::{analysis_csv, analysis_json};
pub use batch::{BenchDocument, Piece};
pub use binder::Binder;
pub use compose::ComposeProblem;
pub use escape::readable;
pub use export_error::ExportError;
#[cfg(feature = "pdf")]
pub use fonts::OwnFont;
pub use html::Html;
pub use json::Json;
pub use layout::{Layout, LayoutKind, Watch};
pub use layout_problem::LayoutProblem;
pub use lazy::Lazy;
pub use markdown::Markdown;
pub use marks::{
    Feedback, Outcome, PartFeedback, QuestionFeedback, by_hand_head, by_hand_table,
    differences_head, differences_table, head_questions, marks_lines, marks_table,
    marks_table_head, results_sheet, results_table,
};
pub use office::{OfficeBlock, OfficeColumn, OfficeSheet, office_file};
pub use papers::{Document, PaperPress, Reader};
#[cfg(feature = "pdf")]
pub use pdf::Pdf;
pub use picture::Picture;
pub use plot::{Course, Shares};
pub use progress::{days_plot, progress_page};
pub use qti::Qti;
pub use room::{KeyRow, RoomPack, answer_grid, empty_answers, key_row, key_table, key_table_rows};
pub use sheet::{
    Accepted, Candidate, Contents, Detail, Entry, EntryPart, EntrySlip, Front, MarkKind, MarkLine,
    PartKey, PartMarking, Section, Sheet, SlipAnswer,
};
pub use square::Square;
pub use text::Text;
pub use theory::rule;
#[cfg(feature = "pdf")]
pub use typeset::{MarkupProblem, Typesetter, is_writable, typeset};

/// What every sheet says about its use.
pub const CAUTION: &str = "For teaching and self-assessment only, not for preparing or supplying \
     medicines. In practice the pharmacopoeia and the rules in force where you are decide, and a \
     licensed pharmacist answers for the work.";

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
];

/// One format of a sheet.
pub trait Exporter: fmt::Debug + Sync {
    /// The word a person asks for it by: `html`.
    fn name(&self) -> &'static str;

    /// What it is good for, in one line.
    fn about(&self) -> &'static str;

    /// The ending of a file's name, without the point: `html`.
    fn extension(&self) -> &'static str;

    /// The media type of the bytes: `text/html; charset=utf-8`.
    fn media(&self) -> &'static str;

    /// Whether the bytes are text, which can be shown as they are.
    fn is_text(&self) -> bool {
        true
    }

    /// Whether the bytes are a package for a platform, which asks the questions and marks them. It is
    /// made of questions, keys and solutions together.
    fn is_package(&self) -> bool {
        false
    }

    /// What a sheet holds that the format cannot say, each in a sentence for whoever makes the file.
    fn left_out(&self, _sheet: &Sheet) -> Vec<String> {
        Vec::new()
    }

    /// The layout of sheets it uses when it is given none: file name and text, for copying and changing.
    /// `None` for a format that has no layout.
    fn bundled_layout(&self) -> Option<(&'static str, &'static str)> {
        self.bundled_layout_of(LayoutKind::Sheet)
    }

    /// The same of that kind.
    fn bundled_layout_of(&self, _kind: LayoutKind) -> Option<(&'static str, &'static str)> {
        None
    }

    /// Compiles a layout of sheets of one's own; `name` is what its errors call it.
    ///
    /// # Errors
    /// When the layout has a mistake in its syntax, or the format has no layouts.
    fn layout(&self, name: &str, text: &str) -> Result<Layout, LayoutProblem> {
        self.layout_of(LayoutKind::Sheet, name, text)
    }

    /// The same of that kind.
    ///
    /// # Errors
    /// When the layout has a mistake in its syntax, or the format has no layouts.
    fn layout_of(
        &self,
        _kind: LayoutKind,
        name: &str,
        _text: &str,
    ) -> Result<Layout, LayoutProblem> {
        Err(LayoutProblem::not_laid_out(name, self.name()))
    }

    /// The sheet as the bytes of a file.
    ///
    /// # Errors
    /// When a layout of one's own cannot be filled in, or was compiled for another format.
    fn export(&self, sheet: &Sheet, options: &Options) -> Result<Vec<u8>, ExportError>;

    /// What a candidate gets back as the bytes of a file.
    ///
    /// # Errors
    /// When the format has no layouts, or one of one's own cannot be filled in or is for something else.
    fn export_feedback(
        &self,
        _feedback: &Feedback,
        _options: &Options,
    ) -> Result<Vec<u8>, ExportError> {
        Err(ExportError::NotLaidOut(self.name()))
    }

    /// The report of an item analysis as the bytes of a file, with what the institution puts around it.
    ///
    /// # Errors
    /// When the format has no layouts, or one of one's own cannot be filled in or is for something else.
    fn export_report(
        &self,
        _report: &Report,
        _front: &Front,
        _options: &Options,
    ) -> Result<Vec<u8>, ExportError> {
        Err(ExportError::NotLaidOut(self.name()))
    }

    /// A document for the bench as the bytes of a file.
    ///
    /// # Errors
    /// When the format is for questions alone, or there is a layout of one's own, which such a document
    /// does not take.
    fn export_bench(
        &self,
        _document: &BenchDocument,
        _options: &Options,
    ) -> Result<Vec<u8>, ExportError> {
        Err(ExportError::QuestionsOnly(self.name()))
    }
}

/// The exporter of that name.
pub fn exporter(name: &str) -> Option<&'static dyn Exporter> {
    EXPORTERS.iter().copied().find(|exporter| exporter.name() == name)
}

/// How a sheet is to look, as far as it is not the layout's business.
#[derive(Clone, Debug)]
pub struct Options {
    /// The paper it is printed on; for formats with pages.
    pub paper: PaperSize,
    /// How large the letters are printed; for formats with pages.
    pub type_size: TypeSize,
    /// Characters in a line; for plain text. Below 30 is taken as 30.
    pub width: usize,
    /// A layout of one's own, from [`Exporter::layout`].
    pub layout: Option<Layout>,
    /// A font beside those in the program, for PDF.
    #[cfg(feature = "pdf")]
    pub font: Option<OwnFont>,
}

impl Options {
    /// Refuses a layout of one's own where the format takes none.
    fn without_layout(&self, format: &'static str) -> Result<(), ExportError> {
        if self.layout.is_some() { Err(ExportError::NoLayouts(format)) } else { Ok(()) }
    }
}

impl Default for Options {
    fn default() -> Self {
        Self {
            paper: PaperSize::A4,
            type_size: TypeSize::Normal,
            width: 80,
            layout: None,
            #[cfg(feature = "pdf")]
            font: None,
        }
    }
}

/// The paper a sheet is printed on.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum PaperSize {
    /// 210 mm by 297 mm, ISO 216.
    #[default]
    A4,
    /// 8.5 in by 11 in.
    Letter,
}

impl PaperSize {
    /// Every size.
    pub const ALL: [Self; 2] = [Self::A4, Self::Letter];

    /// The size of that name.
    pub fn parse(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|size| size.name() == name)
    }

    /// The word a person asks for it by, and the one page rules know: `A4`, `letter`.
    pub fn name(self) -> &'static str {
        match self {
            Self::A4 => "A4",
            Self::Letter => "letter",
        }
    }
}

/// How large the letters are printed. Larger sizes flow anew; they are not the small page enlarged.
///
/// Clear print is 12 pt or more and ideally 14, large print 16 pt or more and ideally 18 (UK
/// Association for Accessible Formats, G003 Creating clear print and large print documents).
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum TypeSize {
    /// 11 pt.
    #[default]
    Normal,
    /// 14 pt.
    Clear,
    /// 18 pt, without serifs.
    Large,
    /// 24 pt, without serifs.
    Largest,
}

impl TypeSize {
    /// Every size, small to large.
    pub const ALL: [Self; 4] = [Self::Normal, Self::Clear, Self::Large, Self::Largest];

    /// The word a person asks for it by: `large`.
    pub fn name(self) -> &'static str {
        match self {
            Self::Normal => "normal",
            Self::Clear => "clear",
            Self::Large => "large",
            Self::Largest => "largest",
        }
    }

    /// The size of the running text in points.
    pub fn points(self) -> u32 {
        match self {
            Self::Normal => 11,
            Self::Clear => 14,
            Self::Large => 18,
            Self::Largest => 24,
        }
    }
}
