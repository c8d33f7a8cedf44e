//! The plan of the seats.

use crate::export::office::{OfficeBlock, OfficeSheet};

use super::pack::{RoomPack, name, needs};

/// A plan for each room, as seen from the back: the first seat is on the left of the front row.
pub(super) fn sheet(pack: &RoomPack<'_>) -> OfficeSheet {
    pack.of_each("seat plan", |bundle| {
        let boxes = bundle.papers.iter().enumerate().map(|(index, (_, paper))| {
            let seat = bundle.seat(index);
            let seat =
                if seat.is_empty() { "seat ____".to_owned() } else { format!("seat {seat}") };
            let mut lines = vec![paper.candidate.number.clone(), seat];
            let told = [name(paper), paper.code.to_string(), needs(paper)];
            lines.extend(told.into_iter().filter(|text| !text.is_empty()));
            lines
        });
        vec![
            OfficeBlock::Words("Front of the room".to_owned()),
            OfficeBlock::Boxes { across: pack.across, boxes: boxes.collect(), cut: false },
        ]
    })
}
