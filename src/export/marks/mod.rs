//! The marks of a class as files: tables for a spreadsheet and for whoever marks by hand, JSON Lines
//! with everything, and feedback for each candidate.

mod cells;
mod outcome;
mod table;
mod results;
mod by_hand;
mod lines;
mod feedback;
mod fields;

pub(super) use cells::row;
pub(super) use fields::feedback_fields;
pub(super) use table::BYTE_ORDER_MARK;

pub use by_hand::{by_hand_head, by_hand_table, differences_head, differences_table};
pub use feedback::{Feedback, PartFeedback, QuestionFeedback};
pub use lines::{head_questions, marks_lines};
pub use outcome::Outcome;
pub use results::{results_sheet, results_table};
pub use table::{marks_table, marks_table_head};
