//! The marks of a class as files: a table for a spreadsheet, JSON Lines with everything, the list of
//! what is to be marked by hand, and feedback for each candidate.

mod cells;
mod feedback;
mod feedback_page;
#[cfg(feature = "pdf")]
mod feedback_pdf;
mod lines;
mod table;

pub use feedback_page::feedback_page;
#[cfg(feature = "pdf")]
pub use feedback_pdf::feedback_pdf;
pub use lines::{MarksTitle, marks_head, marks_lines};
pub use table::{by_hand_head, by_hand_table, marks_table, marks_table_head};
