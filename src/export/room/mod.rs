//! What the room of an examination needs, and the tables of whoever marks: attendance list, seat plan,
//! invigilator's sheet, labels for envelopes, answer grids, the table of keys, and an empty table of
//! answers.
//!
//! The [`RoomPack`] has no answer in it and nothing from which one could be found.

mod pack;
mod attendance;
mod seats;
mod invigilator;
mod labels;
mod documents;
mod grid;
mod keys;
mod typing;

pub use grid::answer_grid;
pub use keys::{KeyRow, key_row, key_table, key_table_rows};
pub use pack::RoomPack;
pub use typing::empty_answers;
