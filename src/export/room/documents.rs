//! The documents of the room together.

use crate::export::office::OfficeSheet;

use super::pack::RoomPack;
use super::{attendance, invigilator, labels, seats};

impl RoomPack<'_> {
    /// Every document with the name of its file.
    pub fn documents(&self) -> Vec<(&'static str, OfficeSheet)> {
        vec![
            ("attendance", attendance::sheet(self)),
            ("seats", seats::sheet(self)),
            ("invigilator", invigilator::sheet(self)),
            ("labels", labels::sheet(self)),
        ]
    }
}
