//! The marks of a class as they are kept: what the office writes down after an examination.
//!
//! A [`Mark`] counts half marks. The file of marks has a [`MarksHead`] and then a [`Line`] for every
//! candidate and part, or for a candidate without answers, with a [`Status`]. Marking writes these
//! types and analysis reads them, so that there is one definition of the file.

mod mark;
mod status;
mod file_text;
mod head;
mod line;

pub use file_text::FileText;
pub use head::{HeadQuestion, MarksHead};
pub use line::{By, HandNote, Line, MarkLine, Reason, StatusLine, StepNote};
pub use mark::Mark;
pub use status::Status;

/// The version of the names in the file of marks.
pub const VERSION: u32 = 1;
